"""The screen lock: a desk over a desk. Unlocked it passes everything on; locked it shows nothing of a patient.

It begins locked, and locks after so many minutes in which nothing was entered and nothing typed, or at once by `/14` or
from a menu; a person's number or initials and PIN open it. Incidents go in all the while. Without a PIN that could open
it, it never locks.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from stepper.lines.grammar import CommandName
from stepper.lines.refusal import shown
from stepper.note.words import clock as keyed_at
from stepper.record.clock import Clock, Moment
from stepper.session.first import start_view
from stepper.session.initials import named
from stepper.session.latch import AT_ONCE
from stepper.session.lobby import Lobby
from stepper.session.paint import time_of_day
from stepper.session.pins import BadPins, Pin, fits, read_pins
from stepper.session.session import Session
from stepper.session.view import ChairView, Clocks, Prompt, Tone

if TYPE_CHECKING:
    from stepper.session.replay import Replay

FREE_TRIES = 5
"""From so many wrong tries on, each costs `WAIT_S` seconds before the next."""
WAIT_S = 30

EXAMPLE = "number 7 with PIN 90210 keys 7**90210"
KEY_IN = f"type your number, ** and your PIN: {EXAMPLE}"
WITH_LETTERS = f"type number or initials, ** and PIN: {EXAMPLE}"
ASK_PIN = "4 to 8 digits; Enter alone goes back to the number"
INCIDENT = "// Enter stamps an incident at once, also while locked."
LEGEND = "number**PIN Enter: open   // incident   .. wipe"
PIN_LEGEND = "PIN Enter: open   // incident   .. wipe"


@dataclass(frozen=True, slots=True)
class Door:
    """How a screen locks: the file of PINs, after how many minutes, and the practice's heading.

    `people` are the numbers of those who may open it; None: everybody who has a PIN. `initials` are theirs by number.
    """

    pins: Path
    after_min: int
    people: frozenset[int] | None
    heading: str = ""
    initials: Mapping[int, str] = field(default_factory=dict)


class Locking:
    """A desk that locks. `tick` moves a set clock, as the lobby does with each line that it takes."""

    def __init__(self, desk: Lobby | Replay, clock: Clock, door: Door, tick: Callable[[], None] = lambda: None) -> None:
        self._desk, self._clock, self._door, self._tick = desk, clock, door, tick
        self._pins: dict[int, Pin] = {}
        self._fault = ""
        self._since = ""
        self._seen = self._stamped = False
        self._person: int | None = None
        self._wrong = 0
        self._wrong_us = 0
        self._saying, self._tone = "", Tone.PLAIN
        self._line = desk.pending
        self._again: str | None = None
        now = clock.now()
        self._touched_us = now.mono_us
        self._lock(now)

    @property
    def pending(self) -> str:
        """The half-typed line to offer: after opening, the one that stood there when it locked."""
        if self._since:
            return ""
        return self._desk.pending if self._again is None else self._again

    def view(self) -> ChairView:
        """Give what to show."""
        if self._open():
            view = self._desk.view()
            if self._fault and not self._pins:
                view = replace(view, banner=f"{self._fault} The screen does not lock.   {view.banner}".rstrip())
            return view
        self._seen = True
        return self._closed_view()

    def answer(self, before: ChairView) -> ChairView | None:
        """Give what answers the last line; what was shown while it was locked is no ground for it."""
        return self._desk.answer(before) if self._open() and not before.masked else None

    def clocks(self) -> Clocks:
        """Give the clocks; locked, the time of day alone."""
        return self._desk.clocks() if self._open() else Clocks(time_of_day(self._clock.now()), locked=True)

    def enter(self, text: str) -> None:
        """Take one entered line."""
        if not self._open(touched=True):
            self._take(text.strip(" \t"))
            return
        self._again = None
        if text.strip(" \t") == AT_ONCE and self._lock(self._clock.now()):
            self._line = ""
            self._desk.typing("")
            return
        self._desk.enter(text)
        self._line = self._desk.pending
        if self._desk.latch.taken():
            self._lock(self._clock.now())

    def typing(self, line: str) -> None:
        """Keep a half-typed line; what is typed while it is locked is kept nowhere."""
        if self._open(touched=True):
            self._line = line
            self._desk.typing(line)

    def move(self, direction: str) -> None:
        """Pass an arrow on."""
        if self._open(touched=True):
            self._desk.move(direction)

    def take_offer(self) -> None:
        """Take the offer."""
        if self._open(touched=True):
            self._desk.take_offer()

    def menu(self) -> None:
        """Open the menu."""
        if self._open(touched=True):
            self._desk.menu()

    def fit(self, rows: int) -> None:
        """Take so many rows for a page of text from now on."""
        self._desk.fit(rows)

    def bells(self) -> int:
        """Tell how often to ring."""
        return self._desk.bells()

    def leave(self) -> None:
        """Close what is open."""
        self._desk.leave()

    @property
    def _session(self) -> Session | None:
        return self._desk.session if isinstance(self._desk, Lobby) else None

    def _open(self, *, touched: bool = False) -> bool:
        """Tell whether it is open now; `touched`: somebody is at the keys."""
        if self._since:
            return False
        now = self._clock.now()
        if now.mono_us - self._touched_us >= self._door.after_min * 60_000_000:
            self._lock(now)
        if touched and not self._since:
            self._touched_us = now.mono_us
        return not self._since

    def _look(self) -> None:
        """Read the PINs as they are now; where the file got damaged, those that were read before hold on."""
        try:
            found = read_pins(self._door.pins)
        except BadPins as error:
            self._fault = str(error)
        else:
            people = found.keys() if self._door.people is None else self._door.people
            self._pins, self._fault = {one: pin for one, pin in found.items() if one in people}, ""
        self._desk.latch.lockable = bool(self._pins)

    def _lock(self, now: Moment) -> bool:
        """Lock, if there is a PIN to open it; else that is looked at again after as long. Tell whether it is."""
        self._look()
        self._touched_us = now.mono_us
        if self._pins:
            self._since, self._seen = time_of_day(now), False
            self._person = None
            self._say("")
        return bool(self._since)

    def _unlock(self, now: Moment) -> None:
        self._since, self._wrong = "", 0
        self._touched_us = now.mono_us
        self._again = self._line
        session = self._session
        if self._stamped and session is not None and self._line:
            # it was typed for another question than the one that stands there now: what the incident was
            session.room.say(f"{session.room.saying} Half typed before: {shown(self._line)}", session.room.tone)
            self._line = self._again = ""
            session.typing("")
        self._stamped = False

    def _say(self, text: str, tone: Tone = Tone.WARN) -> None:
        self._saying, self._tone = text, tone

    def _key_in(self) -> str:
        """Tell what to type; initials where somebody who can open it has some."""
        return WITH_LETTERS if any(self._door.initials.get(one) for one in self._pins) else KEY_IN

    def _closed_view(self) -> ChairView:
        session = self._session
        practice = self._clock.test or (session is not None and session.room.case.header.practice)
        since = f"Locked since {self._since}."
        if self._person is None:
            prompt = Prompt("", "", since, self._key_in(), (), "", "", "", LEGEND)
        else:
            prompt = Prompt("", "", f"{since} And the PIN?", ASK_PIN, (), "", "", "", PIN_LEGEND)
        saying = self._saying or " ".join(part for part in (self._fault, INCIDENT) if part)
        view = start_view(prompt, practice=practice, subtitle=self._door.heading, saying=saying, tone=self._tone)
        return replace(view, title="Locked", masked=True)

    def _take(self, line: str) -> None:
        """Take a line while it is locked."""
        if line == CommandName.INCIDENT.value:
            self._incident()
            return
        self._tick()
        self._look()
        now, person = self._clock.now(), self._person
        self._person = None
        name, parted, pin = line.partition("**") if person is None else (str(person), "**", line)
        people = named(name, self._door.initials, self._pins)
        if not self._pins:  # the last PIN was taken away meanwhile
            self._unlock(now)
        elif not self._seen:
            self._say("Locked before Enter: that line was not taken. Open the screen, then key it again.")
        elif not line or line.endswith(".."):
            self._say("")
        elif not people:
            self._say(f"Locked: {self._key_in()}.")
        elif len(people) > 1:
            self._say(f"{len(people)} people have these initials: type your number instead.")
        elif parted:
            self._try(people[0], pin, now)
        else:
            self._person = people[0]
            self._say("")

    def _try(self, number: int, pin: str, now: Moment) -> None:
        """Try a PIN; that nobody has that number is not told apart from a wrong PIN."""
        wait_s = WAIT_S - (now.mono_us - self._wrong_us) // 1_000_000 if self._wrong >= FREE_TRIES else 0
        if wait_s > 0:
            self._say(f"Not tried. After {self._wrong} wrong tries wait {wait_s} s more.", Tone.STOP)
        elif fits(self._pins, number, pin):
            self._unlock(now)
        else:
            self._wrong, self._wrong_us = self._wrong + 1, now.mono_us
            more = f" {self._wrong} wrong tries: wait {WAIT_S} s." if self._wrong >= FREE_TRIES else ""
            self._say(f"Number or PIN is wrong.{more}", Tone.STOP)

    def _incident(self) -> None:
        """Stamp an incident in the open session, in its own way, and confirm it without a word about a patient."""
        session = self._session
        if session is None:
            self._tick()
            self._say("No session is open, so no incident was stamped. Open the screen, then a session.", Tone.STOP)
            return
        case = session.room.case
        before = len(case.incidents)
        self._desk.enter(CommandName.INCIDENT.value)
        if len(case.incidents) > before:
            self._stamped = True
            at = keyed_at(case.entries[max(case.incidents)])
            self._say(f"Incident stamped at {at}. Open the screen to say what it was.", Tone.GOOD)
        else:
            self._say(f"Not stamped. {session.room.saying}", Tone.STOP)
        if self._line:
            self._desk.typing(self._line)  # the session took the line just now for the one that was typed
