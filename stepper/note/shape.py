"""What a note is made of. Every sentence knows the entries that it came from, so that nothing in it is made up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

OUTSIDE = "OUTSIDE THE CHAIN"
"""The mark of a fact that was logged although a stop held the act."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence. `mark` is a word to be read before it, such as STOP or OUTSIDE THE CHAIN.

    `entries` are the entries it rests on, by number; what is said of something missing rests on the header (0), whose
    protocol asks for it. `fixed` marks the few sentences that stand in every note, whatever was logged.
    """

    text: str
    entries: tuple[int, ...]
    mark: str = ""
    fixed: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """Sentences under a title; there is always at least one."""

    title: str
    sentences: tuple[Sentence, ...]


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


def rests_on(entries: Iterable[int]) -> tuple[int, ...]:
    """Put entry numbers in order, each once; where there are none, what is said rests on the header."""
    return tuple(sorted(set(entries))) or (0,)
