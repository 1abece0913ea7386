"""The start screen's conversation: open, resume or replay a session, then hand over to it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from stepper.case.state import Case
from stepper.lines.grammar import Answer, Command, CommandName, Empty, Line, read_line
from stepper.protocol.problems import BadProtocol
from stepper.protocol.settings import BadSettings
from stepper.record.journal import Journal
from stepper.record.problems import Busy, Damaged, RecordError
from stepper.session.coach import LEARNED, coached
from stepper.session.first import LEGEND, OPEN_NEW, start_view
from stepper.session.form import Form
from stepper.session.house import House
from stepper.session.known import FIRST_RESUMED, NEWCOMER, Known, look
from stepper.session.latch import Latch
from stepper.session.lists import Pages
from stepper.session.mending import Mending
from stepper.session.pages import LEAST_ROWS
from stepper.session.paint import time_of_day
from stepper.session.practising import practice_opening
from stepper.session.previous import offered
from stepper.session.second import SecondForm
from stepper.session.session import Session
from stepper.session.sound_test import OFF, SoundTest
from stepper.session.store import Opening, go_on, list_sessions, open_new, open_second, resume
from stepper.session.typed import TypedLine
from stepper.session.view import ChairView, Choice, Clocks, Prompt, Tone

if TYPE_CHECKING:
    from stepper.session.replay import Replay


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
    mending: Mending | None = None
    over: bool = False
    latch: Latch = field(default_factory=Latch)
    known: Known = field(init=False)
    rows: int = LEAST_ROWS

    def __post_init__(self) -> None:
        """Look what there is to resume, to go on from and to replay."""
        self.known = look(self.house)

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
                learned = bool(self.session.room.protocol.lesson) and self.session.room.case.closed
                self._back_to_start(self.session, LEARNED if learned else said)
            return
        if self.replay is not None:
            self.replay.enter(text)
            if self.replay.over:
                self._back_to_start(self.replay, "Replay left.")
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
        if self.session is not None and self.session.room.protocol.lesson:
            return coached(self.session.view(), self.session.room)
        if self._desk is not None:
            return self._desk.view()
        house = self.house
        practice, heading = house.clock.test, house.settings.heading
        return start_view(
            self._prompt(), practice=practice, subtitle=heading, saying=self.saying, tone=self.tone, over=self.over
        )

    def answer(self, before: ChairView) -> ChairView | None:
        """Give what answers the last line before the whole is made, while a session is open; a coach sees it whole."""
        session = self.session
        return session.answer(before) if session is not None and not session.room.protocol.lesson else None

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
        self.known = look(self.house)
        self._say(said, Tone.GOOD)

    def _say(self, text: str, tone: Tone) -> None:
        self.saying, self.tone = text, tone

    def _prompt(self) -> Prompt:
        if self.form is not None:
            return self.form.prompt(self.house.protocol, LEGEND)
        if self.test is not None:
            return self.test.prompt()
        if self.mending is not None:
            return self.mending.prompt(LEGEND)
        if self.choosing:
            ways = self.known.every.choices()
            return Prompt("Replay", "", "Which session?", self.known.every.hint(), ways, "", "", "", LEGEND)
        ways = (
            *(Choice(str(number), text) for number, text in self._ways().items()),
            *self.known.resumable.choices(),
        )
        asked = f"{OPEN_NEW}, or resume one" if self.known.resumable.listed else OPEN_NEW
        card = () if self.known.every.listed else NEWCOMER
        return Prompt("Start", "", asked, self.known.resumable.hint(), ways, "", "", "", LEGEND, card)

    def _ways(self) -> dict[int, str]:
        return self.known.ways(self.house.sound, lockable=self.latch.lockable)

    def _take(self, line: Line) -> None:
        if isinstance(line, Command) and line.name is CommandName.MENU:
            self.over = self.form is None and not self.choosing and self.test is None and self.mending is None
            self.form, self.choosing, self.test, self.mending = None, False, None, None
            return
        if self.test is not None:
            self._say(*self.test.take(line))
            self.test = None if self.test.done else self.test
            return
        fields = line.fields if isinstance(line, Answer) and line.canals is None else ("",)
        typed = fields[0] if len(fields) == 1 else ""
        if self.form is not None:
            self._fill_in(self.form, fields)
        elif self.mending is not None:
            self._mend(self.mending, typed)
        elif isinstance(line, Empty) and (self.known.every if self.choosing else self.known.resumable).turn():
            return
        else:
            number = int(typed) if typed.isdecimal() and len(typed) < 5 else 0
            self._choose_replay(number) if self.choosing else self._choose(number)

    def _choose(self, number: int) -> None:
        listed = self.known.resumable.of(number)
        if listed is not None:
            self._resume(listed.path)
        elif number == 1:
            self.form = Form()
        elif number == 2:
            self._begin_second()
        elif number == 3 and self.known.every.listed:
            self.choosing = True
        elif number == 4:
            self._open(practice_opening(self.house.settings))
        elif number == 5:
            self.test = self.house.sound_test()
            self._say("Listen." if self.test is not None else OFF, Tone.PLAIN)
        elif number == 6 and self.latch.lockable:
            self.latch.lock()
        else:
            numbers = ", ".join(str(one) for one in self._ways())
            more = f" or {FIRST_RESUMED} to {self.known.resumable.last}" if self.known.resumable.listed else ""
            self._say(f"Type {numbers}{more}, or / to leave.", Tone.WARN)

    def _begin_second(self) -> None:
        found = [] if self.house.protocol.lesson else list_sessions(self.house.folder)
        there = list(offered(found, practice=self.house.clock.test))
        if there:
            self.form = SecondForm(Pages(there, 1))
        else:
            self._say("No closed visit has a canal that is left to go on with.", Tone.WARN)

    def _choose_replay(self, number: int) -> None:
        listed = self.known.every.of(number)
        if listed is None:
            self._say(f"Type a number from 1 to {self.known.every.last}, or / to go back.", Tone.WARN)
            return
        self._show(listed.path)

    def _show(self, path: Path, why: str = "") -> None:
        self.replay = self.house.replay(path, why)
        self.replay.fit(self.rows)
        self.replay.latch = self.latch

    def _mend(self, mending: Mending, typed: str) -> None:
        """Go on with a damaged session in a new file, or leave it."""
        if typed not in ("1", "2"):
            self._say("Type 1 or 2.", Tone.WARN)
            return
        self.mending = None
        if typed == "1":
            self._resumed(*go_on(mending.path, self.house.clock))

    def _resume(self, path: Path) -> None:
        try:
            self._resumed(*resume(path, self.house.clock))
        except Damaged as error:
            self.mending = Mending(path, str(error))
        except Busy as error:
            self._show(path, f"{error} Only to be read here.")

    def _resumed(self, journal: Journal, case: Case, said: str) -> None:
        room = self._hand_over(journal, case, resumed=True).room
        half = f" Half typed before: {self.pending}  (.. wipes it)" if self.pending else ""
        room.say((said or "Resumed: everything logged is here.") + half, Tone.GOOD)

    def _fill_in(self, form: Form | SecondForm, fields: tuple[str, ...]) -> None:
        """Take the answers of one line; the yes at the end stands on a line of its own."""
        house = self.house
        if len(fields) > 1 or not form.answers(fields[0]):
            self._answer(form, fields)
        elif isinstance(form, SecondForm):
            opening, earlier = form.opening(house.protocol_text, house.settings_text)
            self._hand_over(*open_second(house.folder, house.clock, opening, earlier, house.sid))
        else:
            opening = form.opening(house.protocol_text, house.settings_text)
            self._open(replace(opening, practice=bool(house.protocol.lesson)))

    def _answer(self, form: Form | SecondForm, fields: tuple[str, ...]) -> None:
        for typed in fields:
            if len(fields) > 1 and form.answers("1"):
                self._say(f"{typed}: one answer too many; 1 on a line of its own opens the session.", Tone.WARN)
                return
            refused = form.take(self.house.protocol, typed)
            if refused:
                self._say(refused, Tone.WARN)
                return

    def _open(self, opening: Opening) -> None:
        self._hand_over(*open_new(self.house.folder, self.house.clock, opening, self.house.sid))

    def _hand_over(self, journal: Journal, case: Case, *, resumed: bool = False) -> Session:
        house, typed = self.house, TypedLine(journal.path.with_suffix(".typed"))
        self.session = Session(case, journal, house.clock, typed, sound=house.settings.sound, trace=house.trace)
        self.session.fit(self.rows)
        self.session.room.latch = self.latch
        if resumed:
            self.session.room.log("resume", app=case.header.app)
        self.session.room.log("sound_state", on=house.settings.sound, tested=house.tested)
        return self.session
