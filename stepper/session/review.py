"""Work on a record after the visit: what is corrected, written, confirmed, settled and signed, each a new entry.

The file is opened for writing only once somebody has said who is at the keys. What is added to a signed session goes
into its addendum.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from stepper.case.judge import judge
from stepper.case.state import Case
from stepper.case.walk import start
from stepper.facts.signature import Signature
from stepper.lines.grammar import Command, CommandName, Line, Wipe, read_line
from stepper.record.clock import Clock
from stepper.record.continuing import last_path
from stepper.record.problems import RecordError, Retired
from stepper.session import paint
from stepper.session.addendum import open_addendum
from stepper.session.modes.listing import numbered, one_field
from stepper.session.modes.remarking import mode_for
from stepper.session.moving import go_on_in_new_file
from stepper.session.read_through import Passphrase
from stepper.session.room import Mode, Room
from stepper.session.signing import sign_session
from stepper.session.store import put_away, resume
from stepper.session.view import ChairView, Prompt, Tone
from stepper.session.wording import Wording

LEGEND = "number Enter: choose  .. wipe  / leaves it as it is"


@dataclass(frozen=True, slots=True)
class Study:
    """What a record is worked on with: the clock, and the data folder, in which the keys are."""

    clock: Clock
    data: Path


class Review:
    """A session that is worked on. `done`: nothing is asked any more; `signed`: that was the last thing done."""

    def __init__(self, path: Path, study: Study, case: Case, rows: int) -> None:
        self._path, self._study, self._first = path, study, case
        self._rows = rows
        self._room: Room | None = None
        self._mode: Mode | None = None
        self._under: list[Mode] = []
        self._then: Callable[[Room], Mode | None] = lambda _: None
        self._saying = ("", Tone.PLAIN)
        self.asking = False
        self.pending = ""
        self.signed: Signature | None = None

    @property
    def case(self) -> Case:
        """The record as it stands now."""
        return self._room.case if self._room is not None else self._first

    @property
    def opened(self) -> bool:
        """Whether the file is open for writing."""
        return self._room is not None

    @property
    def said(self) -> tuple[str, Tone]:
        """What was said last."""
        return (self._room.saying, self._room.tone) if self._room is not None else self._saying

    def begin(self, opens: Callable[[Room], Mode | None]) -> None:
        """Begin with something; before the first thing it is asked who is at the keys."""
        self.asking, self._then, self._saying = True, opens, ("", Tone.PLAIN)
        if self._room is not None:
            self._room.say("")
            self._open(self._room)

    def enter(self, text: str) -> None:
        """Take one entered line. Whatever it makes true is on the disk when this returns."""
        self.pending = ""
        if self._room is None:
            self._at_keys(read_line(text))
            return
        room, mode = self._room, self._mode
        room.say("")
        try:
            if isinstance(mode, Passphrase):
                self._sign(mode, text)
            elif isinstance(mode, Wording):
                self._go(room, mode.take_text(room, text))
            else:
                self._take(room, read_line(text))
        except RecordError as error:
            room.say(str(error), Tone.STOP)
            self.pending = text
            if isinstance(error, Retired):
                go_on_in_new_file(room)

    def view(self) -> ChairView | None:
        """Give what to show; None before the file is open, when only `people` are asked for."""
        if self._room is None or self._mode is None:
            return None
        told = self._room.case.told
        prompt = self._mode.prompt(self._room)
        shown = paint.view(self._room, prompt if prompt.page else replace(prompt, legend=LEGEND), blind="")
        head = f"REVIEW patient {told.patient}, tooth {told.tooth}"
        reading = prompt.page is not None  # a quick Enter turns a page, and is no bounce of the finger
        return replace(shown, title=head, masked=isinstance(self._mode, Passphrase), read_only=reading)

    def people(self) -> Prompt:
        """Ask who is at the keys."""
        ways = [(one.number, one.name) for one in self._first.protocol.person]
        asked = numbered("Work on the record", "Who is at the keys?", ways, then="0 goes back to the replay")
        return replace(asked, legend=LEGEND)

    def fit(self, rows: int) -> None:
        """Take so many rows for a page of text from now on."""
        self._rows = rows
        if self._room is not None:
            self._room.page_rows = rows

    def leave(self) -> None:
        """Close the file."""
        if self._room is not None:
            put_away(self._room.journal)
            self._room = None
        self.asking = False

    def _at_keys(self, line: Line) -> None:
        """Take who is at the keys, and open the file for that person."""
        typed = one_field(line) or ""
        people = {str(one.number): one.number for one in self._first.protocol.person}
        if typed == "0" or (isinstance(line, Command) and line.name is CommandName.MENU):
            self.asking, self._saying = False, ("Nothing was changed.", Tone.PLAIN)
        elif typed not in people:
            self._saying = (f"Type one of {', '.join(people)}, or 0 to go back.", Tone.WARN)
        else:
            try:
                self._room = self._opened(people[typed])
            except RecordError as error:
                self.asking, self._saying = False, (str(error), Tone.STOP)
            else:
                self._open(self._room)

    def _open(self, room: Room) -> None:
        try:
            self._go(room, self._then(room))
        except RecordError as error:
            room.say(str(error), Tone.STOP)
            self._go(room, None)

    def _opened(self, by: int) -> Room:
        clock = self._study.clock
        if self._first.signatures:
            journal, case, said = open_addendum(self._path, clock, by)
        else:
            journal, case, said = resume(last_path(self._path), clock)
        room = Room(case, journal, clock, sound=True, cursor=start(case), page_rows=self._rows)
        room.known = {one.remark.key for one in judge(case)}
        room.muted = True  # nobody stands at a chair
        if case.keyed_by != by:
            room.log("relief", person=by)
        room.log("resume", app=case.header.app)
        room.say(said)
        return room

    def _take(self, room: Room, line: Line) -> None:
        assert self._mode is not None
        if isinstance(line, Command) and line.name is CommandName.MENU:
            room.say("Left as it is.")
            self._under, room.queue = [], []
            self._go(room, None)
        elif not isinstance(line, Wipe):
            self._go(room, self._mode.take(room, line))

    def _go(self, room: Room, mode: Mode | None) -> None:
        """Go into a mode; where one ends, back to what it was opened from, then to what its entries ask."""
        if room.opened_from is not None:
            self._under.append(room.opened_from)
            room.opened_from = None
        while mode is None and (self._under or room.queue):
            mode = self._under.pop() if self._under else mode_for(room, room.queue.pop(0))
        self._mode, self.asking = mode, mode is not None

    def _sign(self, mode: Passphrase, typed: str) -> None:
        """Sign, with the file closed: signing opens it for itself."""
        room = self._room
        assert room is not None
        if not typed:
            room.say("Nothing was signed.")
            self._go(room, None)
            return
        path = room.journal.path
        put_away(room.journal)
        self._room = None
        try:
            self.signed = sign_session(path, self._study.clock, self._study.data, mode.key, typed)
        except RecordError as error:
            self._room, self._mode = self._again(room), mode
            self._room.say(str(error), Tone.STOP)
            return
        one = self.signed
        self.asking, self._saying = False, (f"Signed by {one.name} ({one.initials}).", Tone.GOOD)

    def _again(self, room: Room) -> Room:
        """Open the file again as it was."""
        journal, case, _ = resume(room.journal.path, self._study.clock)
        again = Room(case, journal, room.clock, sound=True, cursor=start(case), page_rows=self._rows)
        again.known, again.muted = room.known, True
        return again
