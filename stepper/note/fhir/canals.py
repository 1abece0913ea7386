"""A procedure for each canal: how it ended, when it was worked in, and what with a lot went into it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

from stepper.facts.entries import Answer
from stepper.facts.state import Canal
from stepper.kinds.outcome import DRESSED, FILLED, FILLED_OUTSIDE, GIVEN_UP, JOINS, outcome_of, treated
from stepper.note.carried import ended_earlier
from stepper.note.fhir import codes
from stepper.note.fhir.piece import Maker, Piece, Tree, kind_of
from stepper.note.outcomes import NOT_TREATED
from stepper.note.shape import Sentence

WORDS = "Root canal treatment"

_ENDED: Mapping[str, str] = {
    FILLED: "completed",
    FILLED_OUTSIDE: "completed",
    DRESSED: "on-hold",
    NOT_TREATED: "not-done",
    **dict.fromkeys(GIVEN_UP, "stopped"),
}
"""What an outcome is as the status of a procedure; a canal that was dressed is gone on with at another visit."""


def procedure(
    make: Maker,
    canal: Canal,
    row: tuple[Sentence, ...],
    people: Mapping[int, Piece],
    used: Sequence[tuple[Piece, int]],
) -> Piece:
    """Give the procedure of a canal.

    `row` is what the note's table of canals says of it, `used` the things that went into it, with their entries.
    """
    case, number = make.case, canal.number
    earlier = ended_earlier(case, number)
    span, acts = (None, ()) if earlier else _span(make, number)
    keyed_by = case.entries[acts[0]].by if acts else case.header.by
    members = {
        "status": "entered-in-error" if case.void is not None else status(make, number),
        "code": kind_of("root-canal-treatment", WORDS),
        "bodySite": [make.site(number)],
        "performedPeriod": span,
        "outcome": _outcome(make, number, row[1].marked),
        "recorder": people[keyed_by].reference if keyed_by is not None else None,
        "performer": [{"actor": people[case.header.clinician].reference}] if span else [],
        "usedReference": list({piece.url: piece.reference for piece, _ in used}.values()),
    }
    entries = (0, *row[0].entries, *row[1].entries, *acts, *(seq for _, seq in used))
    return make.piece("Procedure", f"canal {number}", entries, subject=make.subject, **members)


def status(make: Maker, number: int) -> str:
    """Tell how far a canal has come: one that joins another, as far as that one."""
    view = make.case.told
    passed: set[int] = set()
    while outcome_of(view, number) == JOINS and number not in passed:
        passed.add(number)
        into = view.canals[number].joins
        number = into if into in view.canals else number
    outcome = outcome_of(view, number)
    final = _ENDED.get(outcome or "")
    if make.case.closed or ended_earlier(make.case, number):
        return final or "unknown"
    if final is not None and outcome != DRESSED:
        return final
    return "in-progress" if _begun(make, number) else "preparation"


def _begun(make: Maker, number: int) -> bool:
    """Tell whether anything was said of a canal."""
    return treated(make.case.told, number) or any(canal == number for _, canal in make.case.told.rows)


def _outcome(make: Maker, number: int, words: str) -> Tree:
    outcome = outcome_of(make.case.told, number)
    known = outcome in (*_ENDED, JOINS)
    return ({"coding": [{"system": codes.OUTCOMES, "code": outcome}]} if known else {}) | {"text": words}


def _span(make: Maker, number: int) -> tuple[Tree | None, tuple[int, ...]]:
    """Tell when a canal was first and last worked in or spoken of, and the entries that say so."""
    said = [one.seq for one in make.case.entries if isinstance(one, Answer) and one.canal == number]
    times: list[tuple[dt.datetime, int]] = [(when, seq) for seq in said if (when := make.when(seq)) is not None]
    if not times or status(make, number) == "not-done":
        return None, ()
    first, last = min(times), max(times)
    ended = make.case.closed or status(make, number) in ("completed", "stopped")
    span = {"start": first[0].isoformat()} | ({"end": last[0].isoformat()} if ended else {})
    return span, tuple(dict.fromkeys((first[1], last[1])))
