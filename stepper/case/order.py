"""Where an entry stands in the order, and whether it was keyed late.

The order is that of the entries' numbers; an entry keyed as having happened earlier stands at that moment, told by the
monotonic clock of the same boot. Wall time is never compared.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from stepper.facts.entries import TOOTH, Answer, AnyEntry, Carried, Correction
from stepper.facts.state import Place

MINUTE_US = 60_000_000


def place_of(entry: AnyEntry, earlier: Sequence[AnyEntry]) -> Place:
    """Tell the place of an entry among the earlier ones.

    A moment before this boot's first entry stands before that entry, by so many microseconds, and after all of the boot
    before it: the clocks of two boots cannot be compared any finer. What is carried over stands with the header.
    """
    if isinstance(entry, Carried):
        return (0, 0, entry.seq)
    if not isinstance(entry, Answer) or not entry.ago_min:
        return (entry.seq, 0, entry.seq)
    moment = entry.mono_us - entry.ago_min * MINUTE_US
    first: AnyEntry = entry
    for other in reversed(earlier):
        if other.boot != entry.boot:
            break
        if other.mono_us <= moment:
            return (other.seq, moment - other.mono_us + 1, entry.seq)
        first = other
    return (first.seq, moment - first.mono_us, entry.seq)


def overtakes(entry: Answer, places: Mapping[int, Place], earlier: Sequence[AnyEntry]) -> bool:
    """Tell whether something of the same canal, or of the tooth, was keyed before an entry but stands after it."""
    place = places[entry.seq]
    for other in reversed(earlier):
        if other.seq < place[0]:
            return False
        if isinstance(other, Answer | Correction) and places[other.seq] > place and _meets(entry, other, earlier):
            return True
    return False


def _meets(entry: Answer, other: Answer | Correction, earlier: Sequence[AnyEntry]) -> bool:
    about: AnyEntry | None = other
    while isinstance(about, Correction):
        about = earlier[about.of] if 0 <= about.of < about.seq else None
    canal = about.canal if isinstance(about, Answer) else TOOTH
    return TOOTH in (entry.canal, canal) or canal == entry.canal
