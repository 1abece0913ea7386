"""GS1 messages: what is read, and one sentence for each thing that may be wrong with one.

Item numbers are of prefixes that are kept for use inside a company (200 to 299, from memory) or invented, but for the
published examples, whose source and tag stand beside them.
"""

from __future__ import annotations

import datetime as dt

import pytest
from biip import ParseError
from biip.gs1_element_strings import GS1ElementString
from biip.gs1_messages import GS1Message
from biip.gtin import Gtin

from stepper.facts.values import Expiry
from stepper.lines.refusal import Refusal
from stepper.lines.scans.reading import read
from stepper.lines.scans.scanned import Scanned

TODAY = dt.date(2026, 3, 2)
GS = "\x1d"
ITEM = "02000000000015"
KEY_OR_SET_UP = "Set the scanner up to send the separator (GS), or key lot and expiry."
WHOLE = Scanned("", ITEM, "L12345", Expiry(year=2028, month=5, day=31))

READ = {
    "lot last, no separator": f"]d201{ITEM}1728053110L12345",
    "lot first": f"]d201{ITEM}10L12345{GS}17280531",
    "Code 128": f"]C101{ITEM}10L12345{GS}17280531",
    "QR Code": f"]Q301{ITEM}10L12345{GS}17280531",
    "DataBar": f"]e001{ITEM}10L12345{GS}17280531",
    "separator before and behind": f"]d2{GS}01{ITEM}10L12345{GS}17280531{GS}",
    "separators twice": f"]d201{ITEM}{GS}10L12345{GS}{GS}17280531",
    "carriage return and line feed behind": f"]d201{ITEM}10L12345{GS}17280531\r\n",
    "with a serial and a date of manufacture": f"]d201{ITEM}112501011728053110L12345{GS}21S77",
    "the lot twice, alike": f"]d201{ITEM}10L12345{GS}1728053110L12345",
    "^ for the separator": f"]d201{ITEM}10L12345^17280531",
}


@pytest.mark.parametrize("name", READ)
def test_read(name: str):
    raw = READ[name]
    assert read(raw, TODAY) == Scanned(raw, WHOLE.code, WHOLE.lot, WHOLE.expiry)


REFUSED = {
    "the separator is lost": (f"]d201{ITEM}10L1234517280531", f"the separator after the lot is lost. {KEY_OR_SET_UP}"),
    "lost before a date of manufacture": (
        f"]d210L511250101{GS}01{ITEM}",
        f"the separator after the lot is lost. {KEY_OR_SET_UP}",
    ),
    "lost before a serial": (f"]d201{ITEM}10L521123456", f"the separator after the lot is lost. {KEY_OR_SET_UP}"),
    "^] for it": (f"]d201{ITEM}10L12345^]17280531", f"the separator came as ^]. {KEY_OR_SET_UP}"),
    "| for it": (f"]d201{ITEM}10L12345|17280531", f"the separator came as |. {KEY_OR_SET_UP}"),
    "~ for it": (f"]d201{ITEM}10L12345~17280531", f"the separator came as ~. {KEY_OR_SET_UP}"),
    "a space for it": (f"]d201{ITEM}10L12345 17280531", f"the separator came as a space. {KEY_OR_SET_UP}"),
    "a wrong check digit": (
        "]d20102000000000016",
        "the check digit of the item number is wrong. Scan again, or key it.",
    ),
    "30 February": (
        f"]d201{ITEM}17280230",
        "its expiry 280230 (year, month, day) is no date. Key what stands on the packet.",
    ),
    "29 February of no leap year": (
        f"]d201{ITEM}17270229",
        "its expiry 270229 (year, month, day) is no date. Key what stands on the packet.",
    ),
    "a thirteenth month": (
        f"]d201{ITEM}17281331",
        "its expiry 281331 (year, month, day) is no date. Key what stands on the packet.",
    ),
    "month 00": (
        f"]d201{ITEM}17280031",
        "its expiry 280031 (year, month, day) is no date. Key what stands on the packet.",
    ),
    "two lots": (
        f"]d210A{GS}10B",
        "it says the lot twice, and differently. Key what stands on the packet.",
    ),
    "two expiries": (
        "]d21728053117280601",
        "it says the expiry twice, and differently. Key what stands on the packet.",
    ),
    "two items": (
        f"]d201{ITEM}0104012345678901",
        "it says the item number twice, and differently. Key what stands on the packet.",
    ),
    "two dates of manufacture": (
        "]d21125010111250102",
        "it says the field 11 twice, and differently. Key what stands on the packet.",
    ),
    "a lot of 21 characters": (f"]d210{'L' * 21}", f"its lot is too long. {KEY_OR_SET_UP}"),
    "a lot with a space": ("]d210ab c", f"the separator came as a space. {KEY_OR_SET_UP}"),
    "brackets": (
        f"]d2(01){ITEM}(17)280531",
        "brackets are printed, and no part of the code. Scan it, or key lot and expiry.",
    ),
    "nothing": ("]d2", "the code is empty. Scan again, or key it."),
    "separators alone": (f"]d2{GS}{GS}\r", "the code is empty. Scan again, or key it."),
    "a byte that has no shape": (f"]d201{ITEM}\x00", "<U+0000> is no sign of a GS1 code. Scan again, or key it."),
    "an envelope of another kind": (
        f"]d2[)>\x1e06{GS}1T5",
        "[ is no sign of a GS1 code. Scan again, or key it.",
    ),
    "digits of another script": (
        "]d210\u0661\u0662",
        "\u0661 is no sign of a GS1 code. Scan again, or key it.",
    ),
    "no known field": (f"]d201{ITEM}05123", "no GS1 field begins with 0512. Scan again, or key it."),
    "a half scan": ("]d2010200", "no GS1 field begins with 0102. Scan again, or key it."),
    "a lot without characters": ("]d210", "no GS1 field begins with 10. Scan again, or key it."),
    "nothing that is asked": (
        f"]d221S77{GS}11250101",
        "it holds no item number, lot or expiry. Scan the packet's other code, or key it.",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refused_in_one_sentence(name: str):
    raw, why = REFUSED[name]
    assert read(raw, TODAY) == Refusal(f"Scan not taken: {why}")


def test_lower_case_is_a_lot_of_its_own():
    got = read("]d210l5b", TODAY)
    assert isinstance(got, Scanned)
    assert got.lot == "l5b"


def test_a_lot_as_long_as_may_be():
    got = read(f"]d210{'L' * 20}{GS}17280531", TODAY)
    assert isinstance(got, Scanned)
    assert got.lot == "L" * 20


def test_day_00_leaves_the_day_open():
    got = read(f"]d201{ITEM}17280200", TODAY)
    assert isinstance(got, Scanned)
    assert got.expiry == Expiry(year=2028, month=2)


@pytest.mark.parametrize(
    ("yymmdd", "today", "year"),
    [
        ("750531", dt.date(2026, 3, 2), 2075),  # 49 ahead
        ("760531", dt.date(2026, 3, 2), 2076),  # 50 ahead: the furthest
        ("770531", dt.date(2026, 3, 2), 1977),  # 51 ahead would be 49 back
        ("260531", dt.date(2026, 3, 2), 2026),
        ("490531", dt.date(2099, 3, 2), 2149),  # 50 ahead in the next century
        ("500531", dt.date(2099, 3, 2), 2050),
    ],
)
def test_the_century_is_the_nearer_one(yymmdd: str, today: dt.date, year: int):
    """From 49 years back to 50 ahead (GS1 General Specifications, seen; the rule's wording from memory)."""
    got = read(f"]d217{yymmdd}", today)
    assert isinstance(got, Scanned)
    assert got.expiry == Expiry(year=year, month=5, day=31)


def test_a_year_that_is_past_is_a_remark_and_no_refusal():
    got = read(f"]d201{ITEM}17770531", TODAY)
    assert isinstance(got, Scanned)
    assert got.expiry == Expiry(year=1977, month=5, day=31)
    assert got.remarks == ("By its code it expired 31.5.1977: look at the packet.",)


def test_the_day_itself_is_not_past_and_the_next_is():
    for day, remarks in (("02", 0), ("01", 1), ("00", 0)):
        got = read(f"]d2172603{day}", TODAY)
        assert isinstance(got, Scanned)
        assert len(got.remarks) == remarks, day


def test_another_field_may_hang_on_to_the_lot():
    """The expiry came first, so nothing of it is lost; a serial may have been joined to the lot."""
    got = read(f"]d201{ITEM}1728053110L521123456", TODAY)
    assert isinstance(got, Scanned)
    assert got.lot == "L521123456"
    assert got.remarks == ("Compare the lot with the packet: another field may hang on to it.",)
    with_serial = read(f"]d201{ITEM}1728053110L521123456{GS}21S7", TODAY)
    assert isinstance(with_serial, Scanned)
    assert with_serial.remarks == ()


# The library, held against published examples before anything rests on it.

GTINS = ("6291041500213", "8904000210037", "7300011000017", "51022222233336")
"""GS1, GS1 India, GS1 Sweden, and the UDI sheet of the FDA, v1.3 (all seen)."""


@pytest.mark.parametrize("number", GTINS)
def test_the_library_knows_a_check_digit(number: str):
    assert Gtin.parse(number).as_gtin_14() == number.zfill(14)
    wrong = number[:-1] + str((int(number[-1]) + 1) % 10)
    with pytest.raises(ParseError):
        Gtin.parse(wrong)


def test_the_library_and_we_read_a_published_scan():
    """A scan with a separator behind its lot (seen); day 00 is that month's last, 31 October 2024 (by rule)."""
    scan = f"010506091751001110628S93{GS}17241000218898847482518646"
    message = GS1Message.parse(scan)
    assert [(one.ai.ai, one.value) for one in message.element_strings] == [
        ("01", "05060917510011"),
        ("10", "628S93"),
        ("17", "241000"),
        ("21", "8898847482518646"),
    ]
    assert message.element_strings[2].date == dt.date(2024, 10, 31)
    got = read(f"]d2{scan}", dt.date(2024, 1, 1))
    assert got == Scanned(f"]d2{scan}", "05060917510011", "628S93", Expiry(year=2024, month=10))


def test_the_library_ends_a_month_that_has_no_day():
    """130200 is 28 February 2013, 160200 is 29 February 2016 (GS1, seen)."""
    assert GS1ElementString.extract("17130200").date == dt.date(2013, 2, 28)
    assert GS1ElementString.extract("17160200").date == dt.date(2016, 2, 29)


def test_the_library_does_not_notice_a_lost_separator():
    """What makes our own look at the lot needed; should this fail one day, the library has become wiser."""
    element = GS1ElementString.extract("10L1234517280531")
    assert element.value == "L1234517280531"
