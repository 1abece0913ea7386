"""The typed entries of a session as its file is read, and those of the files that it goes on from."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from msgspec.structs import replace

from stepper.case.fold import fold
from stepper.case.state import Case
from stepper.facts.entries import Answer, AnyEntry, Correction, Open, parse_own
from stepper.facts.record import place_of
from stepper.facts.values import Absent
from stepper.protocol.load import load_text
from stepper.protocol.models import Protocol
from stepper.protocol.settings import read_settings, settled
from stepper.record.continuing import continued
from stepper.record.problems import Unreadable


class Typed:
    """The entries of the session in a file, taken one by one. Raises Unreadable.

    `taken` are the lines so far; `before` is how many entries of other files come before those of its own.
    """

    def __init__(self, path: Path) -> None:
        self.entries: list[AnyEntry] = []
        self.before = 0
        self._path = path
        self.taken = 0

    def take(self, line: dict[str, object]) -> None:
        """Take the next one; nobody else may need its members."""
        number, self.taken = self.taken, self.taken + 1
        gone_on_from = line.get("continues")
        try:
            entry = parse_own(line)
        except ValueError as error:
            where = f"{self._path.name}: entry {number}"
            raise Unreadable(f"{where}: {place_of(error)} is not as the format has it.") from None
        if isinstance(entry, Open) and entry.continues is not None:
            self._go_on_from(gone_on_from)
        else:
            self.entries.append(replace(entry, seq=entry.seq + self.before) if self.before else entry)

    def case(self) -> Case:
        """Fold them; also raises BadProtocol and BadSettings."""
        header, name = self.entries[0] if self.entries else None, self._path.name
        if header is None:
            why = "a session's file has its id for a name, and cannot be read under another"
            raise Unreadable(f"{name}: no entry of it holds; {why}.")
        if not isinstance(header, Open):
            raise Unreadable(f"{name}: does not begin with a session's header.")
        protocol = settled(load_text(header.protocol, f"{name} (protocol)"), read_settings(header.settings, name))
        _look_at_values(protocol, self.entries, name)
        return fold(protocol, self.entries)

    def _go_on_from(self, told: object) -> None:
        """Take what counts of the file before; what the first line of this one says was said there."""
        path, _, lines = continued(self._path, told)
        earlier = Typed(path)
        for line in lines:
            earlier.take(line)
        self.entries, self.before = earlier.entries, len(earlier.entries) - 1


def _look_at_values(protocol: Protocol, entries: Sequence[AnyEntry], name: str) -> None:
    """Refuse a log whose answers hold what their questions cannot: this program never writes such a one."""
    steps: dict[int, str] = {}
    for entry in entries:
        if isinstance(entry, Answer):
            steps[entry.seq] = entry.step
        elif isinstance(entry, Correction):
            steps[entry.seq] = steps.get(entry.of, "")
        else:
            continue
        step = protocol.by_step.get(steps[entry.seq])
        for question, value in entry.values.items():
            asked = step.asked(question) if step is not None else None
            if asked is not None and not isinstance(value, (*asked.HOLDS, Absent)):
                raise Unreadable(f"{name}: entry {entry.seq}: {question} holds a {value.kind}, not a {asked.kind}.")
