"""The 52 teeth of ISO 3950 (FDI) and their names in Universal and Palmer notation, in speech and in words.

A bare number needs its system: 11 is the upper right central incisor in ISO 3950 and the upper left canine in
Universal. Every function here takes and returns ISO 3950 unless its name says otherwise. Supernumerary teeth have no
code of their own in ISO 3950 and none here.
"""

from __future__ import annotations

_QUADRANTS = ("upper right", "upper left", "lower left", "lower right")
_PALMER_QUADRANTS = ("UR", "UL", "LL", "LR")
_DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight")
_PERMANENT = (
    "central incisor",
    "lateral incisor",
    "canine",
    "first premolar",
    "second premolar",
    "first molar",
    "second molar",
    "third molar",
)
_PRIMARY = (
    "primary central incisor",
    "primary lateral incisor",
    "primary canine",
    "first primary molar",
    "second primary molar",
)


def _clockwise(first_quadrant: int, last: int) -> tuple[str, ...]:
    """Return one dentition clockwise as the dentist looks at it, from the back upper right to the back lower right."""
    teeth: list[str] = []
    for number in range(4):
        outward = [f"{first_quadrant + number}{place}" for place in range(1, last + 1)]
        # Quadrants on the patient's upper right and lower left are walked from the back to the midline.
        teeth += outward if number % 2 else outward[::-1]
    return tuple(teeth)


PERMANENT: tuple[str, ...] = _clockwise(1, len(_PERMANENT))
"""The 32 permanent teeth, in the order in which Universal numbers them."""

PRIMARY: tuple[str, ...] = _clockwise(5, len(_PRIMARY))
"""The 20 primary teeth, in the order in which Universal letters them."""

TEETH: tuple[str, ...] = PERMANENT + PRIMARY
"""All 52 teeth."""

_UNIVERSAL = {tooth: str(number) for number, tooth in enumerate(PERMANENT, 1)} | dict(
    zip(PRIMARY, "ABCDEFGHIJKLMNOPQRST", strict=True)
)
_FROM_UNIVERSAL = {code: tooth for tooth, code in _UNIVERSAL.items()}


def is_tooth(fdi: str) -> bool:
    """Say whether `fdi` is a tooth of ISO 3950, permanent or primary."""
    return fdi in _UNIVERSAL


def universal(fdi: str) -> str:
    """Return the Universal name: "46" is "30", "72" is "N".

    Raises:
        ValueError: no tooth of ISO 3950.

    """
    _split(fdi)
    return _UNIVERSAL[fdi]


def from_universal(text: str) -> str:
    """Return the ISO 3950 tooth of a Universal number or letter.

    Raises:
        ValueError: neither 1 to 32 nor A to T.

    """
    tooth = _FROM_UNIVERSAL.get(text.upper())
    if tooth is None:
        raise ValueError(f"{text!r} is no tooth in Universal notation: 1 to 32 or A to T is allowed.")
    return tooth


def palmer(fdi: str) -> str:
    """Return the Palmer name in plain text: "46" is "LR6", "72" is "LLB".

    Raises:
        ValueError: no tooth of ISO 3950.

    """
    quadrant, place, primary = _split(fdi)
    return _PALMER_QUADRANTS[quadrant] + ("ABCDE"[place - 1] if primary else str(place))


def from_palmer(text: str) -> str:
    """Return the ISO 3950 tooth of a Palmer name in plain text, such as "LR6".

    Raises:
        ValueError: not a quadrant followed by 1 to 8 or A to E.

    """
    tooth = _FROM_PALMER.get(text.upper())
    if tooth is None:
        raise ValueError(
            f"{text!r} is no tooth in Palmer notation: UR, UL, LL or LR followed by 1 to 8 or A to E is allowed."
        )
    return tooth


def spoken(fdi: str) -> str:
    """Return the tooth as it is said, digit by digit: "46" is "four-six".

    Raises:
        ValueError: no tooth of ISO 3950.

    """
    _split(fdi)
    return "-".join(_DIGITS[int(digit)] for digit in fdi)


def describe(fdi: str) -> str:
    """Return the tooth in words: "lower right first molar", "lower left primary lateral incisor".

    Raises:
        ValueError: no tooth of ISO 3950.

    """
    quadrant, place, primary = _split(fdi)
    return f"{_QUADRANTS[quadrant]} {(_PRIMARY if primary else _PERMANENT)[place - 1]}"


def _split(fdi: str) -> tuple[int, int, bool]:
    """Return the quadrant from 0, the place from the midline, and whether the tooth is a primary one."""
    if not is_tooth(fdi):
        raise ValueError(f"{fdi!r} is no tooth of ISO 3950: {_allowed(fdi)}.")
    quadrant = int(fdi[0]) - 1
    return quadrant % 4, int(fdi[1]), quadrant >= 4


def _allowed(fdi: str) -> str:
    if len(fdi) == 2 and fdi[0] in "1234":
        return f"in quadrant {fdi[0]} (permanent) the second digit is 1 to 8"
    if len(fdi) == 2 and fdi[0] in "5678":
        return f"in quadrant {fdi[0]} (primary) the second digit is 1 to 5"
    return "11 to 48 are the permanent teeth and 51 to 85 the primary ones"


_FROM_PALMER = {palmer(tooth): tooth for tooth in TEETH}
