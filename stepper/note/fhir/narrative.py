"""The note's own words as the XHTML that FHIR allows: every sign of theirs is written so that it is no mark-up.

Each sentence and cell has the numbers of its entries as its title.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from stepper.lines.refusal import visible
from stepper.note.fhir.codes import XHTML
from stepper.note.fhir.piece import Tree
from stepper.note.noted import numbers
from stepper.note.shape import Section, Sentence, Table


def told(section: Section) -> Tree:
    """Give the words of a section: they say more than the resources beside them."""
    rows = _table(section.table) if section.table is not None else ""
    return _div(rows + _list(section.sentences))


def heads(sentences: Iterable[Sentence]) -> Tree:
    """Give the lines at the head of a note."""
    return _div(_list(sentences))


def inert(text: str) -> str:
    """Write any text so that no reader of XHTML takes a sign of it for mark-up."""
    return escape(visible(text))


def _div(inside: str) -> Tree:
    return {"status": "additional", "div": f'<div xmlns="{XHTML}">{inside}</div>'}


def _list(sentences: Iterable[Sentence]) -> str:
    return "".join(f"<p{_from(one)}>{inert(one.marked)}</p>" for one in sentences)


def _table(table: Table) -> str:
    titles = "".join(f"<th>{inert(one)}</th>" for one in table.columns)
    rows = ("".join(f"<td{_from(cell)}>{inert(cell.marked)}</td>" for cell in row) for row in table.rows)
    return f"<table><tr>{titles}</tr>{''.join(f'<tr>{row}</tr>' for row in rows)}</table>"


def _from(sentence: Sentence) -> str:
    return f' title="{numbers(sentence.entries)}"'
