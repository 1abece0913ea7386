"""What a person added to the note in words of their own: in the section that it was written for, and by whom."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from stepper.case.state import Case
from stepper.facts.free_text import FreeText
from stepper.note.phrases import at, full_stop, who
from stepper.note.shape import Sentence
from stepper.protocol import sections as titles


def written(case: Case) -> dict[str, list[Sentence]]:
    """Give what stands by the title of its section: the last words of each, but for those that were withdrawn."""
    found: dict[str, list[Sentence]] = {}
    for words in _last(case):
        entry = words[-1]
        if entry.text:
            own = {(one.by, one.said_by) for one in words} == {(entry.by, entry.by)}
            first = f", first {at(case, words[0])}" if len(words) > 1 and own else ""
            said = f"({_author(case, entry)}, {at(case, entry)}{first})"
            seqs = tuple(one.seq for one in words)
            found.setdefault(entry.section, []).append(Sentence(f"{full_stop(entry.text)} {said}", seqs))
    return found


def rewritten(case: Case) -> Iterator[Sentence]:
    """Give each change of such words: what stood before, and who took it back or wrote it anew."""
    for words in _last(case):
        for before, after in pairwise(words):
            how = f"written anew at {at(case, after)}, {_author(case, after)}"
            how = how if after.text else f"withdrawn at {at(case, after)}, keyed by {who(case, after.by)}"
            stood = f" Before: {full_stop(before.text)}" if before.text else " They had been withdrawn."
            text = (
                f"Words of {who(case, before.said_by)} of {at(case, before)} under {before.section} were {how}.{stood}"
            )
            yield Sentence(text, (before.seq, after.seq))


def _author(case: Case, entry: FreeText) -> str:
    """Tell whose words they are, and who keyed them for another."""
    if entry.by == entry.said_by:
        return f"{who(case, entry.said_by)} in writing"
    return f"as said by {who(case, entry.said_by)}, keyed by {who(case, entry.by)}"


def _last(case: Case) -> list[list[FreeText]]:
    """Give all such words, each behind those that they take the place of."""
    chains: dict[int, list[FreeText]] = {}
    for entry in case.entries:
        if isinstance(entry, FreeText):
            chain = chains.pop(entry.instead, []) if entry.instead is not None else []
            chains[entry.seq] = [*chain, entry]
    return list(chains.values())


def sections_for_words(case: Case, shown: list[str]) -> list[str]:
    """Give the titles that words can be written for: the protocol's own steps and what the note shows, each once.

    What the program alone writes takes no words of others.
    """
    steps = [step.title for step in case.protocol.step]
    placed = [title for title in shown if not titles.is_closed(title)]
    return list(dict.fromkeys([*steps, *placed, *titles.PLACED, titles.WRITTEN]))
