"""ISO 3950 against Universal and Palmer, for all 52 teeth."""

from __future__ import annotations

import pytest

from stepper.sums import iso3950

# ISO 3950:2016 quadrants and counting: FOUND. Universal 1, 16, 17, 32 and A, T: FOUND, the rest of its rows derived.
# Palmer in plain text: from memory, high confidence. One row a quadrant: name, ISO 3950, Universal.
QUADRANTS = """
UR | 18 17 16 15 14 13 12 11 | 1 2 3 4 5 6 7 8
UL | 21 22 23 24 25 26 27 28 | 9 10 11 12 13 14 15 16
LL | 38 37 36 35 34 33 32 31 | 17 18 19 20 21 22 23 24
LR | 41 42 43 44 45 46 47 48 | 25 26 27 28 29 30 31 32
UR | 55 54 53 52 51 | A B C D E
UL | 61 62 63 64 65 | F G H I J
LL | 75 74 73 72 71 | K L M N O
LR | 81 82 83 84 85 | P Q R S T
"""


def _teeth() -> list[tuple[str, str, str]]:
    teeth = []
    for row in QUADRANTS.strip().splitlines():
        corner, iso, universal = (part.split() for part in row.split("|"))
        for fdi, code in zip(iso, universal, strict=True):
            place = fdi[1] if code.isdigit() else " ABCDE"[int(fdi[1])]
            teeth.append((fdi, code, corner[0] + place))
    return teeth


TEETH = _teeth()


def test_there_are_52_teeth_and_no_others():
    assert sorted(iso3950.TEETH) == sorted(fdi for fdi, _, _ in TEETH)
    assert len(set(iso3950.TEETH)) == 52
    assert [f"{number:02d}" for number in range(100) if iso3950.is_tooth(f"{number:02d}")] == sorted(iso3950.TEETH)


@pytest.mark.parametrize(("fdi", "universal", "palmer"), TEETH)
def test_three_notations_there_and_back(fdi: str, universal: str, palmer: str):
    assert iso3950.universal(fdi) == universal
    assert iso3950.palmer(fdi) == palmer
    assert iso3950.from_universal(universal) == fdi
    assert iso3950.from_palmer(palmer) == fdi


@pytest.mark.parametrize(
    ("fdi", "universal"),
    [
        # FOUND: 46 = 30; 11, 21 = 8, 9; 12, 22 = 7, 10; the ends. Worked examples 8 and 9, the rest of them derived.
        ("46", "30"),
        ("11", "8"),
        ("21", "9"),
        ("12", "7"),
        ("22", "10"),
        ("18", "1"),
        ("48", "32"),
        ("16", "3"),
        ("26", "14"),
        ("36", "19"),
        ("55", "A"),
        ("51", "E"),
        ("65", "J"),
        ("75", "K"),
        ("72", "N"),
        ("81", "P"),
        ("85", "T"),
    ],
)
def test_published_pairs(fdi: str, universal: str):
    assert iso3950.universal(fdi) == universal


@pytest.mark.parametrize("fdi", [fdi for fdi, _, _ in TEETH])
def test_the_published_formulas_hold(fdi: str):
    """Derived in the same source: Q1 9-t, Q2 8+t, Q3 25-t, Q4 24+t; letters Q5 6-t, Q6 5+t, Q7 16-t, Q8 15+t."""
    quadrant, place = int(fdi[0]), int(fdi[1])
    base, sign = {1: (9, -1), 2: (8, 1), 3: (25, -1), 4: (24, 1), 5: (6, -1), 6: (5, 1), 7: (16, -1), 8: (15, 1)}[
        quadrant
    ]
    number = base + sign * place
    assert iso3950.universal(fdi) == (str(number) if quadrant < 5 else chr(ord("A") + number - 1))


def test_a_bare_number_needs_its_system():
    """Universal 11 is the upper left canine, ISO 3950 11 the upper right central incisor (derived)."""
    assert iso3950.from_universal("11") == "23"
    assert iso3950.describe(iso3950.from_universal("11")) == "upper left canine"
    assert iso3950.describe("11") == "upper right central incisor"


@pytest.mark.parametrize(
    ("fdi", "said", "words"),
    [
        ("46", "four-six", "lower right first molar"),
        ("16", "one-six", "upper right first molar"),
        ("23", "two-three", "upper left canine"),
        ("38", "three-eight", "lower left third molar"),
        ("44", "four-four", "lower right first premolar"),
        ("72", "seven-two", "lower left primary lateral incisor"),
        ("55", "five-five", "upper right second primary molar"),
        ("84", "eight-four", "lower right first primary molar"),
    ],
)
def test_said_and_written(fdi: str, said: str, words: str):
    """Said digit by digit; 72 and 55 in words: FOUND."""
    assert iso3950.spoken(fdi) == said
    assert iso3950.describe(fdi) == words


def test_no_two_teeth_share_a_name():
    for naming in (iso3950.universal, iso3950.palmer, iso3950.spoken, iso3950.describe):
        assert len({naming(fdi) for fdi in iso3950.TEETH}) == 52


@pytest.mark.parametrize("naming", [iso3950.universal, iso3950.palmer, iso3950.spoken, iso3950.describe])
@pytest.mark.parametrize(
    ("text", "allowed"),
    [
        ("19", r"in quadrant 1 \(permanent\) the second digit is 1 to 8\.$"),
        ("40", r"in quadrant 4 \(permanent\) the second digit is 1 to 8\.$"),
        ("56", r"in quadrant 5 \(primary\) the second digit is 1 to 5\.$"),
        ("80", r"in quadrant 8 \(primary\) the second digit is 1 to 5\.$"),
        ("91", r"11 to 48 are the permanent teeth and 51 to 85 the primary ones\.$"),
        ("06", r"11 to 48 are the permanent teeth"),
        ("6", r"11 to 48 are the permanent teeth"),
        ("146", r"11 to 48 are the permanent teeth"),
        ("", r"11 to 48 are the permanent teeth"),
        ("46 ", r"11 to 48 are the permanent teeth"),
        ("٤٦", r"11 to 48 are the permanent teeth"),
        ("LR6", r"11 to 48 are the permanent teeth"),
    ],
)
def test_what_is_no_tooth(naming, text: str, allowed: str):
    assert not iso3950.is_tooth(text)
    with pytest.raises(ValueError, match=allowed):
        naming(text)


@pytest.mark.parametrize("text", ["0", "33", "46", "51", "AS", "U", "", "03"])
def test_what_is_no_universal_tooth(text: str):
    """51 to 82 and AS to TS name supernumerary teeth there (from memory), which ISO 3950 has no code for."""
    with pytest.raises(ValueError, match=r"Universal notation: 1 to 32 or A to T is allowed"):
        iso3950.from_universal(text)


@pytest.mark.parametrize("text", ["LR9", "LR0", "LRF", "46", "6", "", "RL6"])
def test_what_is_no_palmer_tooth(text: str):
    with pytest.raises(ValueError, match=r"Palmer notation: UR, UL, LL or LR followed by 1 to 8 or A to E is allowed"):
        iso3950.from_palmer(text)


def test_letters_may_be_small():
    assert iso3950.from_universal("n") == "72"
    assert iso3950.from_palmer("lr6") == "46"
