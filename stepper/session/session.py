"""One session at the chair: takes entered lines, keeps the record, says what to show."""

from __future__ import annotations

from dataclasses import replace

from stepper.case.clocks import came_to_step, keyed
from stepper.case.judge import Standing, judge
from stepper.case.slots import Cursor
from stepper.case.state import Case
from stepper.case.walk import start
from stepper.lines.grammar import (
    AbsentAnswer,
    Answer,
    Command,
    CommandName,
    GoCanal,
    GoStep,
    Line,
    MenuWay,
    MinutesAgo,
    Refused,
    Scan,
    WholeStep,
    Wipe,
    read_line,
)
from stepper.record.clock import Clock, Moment
from stepper.record.journal import Journal
from stepper.record.problems import RecordError, Retired
from stepper.session.addressing import Address, address, neighbour
from stepper.session.modes.asking import Asking
from stepper.session.modes.correcting import Which
from stepper.session.modes.drawing import Drawing
from stepper.session.modes.finishing import Finish
from stepper.session.modes.holding import Act, Holding
from stepper.session.modes.incident import Details, What, stamp
from stepper.session.modes.logging import go_on_logging
from stepper.session.modes.looking import LookBack
from stepper.session.modes.menu import Menu, at_once
from stepper.session.modes.reading import Reading
from stepper.session.modes.remarking import AskAgain, Asked, Stopped, Unsettled, mode_for
from stepper.session.modes.returning import Pause, Returned, pause, wants_canal, where
from stepper.session.modes.scanned import StockNumber
from stepper.session.moving import go_on_in_new_file
from stepper.session.paint import clocks, view
from stepper.session.reopening import Stood, changed_after_fill, sentence
from stepper.session.room import Mode, Room, wants_answer
from stepper.session.store import put_away
from stepper.session.tracing import Trace, Tracer
from stepper.session.typed import TypedLine
from stepper.session.view import ChairView, Clocks, Prompt, Tone

PAGES = (Drawing, LookBack, Reading)
"""What is only looked at; going from one to another leaves the first."""


class Session:
    """A session file that is open and locked, with the case it tells and the conversation about it."""

    def __init__(
        self, case: Case, journal: Journal, clock: Clock, typed: TypedLine, *, sound: bool, trace: Trace | None
    ) -> None:
        self._tracer = Tracer(trace)
        self.room = Room(case, journal, clock, sound, start(case))
        self._base: Mode = Asking()
        self._mode: Mode = self._base
        self._typed = typed
        self._viewed: Cursor | None = None
        self._stood = Stood()
        self._step_since = came_to_step(case)
        self._last_line = _last_entry(case)
        self.pending = typed.kept
        self._under: list[Mode] = []
        self._unlogged = ""
        judged = judge(case)
        self.room.known = {one.remark.key for one in judged}
        open_now = [one.remark for one in judged if one.standing is Standing.OPEN]
        self.room.queue = [remark for remark in open_now if wants_answer(remark)]
        self._settle()

    def enter(self, text: str) -> None:
        """Take one entered line. Whatever it makes true is on the disk when this returns."""
        self.pending = ""
        self.room.band, self.room.alarmed = None, False
        self.room.say("")
        cursor, before, since = self.room.cursor, self._stood.of(self.room.case), len(self.room.case.entries)
        self.room.muted = any(isinstance(mode, What | Details) for mode in (self._mode, *self._under))
        line, away, at = read_line(text), self._away(), where(self.room) if self._mode is self._base else ""
        try:
            if away is not None and self._mode is self._base and wants_canal(self.room, line):
                self._mode = Returned(line, text, away)
            else:
                self._go(self._take(line))
                self._settle()
                self._welcome(line, away, at)
        except RecordError as error:
            self.room.say(str(error), Tone.STOP)
            self.pending, self.room.waiting = text, []
            if isinstance(error, Retired):
                go_on_in_new_file(self.room)
        unlogged = isinstance(self._mode, Holding | Act | Returned | StockNumber)
        self._unlogged = (self._unlogged or text) if unlogged else ""
        self._typed.keep(self.pending or self._unlogged)
        again = sentence(self.room.case, before, self._stood.of(self.room.case), since)
        again = f"{again} {changed_after_fill(self.room.case, since)}".strip()
        if again:
            self.room.say(f"{self.room.saying.rstrip('.')}. {again}".lstrip(". "), Tone.WARN)
        if self.room.cursor != cursor:
            self._step_since = self.room.clock.now()
        self._shown_now()

    def view(self) -> ChairView:
        """Give what to show."""
        prompt = self._mode.prompt(self.room)
        shown = view(self.room, prompt, blind=self._blind(prompt))
        self._viewed = self.room.cursor
        return replace(shown, armed="canal first, as 2*") if self._wants_canal() and not shown.armed else shown

    def answer(self, before: ChairView) -> ChairView | None:
        """Give what was logged and what is asked next, beside what stood at a glance in the `before` of this place.

        None where more changes than an answer in its step: the place, the canals, a remark to be met, what is covered.
        """
        room, plain = self.room, self._mode is self._base and not self.room.over
        if not plain or room.tone is not Tone.GOOD or room.cursor != self._viewed or before.covered or before.page:
            return None
        if len(before.canals) != len(room.case.told.canals):
            return None
        prompt = self._mode.prompt(room)
        if prompt.blind or prompt.page is not None:
            return None
        said = replace(before, saying=room.saying, saying_tone=room.tone, readback=room.readback, band=None)
        return replace(said, prompt=prompt, armed=f"{room.armed} min ago" if room.armed else "")

    def clocks(self) -> Clocks:
        """Give the clocks."""
        return replace(clocks(self.room, self._step_since), away=self._wants_canal())

    def _wants_canal(self) -> bool:
        """Tell whether an answer that names no canal would be asked for it, since nothing was entered for so long."""
        away = pause(self._last_line, self.room.clock.now())
        return away is not None and self._mode is self._base and wants_canal(self.room, Answer(None, ()))

    def fit(self, rows: int) -> None:
        """Take so many rows for a page of text from now on."""
        self.room.page_rows = rows

    def typing(self, line: str) -> None:
        """Keep the half-typed line, to be offered again after a crash; before it, one that waits to be logged."""
        self._typed.keep(self._unlogged or line)

    def move(self, direction: str) -> None:
        """Go to the next or previous step (up, down) or canal (left, right)."""
        to = neighbour(self.room, direction)
        if to is not None:
            self._address(to)

    def take_offer(self) -> None:
        """Take the offer, as Enter on an empty line does."""
        self.enter("")

    def menu(self) -> None:
        """Open the menu."""
        self.enter("/")

    def bells(self) -> int:
        """Tell how often to ring now, once."""
        bells, self.room.bells = self.room.bells, 0
        return bells if self.room.sound else 0

    def leave(self) -> None:
        """Close the file; the session stays open and can be resumed."""
        self._typed.close()
        put_away(self.room.file)

    def _go(self, mode: Mode | None) -> None:
        """Go into a mode; where one ends, back to what it was opened from, or else to asking."""
        if isinstance(mode, (*PAGES, Which)) and self._blind():
            self.room.say("Covered: answer what is asked from its source first.", Tone.WARN)
            mode = None
        if self.room.anew:
            self._under, self.room.anew = [], False
        if self.room.opened_from is not None:
            self._under.append(self.room.opened_from)
            self.room.opened_from = None
        standing = {one.remark.key for one in judge(self.room.case)}
        while mode is None:
            mode = self._under.pop() if self._under else self._base
            if isinstance(mode, Asked | Stopped | Unsettled | AskAgain) and mode.remark.key not in standing:
                mode = None  # what was corrected meanwhile need not be answered any more
            if isinstance(mode, Holding) and not mode.stands(self.room):
                self.room.waiting.insert(0, mode.draft)
                mode = None  # nor is what holds nothing back any more; the act goes on where it was held
        self._mode = mode

    def _open(self, mode: Mode) -> Mode:
        """Open a mode over the one that is, to come back to it."""
        turned = isinstance(self._mode, PAGES) and isinstance(mode, PAGES)
        if self._mode is not self._base and not turned:
            self._under.append(self._mode)
        return mode

    def _take(self, line: Line) -> Mode | None:
        """Take a line in the grammar's order: commands and addresses mean the same wherever one is."""
        match line:
            case Wipe():
                self.room.armed = None
                self.room.say("Wiped.")
                return self._mode
            case Command():
                return self._command(line)
            case GoCanal() | GoStep() | MinutesAgo() | WholeStep():
                return self._address(line)
            case MenuWay():
                opened = at_once(self.room, line)
                return self._mode if opened is None else self._open(opened)
            case Refused() if self._mode is not self._base:
                self.room.say(line.sentence, Tone.WARN)
                return self._mode
            case _:
                return self._mode.take(self.room, line)

    def _command(self, line: Command) -> Mode | None:
        room = self.room
        match line.name:
            case CommandName.MENU if not isinstance(self._mode, Menu):
                return self._open(Menu())
            case CommandName.INCIDENT:
                return self._open(stamp(room))
            case CommandName.CLOCK:
                room.say(clocks(room, self._step_since, blind=bool(self._blind())).in_words)
                return self._mode
            case CommandName.REPEAT:
                room.readback = room.last_readback
                room.say("Read it aloud." if room.readback else "Nothing to read back yet.")
                return self._mode
            case CommandName.FINISH if self._mode is self._base:
                return Finish(room.cursor)
            case CommandName.CORRECT if not isinstance(self._mode, Which):
                return self._open(Which())
            case CommandName.LOOK_BACK if not isinstance(self._mode, PAGES):
                return self._open(LookBack())
            case _:
                return self._mode.take(room, line)

    def _address(self, line: Address) -> Mode:
        """Do what an address says, unless something else wants an answer first."""
        if self._mode is self._base:
            address(self.room, line)
        else:
            self.room.say("Answer this first; / lists what else can be done.", Tone.WARN)
        return self._mode

    def _away(self) -> Pause | None:
        """Tell for how long nothing was entered, where that is worth a word."""
        last, self._last_line = self._last_line, self.room.clock.now()
        return pause(last, self._last_line)

    def _welcome(self, line: Line, away: Pause | None, at: str) -> None:
        """Say where one was when an answer was keyed after a pause."""
        told = isinstance(line, Answer | AbsentAnswer | Scan) and at and self.room.tone is not Tone.STOP
        if away is not None and told:
            self.room.say(f"After {away.words()}, at {at}. {self.room.saying}".rstrip(), self.room.tone)

    def _settle(self) -> None:
        """When nothing else is being asked, go on with what waits: drafts, then remarks that want an answer."""
        if self._mode is self._base and self.room.waiting:
            self._go(go_on_logging(self.room))
        while self._mode is self._base and self.room.queue:
            self._go(mode_for(self.room, self.room.queue.pop(0)))

    def _blind(self, shown: Prompt | None = None) -> str:
        """Name the source that a blind question is read from, also while a list lies over it."""
        shown = shown or self._mode.prompt(self.room)
        return shown.blind or (self._base.prompt(self.room).blind if self._under_cover() else "")

    def _under_cover(self) -> bool:
        return self._mode is not self._base and not isinstance(self._mode, AskAgain)

    def _shown_now(self) -> None:
        """Trace the question that is shown now."""
        self._tracer.shown(self.room, None if self._mode is self._base else type(self._mode).__name__.lower())


def _last_entry(case: Case) -> Moment:
    """Give when the session was last written to."""
    return keyed(case.entries[-1])
