"""What a person added to the note in words of their own: in the section that it was written for, and by whom."""

from __future__ import annotations

from stepper.case.state import Case
from stepper.facts.free_text import FreeText
from stepper.note.phrases import at, full_stop, who
from stepper.note.shape import Sentence
from stepper.protocol import sections as titles


def written(case: Case) -> dict[str, list[Sentence]]:
    """Give it by the title of its section."""
    found: dict[str, list[Sentence]] = {}
    for entry in case.entries:
        if isinstance(entry, FreeText):
            keyed = "" if entry.by == entry.said_by else f", keyed by {who(case, entry.by)}"
            said = f"({who(case, entry.said_by)} in writing, {at(case, entry)}{keyed})"
            found.setdefault(entry.section, []).append(Sentence(f"{full_stop(entry.text)} {said}", (entry.seq,)))
    return found


def sections_for_words(case: Case, shown: list[str]) -> list[str]:
    """Give the titles that words can be written for: the protocol's own steps and what the note shows, each once.

    What the program alone writes takes no words of others.
    """
    steps = [step.title for step in case.protocol.step]
    placed = [title for title in shown if not titles.is_closed(title)]
    return list(dict.fromkeys([*steps, *placed, *titles.PLACED, titles.WRITTEN]))
