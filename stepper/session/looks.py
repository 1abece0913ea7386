"""What can be looked at by pages: the whole record of a canal, every remark, everything that is open or owed."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from stepper.case.gate import shut
from stepper.case.judge import Judged, Standing, judge
from stepper.case.slots import Cursor
from stepper.case.state import Case
from stepper.case.walk import open_steps
from stepper.facts.entries import Overruled
from stepper.facts.remarks import Weight
from stepper.note.words import clock, place, say, title
from stepper.session.paint import UNSHOWN, WEIGHTS, canals, where

WIDTH = 77
"""Cells of the longest row: the smallest screen's, but for its margins."""

GROUPS = (
    ("Unanswered", Standing.OPEN, (Weight.STOP, Weight.ASK)),
    ("Owed", Standing.OWED, tuple(Weight)),
    ("Only told: nothing waits for these", Standing.OPEN, (Weight.TELL,)),
    ("Passed with a reason", Standing.PASSED, tuple(Weight)),
    ("Of what is outside the chain", Standing.OUTSIDE, tuple(Weight)),
)
"""How remarks are grouped, what weighs most first."""

_STAND = (
    ("length", "working length {} mm"),
    ("gauge", "gauged {}"),
    ("file", "master apical file {}"),
    ("cone", "cone {}"),
    ("outcome", "ended {}"),
)


def canal_rows(case: Case, canal: int) -> tuple[str, ...]:
    """Tell how a canal stands, why its gate is shut, what is remarked of it, and all its entries in their order."""
    return (*_canal_head(case, canal), "", *_remarks_of(case, canal), *_entries_of(case, canal))


def remark_rows(case: Case) -> tuple[str, ...]:
    """Tell every remark of the tooth and of its canals, with how it stands, those in a group newest first."""
    judged, rows = list(reversed(judge(case))), list[str]()
    for heading, standing, weights in GROUPS:
        group = [one for one in judged if one.standing is standing and one.remark.weight in weights]
        if group:
            rows += [f"{heading}:", *(row for one in group for row in _remark(case, one)), ""]
    passed_over = [one for one in reversed(case.entries) if isinstance(one, Overruled)]
    if passed_over:
        rows += ["Done all the same:", *(row for one in passed_over for row in _overruled(case, one)), ""]
    return tuple(rows[:-1]) or ("Nothing is remarked.",)


def owed_rows(case: Case, waits: Sequence[tuple[int, str]]) -> tuple[str, ...]:
    """Tell what waits for an answer, by the numbers that open it, and which steps are open."""
    rows = [row for number, text in waits for row in _hung(f"{number:>3}  ", text)]
    rows = ["Waits for an answer, by number:", *rows] if rows else ["Nothing waits for an answer."]
    left = list(open_steps(case))
    return (*rows, "", "Open steps:", *_wrapped(left)) if left else (*rows, "", "No step is open.")


def _canal_head(case: Case, canal: int) -> Iterator[str]:
    cell = next(one for one in canals(case, Cursor("", canal)) if one.number == canal)
    stands = "; ".join(words.format(getattr(cell, name)) for name, words in _STAND if getattr(cell, name))
    yield from _hung("", f"{stands[:1].upper()}{stands[1:]}." if stands else "Nothing is measured yet.")
    reasons = shut(case, canal)
    if cell.gate == "open":
        yield "The fill gate is open."
    elif cell.gate:
        yield from _hung("", f"Fill gate shut: {'; '.join(reasons.values()).rstrip('.')}.")


def _remarks_of(case: Case, canal: int) -> Iterator[str]:
    found = [one for one in judge(case) if one.remark.canal == canal and one.standing is not Standing.PASSED]
    if found:
        yield "Remarks:"
        yield from (row for one in found for row in _remark(case, one))
        yield ""


def _entries_of(case: Case, canal: int) -> Iterator[str]:
    entries = [one for one in case.entries if one.kind not in UNSHOWN and place(case, one)[1] == canal]
    yield "Entries:" if entries else "No entry yet."
    for one in entries:
        step = place(case, one)[0]
        yield from _hung(f"{one.seq:>4} {clock(one)}  ", f"{title(case.protocol, step)}: {say(case, one)}")


def _remark(case: Case, one: Judged) -> list[str]:
    sign, _ = WEIGHTS[one.remark.weight]
    at = where(case, one.remark.step, one.remark.canal)
    return _hung(f" {sign:<2} ", f"{at}: {one.remark.text}" if at else one.remark.text)


def _overruled(case: Case, one: Overruled) -> list[str]:
    return _hung(f" !! {clock(one)} ", f"{where(case, one.step, one.canal)}: {one.text}")


def _hung(head: str, text: str) -> list[str]:
    """Wrap a text behind its head, the rows after the first set in under it."""
    inset = " " * (len(head) or 2)
    return textwrap.wrap(text, WIDTH, initial_indent=head, subsequent_indent=inset, break_on_hyphens=False)


def _wrapped(parts: Iterable[str]) -> list[str]:
    return textwrap.wrap(", ".join(parts) + ".", WIDTH, break_on_hyphens=False)
