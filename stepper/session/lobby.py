"""The start screen's conversation: open, resume or replay a session, then hand over to it."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from stepper.case.state import Case
from stepper.lines.grammar import Answer, Command, CommandName, Empty, Line, read_line
from stepper.protocol.problems import BadProtocol
from stepper.protocol.settings import BadSettings
from stepper.record.journal import Journal
from stepper.record.problems import RecordError
from stepper.session.form import Form
from stepper.session.house import House
from stepper.session.lists import Pages
from stepper.session.paint import time_of_day
from stepper.session.previous import any_offered, offered
from stepper.session.replay import LEAST_ROWS, Replay, open_replay
from stepper.session.second import SecondForm
from stepper.session.session import Session
from stepper.session.sound_test import OFF, SoundTest
from stepper.session.store import list_sessions, open_new, open_second, resume
from stepper.session.typed import TypedLine
from stepper.session.view import ChairView, Choice, Clocks, Prompt, Tone

CAUTION = (
    "A record-keeping aid, not a medical device. The clinician decides; local rules and manufacturers' "
    "instructions come first."
)
LEGEND = "number Enter: choose   .. wipe   / leave"
FIRST_RESUMED = 11
"""The number of the first session that can be resumed; those below are fixed, whatever there is to resume."""


@dataclass(slots=True)
class Lobby:
    """Before a session: lists and forms. Once one is open or replayed, everything goes to it."""

    house: House
    session: Session | None = None
    replay: Replay | None = None
    saying: str = ""
    tone: Tone = Tone.PLAIN
    form: Form | SecondForm | None = None
    choosing: bool = False
    test: SoundTest | None = None
    over: bool = False
    goes_on: bool = False
    resumable: Pages = field(init=False)
    every: Pages = field(init=False)
    rows: int = LEAST_ROWS

    def __post_init__(self) -> None:
        """Look what there is to resume, to go on from and to replay."""
        self._look()

    def _look(self) -> None:
        found = list_sessions(self.house.folder)
        self.resumable = Pages([one for one in found if not one.closed and not one.void], FIRST_RESUMED)
        self.every = Pages(found, 1)
        self.goes_on = any_offered(found, practice=self.house.clock.test)

    @property
    def _desk(self) -> Session | Replay | None:
        """Whoever answers for everything now, unless it is the start screen itself."""
        return self.session if self.session is not None else self.replay

    @property
    def pending(self) -> str:
        """The half-typed line to offer."""
        return self._desk.pending if self._desk is not None else ""

    def enter(self, text: str) -> None:
        """Take one entered line."""
        self.house.tick()
        if self.session is not None:
            self.session.enter(text)
            if self.session.room.over:
                said = self.session.room.saying or "Left; the session is saved and can be resumed."
                self._back_to_start(self.session, said)
            return
        if self.replay is not None:
            self.replay.enter(text)
            if self.replay.over:
                self._back_to_start(self.replay, "Replay left; nothing was changed.")
            return
        self.saying, self.tone = "", Tone.PLAIN
        try:
            self._take(read_line(text))
        except (RecordError, BadProtocol, BadSettings) as error:
            self._say(str(error).split("\n")[0], Tone.STOP)
            if self.session is not None:  # it is open already; only its first words could not be saved
                self.session.room.say(self.saying, Tone.STOP)

    def view(self) -> ChairView:
        """Give what to show."""
        if self._desk is not None:
            return self._desk.view()
        return ChairView(
            title="stepper",
            subtitle=self.house.settings.heading,
            banner="PRACTICE" if self.house.clock.test else "",
            steps=(),
            canals=(),
            prompt=self._prompt(),
            armed="",
            readback="",
            saying=self.saying or CAUTION,
            saying_tone=self.tone,
            band=None,
            remarks=(),
            more_remarks=0,
            log=(),
            covered=False,
            over=self.over,
        )

    def clocks(self) -> Clocks:
        """Give the clocks."""
        if self._desk is not None:
            return self._desk.clocks()
        return Clocks(time_of_day(self.house.clock.now()))

    def fit(self, rows: int) -> None:
        """Take so many rows for a page of text from now on."""
        self.rows = rows
        if self._desk is not None:
            self._desk.fit(rows)

    def typing(self, line: str) -> None:
        """Keep a half-typed line, where there is a session to keep it for."""
        if self._desk is not None:
            self._desk.typing(line)

    def move(self, direction: str) -> None:
        """Pass an arrow on."""
        if self._desk is not None:
            self._desk.move(direction)

    def take_offer(self) -> None:
        """Take the offer."""
        if self._desk is not None:
            self._desk.take_offer()

    def menu(self) -> None:
        """Open the menu."""
        self.enter("/")

    def bells(self) -> int:
        """Tell how often to ring."""
        rings = self.test if self._desk is None else self._desk
        return rings.bells() if rings is not None else 0

    def leave(self) -> None:
        """Close what is open."""
        if self._desk is not None:
            self._desk.leave()

    def _back_to_start(self, desk: Session | Replay, said: str) -> None:
        """Close what is over and show the start screen again: the next patient is on the way."""
        desk.leave()
        self.session, self.replay, self.form, self.choosing = None, None, None, False
        self._look()
        self._say(said, Tone.GOOD)

    def _say(self, text: str, tone: Tone) -> None:
        self.saying, self.tone = text, tone

    def _prompt(self) -> Prompt:
        if self.form is not None:
            return self.form.prompt(self.house.protocol, LEGEND)
        if self.test is not None:
            return self.test.prompt()
        if self.choosing:
            ways = self.every.choices()
            return Prompt("Replay", "", "Which session?", self.every.hint(), ways, "", "", "", LEGEND)
        ways = (*(Choice(str(number), text) for number, text in self._ways().items()), *self.resumable.choices())
        asked = "Open a new session, or resume one" if self.resumable.listed else "Open a new session"
        return Prompt("Start", "", asked, self.resumable.hint(), ways, "", "", "", LEGEND)

    def _ways(self) -> dict[int, str]:
        """Give what can be done besides resuming. A number once learnt never does another thing."""
        ways = {1: "new session"}
        if self.goes_on:
            ways[2] = "second visit, going on from an earlier one"
        if self.every.listed:
            ways[3] = "replay a session"
        ways[5] = self.house.sound
        return ways

    def _take(self, line: Line) -> None:
        if isinstance(line, Command) and line.name is CommandName.MENU:
            self.over = self.form is None and not self.choosing and self.test is None
            self.form, self.choosing, self.test = None, False, None
            return
        if self.test is not None:
            self._say(*self.test.take(line))
            self.test = None if self.test.done else self.test
            return
        typed = line.fields[0] if isinstance(line, Answer) and len(line.fields) == 1 and line.canals is None else ""
        if self.form is not None:
            self._fill_in(self.form, typed)
        elif isinstance(line, Empty) and (self.every if self.choosing else self.resumable).turn():
            return
        else:
            number = int(typed) if typed.isdecimal() and len(typed) < 5 else 0
            self._choose_replay(number) if self.choosing else self._choose(number)

    def _choose(self, number: int) -> None:
        listed = self.resumable.of(number)
        if listed is not None:
            self._resume(listed.path)
        elif number == 1:
            self.form = Form()
        elif number == 2:
            self._begin_second()
        elif number == 3 and self.every.listed:
            self.choosing = True
        elif number == 5:
            self.test = self.house.sound_test()
            self._say("Listen." if self.test is not None else OFF, Tone.PLAIN)
        else:
            numbers = ", ".join(str(one) for one in self._ways())
            more = f" or {FIRST_RESUMED} to {self.resumable.last}" if self.resumable.listed else ""
            self._say(f"Type {numbers}{more}, or / to leave.", Tone.WARN)

    def _begin_second(self) -> None:
        there = list(offered(list_sessions(self.house.folder), practice=self.house.clock.test))
        if there:
            self.form = SecondForm(Pages(there, 1))
        else:
            self._say("No closed visit has a canal that is left to go on with.", Tone.WARN)

    def _choose_replay(self, number: int) -> None:
        listed = self.every.of(number)
        if listed is None:
            self._say(f"Type a number from 1 to {self.every.last}, or / to go back.", Tone.WARN)
            return
        self.replay = open_replay(listed.path)
        self.replay.fit(self.rows)

    def _resume(self, path: Path) -> None:
        journal, case, said = resume(path, self.house.clock)
        room = self._hand_over(journal, case, resumed=True).room
        half = f" Half typed before: {self.pending}  (.. wipes it)" if self.pending else ""
        room.say((said or "Resumed: everything logged is here.") + half, Tone.GOOD)

    def _fill_in(self, form: Form | SecondForm, typed: str) -> None:
        house = self.house
        if not form.answers(typed):
            self._say(form.take(house.protocol, typed), Tone.WARN)
        elif isinstance(form, SecondForm):
            opening, earlier = form.opening(house.protocol_text, house.settings_text)
            self._hand_over(*open_second(house.folder, house.clock, opening, earlier, house.sid))
        else:
            opening = form.opening(house.protocol_text, house.settings_text)
            self._hand_over(*open_new(house.folder, house.clock, opening, house.sid))

    def _hand_over(self, journal: Journal, case: Case, *, resumed: bool = False) -> Session:
        house, typed = self.house, TypedLine(journal.path.with_suffix(".typed"))
        self.session = Session(case, journal, house.clock, typed, sound=house.settings.sound, trace=house.trace)
        self.session.fit(self.rows)
        if resumed:
            self.session.room.log("resume", app=case.header.app)
        self.session.room.log("sound_state", on=house.settings.sound, tested=house.tested)
        return self.session
