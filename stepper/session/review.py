"""Work on a record after the visit: what is corrected, written, confirmed, settled and signed, each a new entry.

Somebody has to say first who is at the keys. The file is opened with the first thing that is logged, and not
for looking. What is added to a signed session goes into its addendum.
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
from stepper.note.words import person
from stepper.record.clock import Clock
from stepper.record.continuing import last_path
from stepper.record.problems import RecordError, Retired
from stepper.record.system import look_free
from stepper.session import paint
from stepper.session.addendum import open_addendum
from stepper.session.modes.correcting import SpokenYes
from stepper.session.modes.listing import LEGEND as LISTED
from stepper.session.modes.listing import numbered, one_field
from stepper.session.modes.remarking import mode_for
from stepper.session.moving import go_on_in_new_file
from stepper.session.read_through import Passphrase
from stepper.session.room import Mode, Room
from stepper.session.signing import sign_session
from stepper.session.store import put_away, resume
from stepper.session.view import ChairView, Prompt, Tone
from stepper.session.wording import Wording

LEGEND = "number Enter: choose  .. wipe  / back to the replay"
AT_SIGNING = "It waits for the clinician's own yes, at signing at the latest."


@dataclass(frozen=True, slots=True)
class Study:
    """What a record is worked on with: the clock, and the data folder, in which the keys are."""

    clock: Clock
    data: Path


class Review:
    """A session that is worked on. `asking`: something is asked; `signed`: that was the last thing done."""

    def __init__(self, path: Path, study: Study, case: Case, rows: int) -> None:
        self._path, self._study = path, study
        self._room = Room(case, None, study.clock, sound=True, cursor=start(case), page_rows=rows)
        self._room.opens, self._room.muted = self._open_file, True  # muted: nobody stands at a chair
        self._room.known = {one.remark.key for one in judge(case)}
        self._mode: Mode | None = None
        self._under: list[Mode] = []
        self._then: Callable[[Room], Mode | None] = lambda _: None
        self.asking = False
        self.pending = ""
        self.signed: Signature | None = None

    @property
    def case(self) -> Case:
        """The record as it stands now."""
        return self._room.case

    @property
    def said(self) -> tuple[str, Tone]:
        """What was said last."""
        return self._room.saying, self._room.tone

    def begin(self, opens: Callable[[Room], Mode | None]) -> None:
        """Begin with something; before the first thing it is asked who is at the keys."""
        self.asking, self._then = True, opens
        self._room.say("")
        if self._room.by is not None:
            self._begin()

    def enter(self, text: str) -> None:
        """Take one entered line. Whatever it makes true is on the disk when this returns."""
        room, mode, self.pending = self._room, self._mode, ""
        room.say("")
        room.readback = ""
        try:
            if room.by is None:
                self._at_keys(read_line(text))
            elif isinstance(mode, Passphrase):
                self._sign(mode, text)
            elif isinstance(mode, Wording):
                self._go(mode.take_text(room, text))
                self.pending = text if self._mode is mode else ""
            else:
                self._take(read_line(text))
        except RecordError as error:
            room.say(str(error), Tone.STOP)
            self.pending = text
            if isinstance(error, Retired) and room.journal is not None:
                go_on_in_new_file(room)

    def view(self) -> ChairView | None:
        """Give what to show; None while only `people` are asked for."""
        if self._mode is None:
            return None
        told, prompt = self._room.case.told, self._mode.prompt(self._room)
        shown = paint.view(self._room, replace(prompt, legend=LEGEND) if prompt.legend == LISTED else prompt, blind="")
        head = f"REVIEW by {person(self._room.protocol, self._room.by)} · patient {told.patient}, tooth {told.tooth}"
        reading = prompt.page is not None  # a quick Enter turns a page, and is no bounce of the finger
        words, masked = isinstance(self._mode, Wording), isinstance(self._mode, Passphrase)
        return replace(shown, title=head, masked=masked, words=words, read_only=reading)

    def people(self) -> Prompt:
        """Ask who is at the keys."""
        ways = [(one.number, one.name) for one in self._room.protocol.person]
        asked = numbered("Work on the record", "Who is at the keys?", ways, then="0 goes back to the replay")
        return replace(asked, legend=LEGEND)

    def fit(self, rows: int) -> None:
        """Take so many rows for a page of text from now on."""
        self._room.page_rows = rows

    def leave(self) -> None:
        """Close the file, where it was opened."""
        if self._room.journal is not None:
            put_away(self._room.journal)
        self._room.journal, self.asking = None, False

    def _at_keys(self, line: Line) -> None:
        """Take who is at the keys."""
        typed = one_field(line) or ""
        people = {str(one.number): one.number for one in self._room.protocol.person}
        if typed == "0" or (isinstance(line, Command) and line.name is CommandName.MENU):
            self.asking = False
            self._room.say("Nothing was changed.")
        elif typed not in people:
            self._room.say(f"Type one of {', '.join(people)}, or 0 to go back.", Tone.WARN)
        else:
            self._room.by = people[typed]
            self._begin()

    def _begin(self) -> None:
        """Begin with what was wished; a file that is open elsewhere is told of before anything is keyed."""
        try:
            if self._room.journal is None and not self._room.case.signatures:
                look_free(last_path(self._path))
            self._go(self._then(self._room))
        except RecordError as error:
            self._room.say(str(error), Tone.STOP)
            self._go(None)

    def _open_file(self, room: Room) -> None:
        """Open the file for the first entry, and log who is at the keys."""
        by = room.by
        assert by is not None
        if room.case.signatures:
            room.journal, room.case, _ = open_addendum(self._path, room.clock, by)
        else:
            room.journal, room.case, _ = resume(last_path(self._path), room.clock)
        room.known |= {one.remark.key for one in judge(room.case)}
        if room.case.keyed_by != by:
            room.case.keyed_by = by  # whoever keyed last is not here: the one who takes over says so
            room.log("relief", person=by)
        room.log("resume", app=room.case.header.app)

    def _take(self, line: Line) -> None:
        assert self._mode is not None
        if isinstance(line, Command) and line.name is CommandName.MENU:
            self._under, self._room.queue = [], []
            self._go(None)
        elif not isinstance(line, Wipe):
            self._go(self._mode.take(self._room, line))

    def _go(self, mode: Mode | None) -> None:
        """Go into a mode; where one ends, back to what it was opened from, then to what its entries ask."""
        room = self._room
        if room.opened_from is not None:
            self._under.append(room.opened_from)
            room.opened_from = None
        if isinstance(mode, SpokenYes) and room.clinician != room.by:
            room.say(f"{room.saying} {AT_SIGNING}".lstrip(), room.tone)
            mode = None
        while mode is None and (self._under or room.queue):
            mode = self._under.pop() if self._under else mode_for(room, room.queue.pop(0))
        self._mode, self.asking = mode, mode is not None

    def _sign(self, mode: Passphrase, typed: str) -> None:
        """Sign, with the file closed: signing opens it for itself."""
        room = self._room
        if not typed:
            room.say("Nothing was signed.")
            self._go(None)
            return
        path = room.journal.path if room.journal is not None else last_path(self._path)
        self.leave()
        self.asking = True
        try:
            one = sign_session(path, self._study.clock, self._study.data, mode.key, typed)
        except RecordError as error:
            room.say(str(error), Tone.STOP)
            return
        self.signed, self.asking = one, False
        room.say(f"Signed by {one.name} ({one.initials}).", Tone.GOOD)
