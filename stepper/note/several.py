"""What was said of several canals in the same words is said once, with all their names: `MB, ML, DB: ...`.

Each canal's own sentences stay in their order, so that the order of its files and rinses can still be read off.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from stepper.note.shape import Sentence, rests_on

STRETCH = 120
"""Sentences of a canal in one step that are looked at together: more than a visit has. It takes their square."""


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence before its canals are named: the words around each gap for a name, the canals, the entries."""

    words: tuple[str, ...]
    canals: tuple[int, ...]
    entries: tuple[int, ...]
    mark: str = ""

    def joins(self, other: Said) -> bool:
        """Tell whether another canal's sentence says the same; one that names no canal is never put together."""
        return len(self.words) > 1 and (self.words, self.mark) == (other.words, other.mark)

    def sentence(self, name: Callable[[int], str]) -> Sentence:
        """Name the canals."""
        names = ", ".join(name(canal) for canal in self.canals)
        return Sentence(names.join(self.words), rests_on(self.entries), self.mark)


def merged(canals: Iterable[Sequence[Said]]) -> list[Said]:
    """Merge the sentences of each canal, in the order of the canals."""
    found: list[Said] = []
    for said in canals:
        found = _taken_in(found, said)
    return found


def _taken_in(found: Sequence[Said], said: Sequence[Said]) -> list[Said]:
    """Take one more canal in, stretch by stretch."""
    stretches = range(0, max(len(found), len(said)), STRETCH)
    return [one for at in stretches for one in _joined(found[at : at + STRETCH], said[at : at + STRETCH])]


def _joined(found: Sequence[Said], said: Sequence[Said]) -> list[Said]:
    """Join as many sentences of one canal as their order lets to what is there."""
    longest = _common(found, said)
    result: list[Said] = []
    here = there = 0
    while here < len(found) and there < len(said):
        one, other = found[here], said[there]
        if one.joins(other):
            both = rests_on((*one.entries, *other.entries))
            result.append(Said(one.words, (*one.canals, *other.canals), both, one.mark))
            here, there = here + 1, there + 1
        elif longest[here + 1][there] >= longest[here][there + 1]:
            result.append(one)
            here += 1
        else:
            result.append(other)
            there += 1
    return [*result, *found[here:], *said[there:]]


def _common(found: Sequence[Said], said: Sequence[Said]) -> list[list[int]]:
    """Count, from each pair of places on, how many sentences both have in the same order."""
    longest = [[0] * (len(said) + 1) for _ in range(len(found) + 1)]
    for here in range(len(found) - 1, -1, -1):
        for there in range(len(said) - 1, -1, -1):
            if found[here].joins(said[there]):
                longest[here][there] = longest[here + 1][there + 1] + 1
            else:
                longest[here][there] = max(longest[here + 1][there], longest[here][there + 1])
    return longest
