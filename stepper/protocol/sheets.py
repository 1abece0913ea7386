"""Whether the sentences of the patient's sheet make sense: their gaps, and what they are written upon."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from string import Formatter

from stepper.kinds.outcome import DRESSED, FILLED, FILLED_OUTSIDE, JOINS
from stepper.kinds.union import AnyQuestion
from stepper.protocol.asked import gaps_of, offers
from stepper.protocol.models import Occasion, Protocol
from stepper.protocol.problems import Problem, Where, nearest

TOOTH, PRACTICE, COUNT, ALL = "tooth", "practice", "count", "all"
"""The gaps that the program fills: the tooth in plain words, the practice's heading, how many canals, of how many."""

NOT_RECORDED = "not_recorded"
"""The word for canals of which nobody has said how they ended."""


def ways_to_end(protocol: Protocol) -> frozenset[str]:
    """Give the words for how a canal can have ended: the program's own, and the options of the role `outcome`."""
    asked = [one for step in protocol.step for one in step.question if one.role == "outcome"]
    stated = {option.id for one in asked for option in one.options_of(protocol)}
    return frozenset({FILLED, FILLED_OUTSIDE, DRESSED, JOINS, NOT_RECORDED} | stated)


def of_tooth(protocol: Protocol) -> Mapping[str, AnyQuestion]:
    """Give the questions that a sheet can name, by `step.question`: those that are asked once for the tooth."""
    return {
        f"{step.id}.{question.id}": question
        for step in protocol.step
        if step.scope == "T"
        for question in step.question
        if not question.per_canal
    }


def gaps(text: str) -> tuple[str, ...]:
    """Give the gaps of a sentence, each once."""
    return tuple(dict.fromkeys(name for _, name, _, _ in Formatter().parse(text) if name is not None))


def check_sheet(protocol: Protocol) -> Iterator[Problem]:
    """Look that gaps can be filled, and that questions, options, outcomes and incidents are there."""
    known = of_tooth(protocol)
    names = frozenset(known) | {TOOTH, PRACTICE, COUNT, ALL}
    for place, line in enumerate(protocol.sheet):
        where: Where = ("sheet", place)
        wrong = list(gaps_of((*where, "text"), line.text, names))
        yield from wrong
        counts = not wrong and {COUNT, ALL} & set(gaps(line.text))
        if counts and (line.when is None or not line.when.ended):
            yield Problem((*where, "text"), "counts canals, and no way to end is named", "allowed: with `when.ended`")
        if line.when is not None:
            yield from _occasion((*where, "when"), protocol, line.when, known)


def _occasion(where: Where, protocol: Protocol, when: Occasion, known: Mapping[str, AnyQuestion]) -> Iterator[Problem]:
    if when == Occasion():
        yield Problem(where, "names nothing", "allowed: question, ended, incident, ended_early")
    if when.question is not None and when.question not in known:
        yield Problem(
            (*where, "question"), f"{when.question!r} is no question of the tooth", nearest(when.question, known)
        )
    elif when.question is not None:
        yield from offers((*where, "any"), protocol, known[when.question], when.any)
    elif when.any:
        yield Problem((*where, "any"), "is for answers to a question", "allowed: with `question`")
    ways, kinds = ways_to_end(protocol), [one.id for one in protocol.incident]
    for way in when.ended:
        if way not in ways:
            yield Problem((*where, "ended"), f"{way!r} is no way for a canal to end", nearest(way, ways))
    if not when.ended and (when.canals == "all" or when.earlier_visit is not None):
        key = "canals" if when.canals == "all" else "earlier_visit"
        yield Problem((*where, key), "is for how canals ended", "allowed: with `ended`")
    for kind in when.incident:
        if kind not in kinds:
            yield Problem((*where, "incident"), f"{kind!r} is no incident", nearest(kind, kinds))
