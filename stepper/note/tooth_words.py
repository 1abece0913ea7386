"""A tooth in the words of everyday speech, for somebody who is no dentist. The words are our own.

They go by the kind of tooth and never by counting from the front: who lacks a tooth would count to another one.
"""

from __future__ import annotations

from stepper.sums.iso3950 import is_tooth

_SIDES = ("upper right", "upper left", "lower left", "lower right")
_TEETH = (
    "middle front tooth",
    "side front tooth",
    "eye tooth",
    "first small back tooth",
    "second small back tooth",
    "first large back tooth",
    "second large back tooth",
    "wisdom tooth",
)
_MILK_TEETH = (
    "middle front milk tooth",
    "side front milk tooth",
    "corner milk tooth",
    "first back milk tooth",
    "second back milk tooth",
)


def in_plain_words(fdi: str) -> str:
    """Name a tooth of ISO 3950: "12" is "upper right side front tooth". Right and left are the patient's own.

    Raises:
        ValueError: no tooth of ISO 3950.

    """
    if not is_tooth(fdi):
        raise ValueError(f"{fdi!r} is no tooth of ISO 3950.")
    quadrant, place = int(fdi[0]) - 1, int(fdi[1]) - 1
    return f"{_SIDES[quadrant % 4]} {(_MILK_TEETH if quadrant >= 4 else _TEETH)[place]}"
