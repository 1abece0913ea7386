"""Where an entry stands in the order, and whether it was keyed late.

The order is that of the entries' numbers; an entry keyed as having happened earlier stands at that moment, told by the
monotonic clock of the same boot. Wall time is never compared.
"""

from __future__ import annotations

from collections.abc import Sequence

from stepper.facts.entries import TOOTH, Answer, AnyEntry, Correction
from stepper.facts.state import Place

MINUTE_US = 60_000_000


def place_of(entry: AnyEntry, earlier: Sequence[AnyEntry]) -> Place:
    """Tell the place of an entry among the earlier ones.

    A moment before this boot's first entry cannot be told apart any finer: it stands before that entry.
    """
    if not isinstance(entry, Answer) or not entry.ago_min:
        return (entry.seq, 0, entry.seq)
    moment = entry.mono_us - entry.ago_min * MINUTE_US
    after = 0
    for other in reversed(earlier):
        if other.boot != entry.boot or other.mono_us <= moment:
            after = other.seq
            offset = moment - other.mono_us if other.boot == entry.boot else 0
            return (after, offset + 1, entry.seq)
    return (after, 1, entry.seq)


def overtakes(entry: Answer, place: Place, earlier: Sequence[AnyEntry]) -> bool:
    """Tell whether something of the same canal, or of the tooth, was keyed before an entry but stands after it."""
    for other in reversed(earlier):
        if other.seq <= place[0]:
            return False
        if isinstance(other, Answer | Correction) and _meets(entry, other):
            return True
    return False


def _meets(entry: Answer, other: Answer | Correction) -> bool:
    if isinstance(other, Correction) or entry.canal == TOOTH:
        return True
    return other.canal in (TOOTH, entry.canal)
