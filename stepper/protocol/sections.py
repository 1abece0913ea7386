"""The titles of the note's sections: those that a protocol may add sentences to, and those that it may not."""

from __future__ import annotations

ADDENDUM = "Addendum"
FIRST = "To be read first"
CARRIED = "Carried from the earlier visit"
CANALS = "Canals"
MATERIALS = "Materials and lots"
IMAGES = "Images"
DEPARTURES = "Departures"
OUTSIDE = "Outside the chain"
HELD = "Held back"
UNANSWERED = "Asked and not answered"
INCIDENTS = "Incidents"
ENDED = "Ended early"
CORRECTIONS = "Corrections"
LATE = "Late entries"
OWED = "Owed"
NOTICED = "Also noticed"
NOT_RECORDED = "Not recorded"
ADVICE = "Advice and next visit"
WRITTEN = "Added in writing"
TIMES = "Times"
KEYED_BY = "Keyed by"
SIGNATURE = "Signature"

CLOSED = (
    ADDENDUM,
    FIRST,
    CARRIED,
    DEPARTURES,
    OUTSIDE,
    HELD,
    UNANSWERED,
    INCIDENTS,
    ENDED,
    CORRECTIONS,
    LATE,
    OWED,
    NOTICED,
    NOT_RECORDED,
    TIMES,
    KEYED_BY,
    SIGNATURE,
)
"""What the program alone writes: no sentence of a protocol can pass for one of these."""

PLACED = (CANALS, MATERIALS, IMAGES, ADVICE)
"""Sections that have a place of their own and take sentences of a protocol."""


def is_closed(title: str) -> bool:
    """Tell whether a title is that of a section that the program alone writes, however it is spelt."""
    return " ".join(title.split()).casefold() in {one.casefold() for one in CLOSED}
