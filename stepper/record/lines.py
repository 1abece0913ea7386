"""The entries of a session file that was verified, each read from its line again whenever it is looked at.

The file's own bytes take a tenth of the room that all of its entries would: a long session is read one entry at a time,
and what was read of it before it became a case is not left lying in memory for the rest of the visit.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterator, Sequence
from typing import overload

from stepper.record.members import Entry, decode_again


class Lines(Sequence[Entry]):
    """Entries in their order; `kinds` are those that there are, `data` all bytes of the file, good or not."""

    def __init__(self, data: bytes) -> None:
        self.data = data
        self._ends = array("Q")
        self.kinds: set[str] = set()

    def add(self, end: int, kind: str) -> None:
        """Take in the line that ends before a byte, of an entry of that kind."""
        self._ends.append(end)
        self.kinds.add(kind)

    def __len__(self) -> int:
        return len(self._ends)

    @overload
    def __getitem__(self, index: int) -> Entry: ...

    @overload
    def __getitem__(self, index: slice) -> list[Entry]: ...

    def __getitem__(self, index: int | slice) -> Entry | list[Entry]:
        numbers = range(len(self._ends))[index]
        return self._entry(numbers) if isinstance(numbers, int) else [self._entry(number) for number in numbers]

    def __iter__(self) -> Iterator[Entry]:
        begin, data = 0, self.data
        for end in self._ends:
            yield decode_again(data[begin:end])
            begin = end + 1

    def _entry(self, number: int) -> Entry:
        begin = self._ends[number - 1] + 1 if number else 0
        return decode_again(self.data[begin : self._ends[number]])

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and list(self) == list(other)

    __hash__ = None  # type: ignore[assignment]
