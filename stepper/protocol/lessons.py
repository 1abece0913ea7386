"""Whether the lessons of a practice tooth make sense: what they wait for can come about, what they say can be keyed."""

from __future__ import annotations

from collections.abc import Iterator

from stepper.lines.marked import wrong_marks
from stepper.protocol.models import Protocol, Until
from stepper.protocol.problems import Problem, Where, nearest

SLIP = "slip"
"""What an incident was that was none; no protocol has to name it."""

GOES_BY: dict[str, tuple[str, ...]] = {
    "answer": ("question", "canals"),
    "correction": ("question", "canals"),
    "go": ("step", "canals"),
    "held": ("step", "canals"),
    "incident_detail": ("what",),
}
"""What a lesson may say of the entry that it waits for; of other kinds nothing. The first of them has to be said."""


def check_lessons(protocol: Protocol) -> Iterator[Problem]:
    """Names resolve, conditions suit their kind of entry, marked keys are closed and on a number pad."""
    for place, lesson in enumerate(protocol.lesson):
        where: Where = ("lesson", place)
        wrong = wrong_marks(lesson.say)
        if wrong:
            yield Problem((*where, "say"), wrong, "allowed: 0-9 . + - * / or the word Enter between two `")
        yield from _until((*where, "until"), protocol, lesson.until)


def _until(where: Where, protocol: Protocol, until: Until) -> Iterator[Problem]:
    known = GOES_BY.get(until.entry, ())
    for key in ("question", "step", "canals", "what"):
        if getattr(until, key) and key not in known:
            allowed = f"allowed: {', '.join(known)}" if known else "it takes no more"
            yield Problem((*where, key), f"means nothing of the entry {until.entry!r}", allowed)
    if known and not getattr(until, known[0]):
        yield Problem((*where, known[0]), f"is missing; the entry {until.entry!r} is told by it")
    yield from _names(where, protocol, until)


def _names(where: Where, protocol: Protocol, until: Until) -> Iterator[Problem]:
    """Look that what is named is there, and is asked of canals where it waits for some."""
    step, _, question = (until.question or "").partition(".")
    named = step or until.step or ""
    key = "question" if step else "step"
    holder = protocol.by_step.get(named)
    if named and holder is None:
        yield Problem((*where, key), f"{named!r} is no step", nearest(named, protocol.by_step))
    asked = holder.asked(question) if holder is not None and question else None
    if holder is not None and question and asked is None:
        known = nearest(question, [one.id for one in holder.question])
        yield Problem((*where, key), f"{until.question!r} is no question", known)
    of_canals = holder is None or holder.scope == "C" or (asked is not None and asked.per_canal)
    if until.canals and not of_canals:
        yield Problem((*where, "canals"), f"means nothing of {named!r}, which is the tooth's")
    if len(set(until.canals)) < len(until.canals):
        yield Problem((*where, "canals"), "names a canal twice")
    incidents = [SLIP, *(one.id for one in protocol.incident)]
    if until.what and until.what not in incidents:
        yield Problem((*where, "what"), f"{until.what!r} is no incident", nearest(until.what, incidents))
