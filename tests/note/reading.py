"""Visits to read a note of, and looking into it: its sections by title, the one sentence that holds some words."""

from __future__ import annotations

from stepper.case.judge import judge
from stepper.facts.remarks import Weight
from stepper.note.compose import compose
from stepper.note.shape import Note, Sentence
from tests.cases import Log, fill, ready


def note(log: Log) -> Note:
    return compose(log.case())


def section(of: Log | Note, title: str) -> list[str]:
    """The sentences of a section, marks first as they are read; empty where there is no such section."""
    read = note(of) if isinstance(of, Log) else of
    found = [one for one in read.sections if one.title == title]
    return [one.marked for part in found for one in part.sentences]


def the(of: Log | Note, words: str, under: str = "") -> Sentence:
    """The one sentence with these words, in one section if that is said; fails where there is none, or another."""
    read = note(of) if isinstance(of, Log) else of
    sentences = [one for part in read.sections if part.title == under for one in part.sentences]
    found = [one for one in (sentences if under else read.sentences) if words in one.text]
    assert len(found) == 1, (words, [one.text for one in found])
    return found[0]


def table(of: Log | Note, title: str) -> list[tuple[Sentence, ...]]:
    """The rows of a section's table; empty where there is none."""
    read = note(of) if isinstance(of, Log) else of
    found = [one.table for one in read.sections if one.title == title and one.table is not None]
    return [row for one in found for row in one.rows]


def words(of: Log | Note, title: str) -> list[list[str]]:
    """The words of a section's table, row by row."""
    return [[cell.marked for cell in row] for row in table(of, title)]


def titles(of: Log | Note) -> list[str]:
    read = note(of) if isinstance(of, Log) else of
    return [one.title for one in read.sections]


def single() -> Log:
    return Log(tooth="11")


def filled() -> tuple[Log, int]:
    log = ready(single(), canals="b")
    seq = fill(log)
    return log, seq


def keys(log: Log, weight: Weight = Weight.ASK) -> dict[str, str]:
    return {one.remark.rule: one.remark.key for one in judge(log.case()) if one.remark.weight is weight}
