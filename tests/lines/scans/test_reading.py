"""What kind of code a scan is, by its symbology identifier; any bytes are read or refused; the library comes late."""

from __future__ import annotations

import datetime as dt
import subprocess
import sys

import pytest
from biip import ParseError
from biip.gtin import Gtin
from hypothesis import given
from hypothesis import strategies as st

from stepper.facts.values import Expiry
from stepper.lines.grammar import Scan, read_line
from stepper.lines.refusal import Refusal
from stepper.lines.scans.codes import check_digit, gtin, item_code
from stepper.lines.scans.reading import read
from stepper.lines.scans.scanned import Scanned

TODAY = dt.date(2026, 3, 2)


@pytest.mark.parametrize(
    ("raw", "code"),
    [
        ("]E02000000000015", "02000000000015"),
        ("]E0400000000008", "00400000000008"),  # UPC in 12 digits; 4 is kept for use inside a shop
        ("]E400000017", "00000000000017"),
        ("]I112000000000012", "12000000000012"),
    ],
)
def test_a_plain_item_number_is_an_item_number_and_nothing_else(raw: str, code: str):
    """4012345678901 would else be read as field 401 too (measured with the library)."""
    assert read(raw, TODAY) == Scanned(raw, code)


KINDS = "]{} is neither a GS1 nor an HIBC code. Scan the packet's other code, or key it."


@pytest.mark.parametrize(
    ("raw", "why"),
    [
        ("]", "it does not say what kind of code it is. Let the scanner send its symbology identifier."),
        ("]d", "it does not say what kind of code it is. Let the scanner send its symbology identifier."),
        ("]]d2", "it does not say what kind of code it is. Let the scanner send its symbology identifier."),
        ("2000000000015", "it does not say what kind of code it is. Let the scanner send its symbology identifier."),
        ("", "it does not say what kind of code it is. Let the scanner send its symbology identifier."),
        ("]E0", "the code is empty. Scan again, or key it."),
        ("]E02000000000016", "its check digit is wrong. Scan again, or key it."),
        ("]E020000015", "an item number of this kind has 12 or 13 digits. Scan again, or key it."),
        ("]E0200000000001X", "an item number of this kind has 12 or 13 digits. Scan again, or key it."),
        ("]E42000000000015", "an item number of this kind has 8 digits. Scan again, or key it."),
        ("]E3200000000001512", "it comes with an add-on beside it. Scan the packet's other code, or key it."),
        ("]d10102000000000015", KINDS.format("d1")),  # a Data Matrix that does not say that it is GS1
        ("]C00102000000000015", KINDS.format("C0")),
        (
            "]Q1https://example.org/01/02000000000015",
            "it is a web address. Scan the packet's other code, or key lot and expiry.",
        ),
        ("]d2HTTP://EXAMPLE.ORG/", "it is a web address. Scan the packet's other code, or key lot and expiry."),
        ("]A0L12345", KINDS.format("A0")),
    ],
)
def test_refused_in_one_sentence(raw: str, why: str):
    assert read(raw, TODAY) == Refusal(f"Scan not taken: {why}")


LIKELY = st.text("0123456789ABXab +-*/.$%\x1d^]|~()\x00\r\n\u0661", max_size=80)
OPENINGS = st.sampled_from(
    ["", "d2", "C1", "Q3", "e0", "d1+", "d1+A99912345/$$", "E0", "E4", "d201", "d217", "d210", "d2310", "d239"]
)


@given(OPENINGS, st.text(max_size=120) | LIKELY, st.dates())
def test_any_scan_is_read_or_refused_in_one_sentence(opening: str, text: str, today: dt.date):
    raw = f"]{opening}{text}"
    assert read_line(raw) == Scan(raw)
    got = read(raw, today)
    if isinstance(got, Refusal):
        assert got.sentence.startswith("Scan not taken: ")
        assert got.sentence.isprintable()
        assert len(got.sentence) < 160
        return
    assert got.raw == raw
    assert got.code or got.lot or got.expiry or got.link or "+" in raw
    assert got.lot is None or (got.lot in raw and got.lot.isascii() and got.lot.isprintable())
    assert got.expiry is None or isinstance(got.expiry, Expiry)


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(content: bytes):
    got = read("]d2" + content.decode("utf-8", "surrogateescape"), TODAY)
    assert isinstance(got, Scanned | Refusal)


@pytest.mark.parametrize("part", ["10A\x1d", "1728053", "\x1d", "^]", "01", "9", "8005123456", "+"])
def test_a_scan_as_long_as_may_be_is_read_in_few_steps(part: str):
    """Field after field is taken off, so that no scan of 2,000 characters takes more steps than it has characters."""
    steps = 0

    def count(frame: object, event: str, argument: object) -> object:  # noqa: ARG001
        nonlocal steps
        steps += event == "call"
        return count

    raw = "]d2" + (part * 2000)[:2000]
    read(raw, TODAY)
    sys.settrace(count)  # type: ignore[arg-type]
    try:
        read(raw, TODAY)
    finally:
        sys.settrace(None)
    assert steps < 60 * len(raw)


@given(st.text("0123456789", min_size=7, max_size=13).filter(lambda body: len(body) in (7, 11, 12, 13)))
def test_our_check_digit_is_the_library_s(body: str):
    whole = f"{body}{check_digit(body)}"
    assert gtin(whole) == whole.zfill(14) == Gtin.parse(whole).as_gtin_14()
    wrong = body + str((check_digit(body) + 1) % 10)
    assert gtin(wrong) is None
    with pytest.raises(ParseError):
        Gtin.parse(wrong)


@pytest.mark.parametrize(("body", "digit"), [("629104150021", 3), ("890400021003", 7), ("730001100001", 7)])
def test_check_digits_of_published_examples(body: str, digit: int):
    """GS1, GS1 India, GS1 Sweden (seen, recomputed)."""
    assert check_digit(body) == digit


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("2000000000015", "02000000000015"),
        ("02000000000015", "02000000000015"),
        ("00000017", "00000000000017"),
        ("+A123BJC5D6E71G", "+A123BJC5D6E71G"),
        ("+A99902" + "5" + "_", None),
        ("2000000000016", "has a wrong check digit"),
        ("+A123BJC5D6E71H", "has a wrong check character"),
        ("+A123", "is no HIBC primary code"),
        ("+", "is no HIBC primary code"),
        ("200000000015", "has a wrong check digit"),
        ("200", "is no item code"),
        ("\u0662000000000015", "is no item code"),
        ("", "is no item code"),
    ],
)
def test_item_codes_have_one_form(written: str, code: str | None):
    got = item_code(written)
    if code is None:
        assert got == Refusal("has a wrong check character")
    else:
        assert got == code or got == Refusal(code)


def test_a_space_is_printed_as_an_underscore():
    """A check character that is a space is printed `_` (seen)."""
    bodies = [f"+A999{one}Z5" for one in "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"]
    body = next(text for text in bodies if item_code(f"{text} ") == f"{text} ")
    assert item_code(f"{body}_") == f"{body} "


def test_the_library_is_loaded_at_the_first_gs1_scan():
    code = (
        "import sys, datetime as dt, stepper.lines.scans.reading, stepper.session.lobby, stepper.session.session\n"
        "before = 'biip' in sys.modules or 'stepper.lines.scans.hibc' in sys.modules\n"
        "stepper.lines.scans.reading.read(']E02000000000015', dt.date(2026, 3, 2))\n"
        "plain = 'biip' in sys.modules\n"
        "stepper.lines.scans.reading.read(']d210L5', dt.date(2026, 3, 2))\n"
        "print(before, plain, 'biip' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.split() == ["False", "False", "True"]
