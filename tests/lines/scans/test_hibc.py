"""HIBC supplier codes: primary, secondary, both in one; what is not published is refused in words."""

from __future__ import annotations

import datetime as dt

import pytest

from stepper.facts.values import Expiry
from stepper.lines.refusal import Refusal
from stepper.lines.scans.mod43 import CHARACTERS, check_character
from stepper.lines.scans.reading import read
from stepper.lines.scans.scanned import Scanned

TODAY = dt.date(2019, 3, 2)
ITEM = "+A999123457"
BODIES = [f"+A999{one}{other}5" for one in CHARACTERS[:36] for other in CHARACTERS[:36]]
KEY = "Key what stands on the packet."


def whole(body: str) -> str:
    """Put the symbology identifier before and the check character behind a body."""
    return f"]d1{body}{check_character(body)}"


def test_the_check_character_of_a_published_example():
    """The values of +A123BJC5D6E71 add up to 145, and 145 modulo 43 is 16: G (a scanner's manual, seen)."""
    assert sum(CHARACTERS.index(one) for one in "+A123BJC5D6E71") == 145
    assert check_character("+A123BJC5D6E71") == "G"
    assert read("]A0+A123BJC5D6E71G", TODAY) == Scanned("]A0+A123BJC5D6E71G", "+A123BJC5D6E71G")


def test_the_values_of_the_characters():
    """0 to 9, A to Z from 10, - 36, . 37, space 38, $ 39, / 40, + 41, % 42 (seen)."""
    told = {"0": 0, "9": 9, "A": 10, "Z": 35, "-": 36, ".": 37, " ": 38, "$": 39, "/": 40, "+": 41, "%": 42}
    assert {sign: CHARACTERS.index(sign) for sign in told} == told
    assert len(CHARACTERS) == 43
    assert check_character("a") is None


def test_primary_and_both_in_one_of_a_published_example():
    """Day 15 of 2020, lot 10X3, made 2011-12-12, with a serial (documentation of a public library, seen)."""
    assert read(f"]C0{ITEM}", TODAY) == Scanned(f"]C0{ITEM}", ITEM)
    raw = "]d1+A99912345/$$52001510X3/16D20111212/S77DE1G45-"
    assert read(raw, TODAY) == Scanned(raw, ITEM, "10X3", Expiry(year=2020, month=1, day=15))


def test_secondary_holds_the_check_character_of_its_primary():
    raw = whole("+$$52001510X37")
    assert read(raw, TODAY) == Scanned(raw, None, "10X3", Expiry(year=2020, month=1, day=15), "7")


SECONDARY = {
    "$10X3": (None, "10X3"),
    "$+S77": (None, None),
    "$$092010X3": ((2020, 9, None), "10X3"),
    "$$122010X3": ((2020, 12, None), "10X3"),
    "$$209282010X3": ((2020, 9, 28), "10X3"),
    "$$320092810X3": ((2020, 9, 28), "10X3"),
    "$$42009282210X3": ((2020, 9, 28), "10X3"),
    "$$52027210X3": ((2020, 9, 28), "10X3"),
    "$$6202722210X3": ((2020, 9, 28), "10X3"),
    "$$710X3": (None, "10X3"),
    "$$7": (None, None),
    "$$824X3": (None, "X3"),
    "$$900100X3": (None, "X3"),
    "$$+0920S77": ((2020, 9, None), None),
    "2027210X3": ((2020, 9, 28), "10X3"),
    "20272": ((2020, 9, 28), None),
    "$$3200928LOTOFEIGHTEENCHAR1": ((2020, 9, 28), "LOTOFEIGHTEENCHAR1"),
    "$$09203C001/14D20200930/S7": None,
    "$$73C001/14D20200930": ((2020, 9, 30), "3C001"),
    "$$3200930X/14D20200930/16D20180101": ((2020, 9, 30), "X"),
}
"""What stands behind the item code, in each form that public documentation lists (seen; 14D from memory), and what it
says: the expiry and the lot. None: it says two expiries."""


@pytest.mark.parametrize("text", SECONDARY)
def test_each_form_of_expiry_and_lot(text: str):
    said = SECONDARY[text]
    raw = whole(f"+A99912345/{text}")
    if said is None:
        assert read(raw, TODAY) == Refusal(f"Scan not taken: it says the expiry twice, and differently. {KEY}")
        return
    until, lot = said
    expiry = Expiry(year=until[0], month=until[1], day=until[2]) if until else None
    assert read(raw, TODAY) == Scanned(raw, ITEM, lot, expiry)


def test_a_date_behind_a_quantity_may_be_a_lot():
    got = read(whole("+A99912345/$$8240920X3"), TODAY)
    assert isinstance(got, Scanned)
    assert (got.expiry, got.lot) == (Expiry(year=2020, month=9), "X3")
    assert got.remarks == ("Compare expiry and lot with the packet: its code can be read in two ways.",)


@pytest.mark.parametrize(
    ("raw", "why"),
    [
        ("]d1+A999123458", "its check character is wrong. Scan again, or key it."),
        ("]d1+", "its check character is wrong. Scan again, or key it."),
        (f"]A3{ITEM[:-1]}", "the scanner leaves out the check character. Set it up to send it, or key it."),
        (f"]A7{ITEM[:-1]}", "the scanner leaves out the check character. Set it up to send it, or key it."),
        ("]d1+a999123457", "it holds a sign that no HIBC code has. Scan again, or key it."),
        ("]d1+A99912345\x1d", "it holds a sign that no HIBC code has. Scan again, or key it."),
        (whole("+A99"), f"its item code is of no known form. {KEY}"),
        (whole("+A9991234X"), f"its item code is of no known form. {KEY}"),
        (whole(f"+A999{'1' * 19}5"), f"its item code is of no known form. {KEY}"),
        (whole("+"), f"this form of an HIBC code is not known. {KEY}"),
        (whole("+A99912345/"), f"this form of an HIBC code is not known. {KEY}"),
        (whole("+A99912345/X"), f"this form of an HIBC code is not known. {KEY}"),
        (whole("+A99912345/$$A"), f"this form of an HIBC code is not known. {KEY}"),
        (whole("+A99912345/$$"), f"this form of an HIBC code is not known. {KEY}"),
        (whole("+A99912345/$$32"), f"this form of an HIBC code is not known. {KEY}"),
        (whole("+A99912345/$$8X"), f"this form of an HIBC code is not known. {KEY}"),
        (whole("+A99912345/$L/Z9"), f"this form of an HIBC code is not known. {KEY}"),
        (whole("+A99912345/$$1320L"), f"its expiry is no date. {KEY}"),
        (whole("+A99912345/$$3200230L"), f"its expiry is no date. {KEY}"),
        (whole("+A99912345/$$3200200L"), f"its expiry is no date. {KEY}"),
        (whole("+A99912345/$$521366L"), f"its expiry is no date. {KEY}"),
        (whole("+A99912345/20000L"), f"its expiry is no date. {KEY}"),
        (whole("+A99912345/$L/14D20201301"), f"its expiry is no date. {KEY}"),
        (whole("+A99912345/$L.1"), f"its lot is of no known form. {KEY}"),
        (whole(f"+A99912345/${'L' * 19}"), f"its lot is of no known form. {KEY}"),
    ],
)
def test_refused_in_one_sentence(raw: str, why: str):
    assert read(raw, TODAY) == Refusal(f"Scan not taken: {why}")


@pytest.mark.parametrize("sign", CHARACTERS)
def test_any_of_the_43_may_be_the_check_character(sign: str):
    """It may itself be + $ / % . - or a space (seen)."""
    body = next(text for text in BODIES if check_character(text) == sign)
    assert read(f"]d1{body}{sign}", TODAY) == Scanned(f"]d1{body}{sign}", body + sign)
    linked = whole(f"+$10X3{sign}")
    assert read(linked, TODAY) == Scanned(linked, None, "10X3", None, sign)


def test_366_is_a_day_of_a_leap_year():
    got = read(whole("+A99912345/$$520366L"), TODAY)
    assert isinstance(got, Scanned)
    assert got.expiry == Expiry(year=2020, month=12, day=31)
