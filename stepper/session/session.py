"""One session at the chair: takes entered lines, keeps the record, says what to show."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from stepper.case.judge import Standing, judge
from stepper.case.slots import Cursor, next_question, slot
from stepper.case.state import Case
from stepper.case.walk import nearest_canal, start
from stepper.facts.values import Why
from stepper.lines.grammar import (
    Command,
    CommandName,
    GoCanal,
    GoStep,
    Line,
    MinutesAgo,
    Refused,
    WholeStep,
    Wipe,
    read_line,
)
from stepper.note.words import canal_name, title
from stepper.record.clock import Clock
from stepper.record.journal import Journal
from stepper.record.problems import RecordError
from stepper.session.modes.asking import Asking, go, go_past
from stepper.session.modes.correcting import Which
from stepper.session.modes.drawing import Drawing
from stepper.session.modes.finishing import Finish
from stepper.session.modes.holding import Act, Holding
from stepper.session.modes.incident import Details, What, stamp
from stepper.session.modes.logging import go_on_logging
from stepper.session.modes.looking import LookBack
from stepper.session.modes.menu import Menu
from stepper.session.modes.remarking import AskAgain, Asked, Stopped, Unsettled, mode_for
from stepper.session.paint import clocks, view
from stepper.session.reopening import Stood, changed_after_fill, sentence
from stepper.session.room import Mode, Room, wants_answer
from stepper.session.typed import TypedLine
from stepper.session.view import ChairView, Clocks, Prompt, Tone

Trace = Callable[[Mapping[str, object]], None]
MOVES = {"up": -1, "down": 1, "left": -1, "right": 1}


class Session:
    """A session file that is open and locked, with the case it tells and the conversation about it."""

    def __init__(
        self, case: Case, journal: Journal, clock: Clock, typed: TypedLine, *, sound: bool, trace: Trace | None
    ) -> None:
        self._trace = trace
        self._traced: tuple[object, ...] = ()
        self.room = Room(case, journal, clock, sound, start(case), self._shown)
        self._base: Mode = Asking()
        self._mode: Mode = self._base
        self._typed = typed
        self._stood = Stood()
        self._step_since = clock.now()
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
        self.room.band = None
        self.room.say("")
        cursor, before, since = self.room.cursor, self._stood.of(self.room.case), len(self.room.case.entries)
        self.room.muted = any(isinstance(mode, What | Details) for mode in (self._mode, *self._under))
        try:
            self._go(self._take(read_line(text)))
            self._settle()
        except RecordError as error:
            self.room.say(str(error), Tone.STOP)
            self.pending, self.room.waiting = text, []
        unlogged = isinstance(self._mode, Holding | Act)
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
        return view(self.room, prompt, blind=self._blind(prompt))

    def clocks(self) -> Clocks:
        """Give the clocks."""
        return clocks(self.room, self._step_since)

    def fit(self, rows: int) -> None:
        """Take so many rows for a page of text from now on."""
        self.room.page_rows = rows

    def typing(self, line: str) -> None:
        """Keep the half-typed line, to be offered again after a crash; before it, one that waits to be logged."""
        self._typed.keep(self._unlogged or line)

    def move(self, direction: str) -> None:
        """Go to the next or previous step (up, down) or canal (left, right)."""
        if self._mode is not self._base:
            self.room.say("Answer this first; / lists what else can be done.", Tone.WARN)
            return
        by, room = MOVES[direction], self.room
        if direction in ("up", "down"):
            numbers = len(room.protocol.step)
            place = room.protocol.number_of(room.cursor.step) + by
            self._address(GoStep(min(max(place, 1), numbers)))
        else:
            known = sorted(room.case.told.canals)
            if room.cursor.canal in known:
                self._address(GoCanal(known[(known.index(room.cursor.canal) + by) % len(known)]))

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
        self.room.journal.close()

    def _go(self, mode: Mode | None) -> None:
        """Go into a mode; where one ends, back to what it was opened from, or else to asking."""
        if isinstance(mode, Drawing | LookBack | Which) and self._blind():
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
        if self._mode is not self._base:
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
                now = self.clocks()
                room.say(f"{now.now}; visit {now.visit}; step {now.step}; {now.solution}".rstrip("; "))
                return self._mode
            case CommandName.REPEAT:
                room.readback = room.last_readback
                room.say("Read it aloud." if room.readback else "Nothing to read back yet.")
                return self._mode
            case CommandName.FINISH if self._mode is self._base:
                return Finish(room.cursor)
            case CommandName.CORRECT if not isinstance(self._mode, Which):
                return self._open(Which())
            case CommandName.LOOK_BACK if not isinstance(self._mode, LookBack | Drawing):
                return self._open(LookBack())
            case _:
                return self._mode.take(room, line)

    def _address(self, line: GoCanal | GoStep | MinutesAgo | WholeStep) -> Mode | None:
        room = self.room
        if self._mode is not self._base:
            room.say("Answer this first; / lists what else can be done.", Tone.WARN)
            return self._mode
        if isinstance(line, MinutesAgo):
            if line.minutes > self._minutes():
                room.say(
                    f"{line.minutes} minutes ago the visit was not open; it is {self._minutes()} min old.", Tone.WARN
                )
                return self._mode
            room.armed = line.minutes or None
            room.say(f"The next answer happened {line.minutes} min ago." if line.minutes else "It happens now.")
            return self._mode
        if isinstance(line, GoCanal):
            return self._go_canal(line.number)
        if not 1 <= line.number <= len(room.protocol.step):
            room.say(f"There is no step {line.number}; steps are 1 to {len(room.protocol.step)}.", Tone.WARN)
            return self._mode
        step = room.protocol.step[line.number - 1]
        canal = nearest_canal(room.case, step, room.cursor.canal)
        if canal is None:
            room.say(f"{step.title} is asked for each canal, and none is found yet.", Tone.WARN)
            return self._mode
        if isinstance(line, WholeStep):
            how = {Why.NOT_DONE: "not_done", Why.OWED: "owed"}[line.why]
            room.log("step", step=step.id, canal=canal, how=how)
            go_past(room, step.id, canal)
            where = f"{step.title} {canal_name(room.case, canal)}".strip()
            room.say(f"{where}: {how.replace('_', ' ')}.", Tone.WARN)
            return None
        go(room, Cursor(step.id, canal), out_of_turn=True)
        room.say(f"At {step.title} {canal_name(room.case, canal)}".rstrip())
        return None

    def _minutes(self) -> int:
        """Give how long the visit has been open, in whole minutes; across a restart it is not known, and a day goes."""
        now, header = self.room.clock.now(), self.room.case.header
        return (now.mono_us - header.mono_us) // 60_000_000 if now.boot == header.boot else 24 * 60

    def _go_canal(self, number: int) -> Mode | None:
        room = self.room
        if number not in room.case.told.canals:
            names = ", ".join(f"{one.number} {one.name}" for one in room.case.told.canals.values()) or "none yet"
            room.say(f"There is no canal {number}; there are: {names}.", Tone.WARN)
            return self._mode
        if room.protocol.by_step[room.cursor.step].scope == "T":
            room.say(f"{title(room.protocol, room.cursor.step)} is the tooth's: go to a canal's step first.", Tone.WARN)
            return self._mode
        go(room, Cursor(room.cursor.step, number))
        room.say(f"At canal {number} {canal_name(room.case, number)}")
        return None

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

    def _shown(self, members: Mapping[str, object]) -> None:
        if self._trace is not None:
            self._trace(members)

    def _shown_now(self) -> None:
        """Trace the question that is shown now: what is asked, never a value."""
        room = self.room
        here = slot(room.case, room.cursor) if self._mode is self._base else None
        question = next_question(room.case, here, {}) if here is not None else None
        shown = {
            "step": room.cursor.step,
            "canal": here.canal if here is not None else room.cursor.canal,
            "question": question.id if question is not None else None,
            "kind": question.kind if question is not None else type(self._mode).__name__.lower(),
            "blind": bool(question is not None and question.blind),
        }
        key = tuple(shown.values())
        if key != self._traced:
            self._traced = key
            self._shown(shown)
