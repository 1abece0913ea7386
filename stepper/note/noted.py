"""The lines of a note one by one, each with the entries that it came from: for who looks from one to the other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from stepper.case.state import Case
from stepper.facts.entries import Correction
from stepper.lines.refusal import visible
from stepper.note.shape import Note, Section, Sentence


@dataclass(frozen=True, slots=True)
class NotedLine:
    """A title of the note, a sentence, or a row of a table written as one.

    `entries` are those that it came from, none for a title; `corrected`: one of them is a correction.
    """

    text: str
    entries: tuple[int, ...] = ()
    title: bool = False
    corrected: bool = False

    @property
    def traced(self) -> str:
        """The words with the numbers of their entries behind them; a title has none."""
        return self.text if self.title else f"{self.text} [{numbers(self.entries)}]"


def noted(case: Case, note: Note) -> tuple[NotedLine, ...]:
    """Give the lines of a note in reading order."""
    title = NotedLine(visible(note.title), title=True)
    heads = [_line(case, one) for one in note.heads]
    return (title, *heads, *(line for one in note.sections for line in _section(case, one)))


def about(lines: Iterable[NotedLine], entry: int) -> tuple[int, ...]:
    """Give the places of the lines that came from an entry; the header's stand in every note, and are left out."""
    return tuple(place for place, line in enumerate(lines) if entry and entry in line.entries)


def numbers(entries: Iterable[int]) -> str:
    """Write entry numbers in order, three and more in a row as `4-7`."""
    runs: list[list[int]] = []
    for one in sorted(set(entries)):
        if runs and one == runs[-1][-1] + 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)


def _section(case: Case, section: Section) -> Iterator[NotedLine]:
    yield NotedLine(visible(section.title), title=True)
    if section.table is not None:
        for row in section.table.rows:
            cells = zip(section.table.columns, row, strict=True)
            text = "; ".join(f"{column} {cell.marked}" for column, cell in cells if cell.text not in ("", "-"))
            yield _traced(case, text, (seq for cell in row for seq in cell.entries))
    for sentence in section.sentences:
        yield _line(case, sentence)


def _line(case: Case, sentence: Sentence) -> NotedLine:
    return _traced(case, sentence.marked, sentence.entries)


def _traced(case: Case, text: str, entries: Iterable[int]) -> NotedLine:
    known = tuple(sorted(set(entries)))
    corrected = any(isinstance(case.entries[seq], Correction) for seq in known)
    return NotedLine(visible(text), known, corrected=corrected)
