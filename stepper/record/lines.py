"""The entries of a session file that was verified, each read from its line again whenever it is looked at.

As texts of bytes they take a tenth of the room: a long session is read one entry at a time, and what was read of it
before it became a case is not left lying in memory for the rest of the visit.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import overload

from stepper.record.members import Entry, decode


class Lines(Sequence[Entry]):
    """Entries in their order; `kinds` are those that there are."""

    def __init__(self) -> None:
        self._lines: list[bytes] = []
        self.kinds: set[str] = set()

    def add(self, line: bytes, entry: Entry) -> None:
        """Take in a line, and the entry that was read from it."""
        self._lines.append(line)
        self.kinds.add(str(entry.get("kind")))

    def __len__(self) -> int:
        return len(self._lines)

    @overload
    def __getitem__(self, index: int) -> Entry: ...

    @overload
    def __getitem__(self, index: slice) -> list[Entry]: ...

    def __getitem__(self, index: int | slice) -> Entry | list[Entry]:
        if isinstance(index, slice):
            return [decode(line) for line in self._lines[index]]
        return decode(self._lines[index])

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and list(self) == list(other)

    __hash__ = None  # type: ignore[assignment]
