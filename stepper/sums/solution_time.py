"""How long the solutions were at work: by the clock between rinses keyed, and what was watched.

No published time, volume or strength is compared with: a systematic review found none that could be named (seen).
Moments are microseconds of one clock, as the record keeps them.
"""

from __future__ import annotations

from collections.abc import Iterable

_MINUTE_US = 60_000_000


def minutes(keyed_us: Iterable[int]) -> int | None:
    """Return the whole minutes begun and ended between the first and the last rinse keyed; None where none was.

    The order they come in does not matter: a rinse may be keyed late.
    """
    between = _between_us(keyed_us)
    return None if between is None else between // _MINUTE_US


def watched_s(activated_s: Iterable[int]) -> int:
    """Return the seconds for which activation was watched, added up: only these were measured, not the pauses.

    Raises:
        ValueError: one of them is below 0.

    """
    total = 0
    for seconds in activated_s:
        if seconds < 0:
            raise ValueError(f"Activation of {seconds} s is not allowed; 0 s or more is.")
        total += seconds
    return total


def _between_us(keyed_us: Iterable[int]) -> int | None:
    moments = list(keyed_us)
    return max(moments) - min(moments) if moments else None
