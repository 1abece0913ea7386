"""What a note is made of. Every sentence and cell knows the entries that it came from, so that nothing is made up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

OUTSIDE = "OUTSIDE THE CHAIN"
"""The mark of a fact that was logged although a stop held the act."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence, or the words of one cell. `mark` is a word to be read before it: STOP or OUTSIDE THE CHAIN.

    `entries` are the entries it rests on, by number; what is said of something missing rests on the header (0), whose
    protocol asks for it. `fixed` marks the few sentences that stand in every note, whatever was logged.
    """

    text: str
    entries: tuple[int, ...]
    mark: str = ""
    fixed: bool = False

    @property
    def marked(self) -> str:
        """The words with their mark before them."""
        return f"{self.mark}: {self.text}" if self.mark else self.text


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells under column titles; each row has a cell for each column, and there is always at least one row."""

    columns: tuple[str, ...]
    rows: tuple[tuple[Sentence, ...], ...]


@dataclass(frozen=True, slots=True)
class Section:
    """A table, if there is one, then sentences, under a title; there is always something."""

    title: str
    sentences: tuple[Sentence, ...]
    table: Table | None = None

    @property
    def cells(self) -> tuple[Sentence, ...]:
        """Every cell of the table, row by row."""
        return tuple(cell for row in self.table.rows for cell in row) if self.table is not None else ()


@dataclass(frozen=True, slots=True)
class Note:
    """A whole note: its title, the lines at its head, then its sections in reading order."""

    title: str
    heads: tuple[Sentence, ...]
    sections: tuple[Section, ...]

    @property
    def sentences(self) -> tuple[Sentence, ...]:
        """Every sentence, in reading order."""
        return (*self.heads, *(one for section in self.sections for one in section.sentences))

    @property
    def cells(self) -> tuple[Sentence, ...]:
        """Every cell of every table, in reading order."""
        return tuple(cell for section in self.sections for cell in section.cells)


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing as a whole SVG document of its own, without scripts, fonts or addresses of anything outside.

    `told` says in words what it shows, and knows the entries it was drawn from; it stands for the picture wherever
    that cannot be seen.
    """

    title: str
    svg: str
    told: Sentence


def rests_on(entries: Iterable[int]) -> tuple[int, ...]:
    """Put entry numbers in order, each once; where there are none, what is said rests on the header."""
    return tuple(sorted(set(entries))) or (0,)
