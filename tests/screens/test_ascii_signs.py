"""A screen in plain ASCII: cell for cell the same, and when it is wanted."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.style import Style
from textual.strip import Strip

from stepper.screens.ascii_signs import in_ascii
from stepper.screens.palette import DARK, Look
from stepper.screens.rows import clean, strip
from stepper.screens.terminal import speaks_utf8

PLAIN = Look(DARK).plain


def ascii_of(text: str) -> str:
    return in_ascii(strip(cell_len(text), PLAIN, (text, PLAIN))).text


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Tooth 36 · lower left", "Tooth 36 . lower left"),
        ("Pfähler, Škoda, Łoś, Groß", "Pfahler, Skoda, Los, Gros"),
        ("cut short…", "cut short~"),
        ("0.06 ± 0.02 mm³, 12 µg", "0.06 ? 0.02 mm3, 12 ug"),
        ("漢字", "????"),
        ("e\u0301tat", "etat"),
        ("½ \ufffd 👩", "? ? ??"),
        ("", ""),
    ],
)
def test_a_sign_is_written_by_its_base_letter_a_like_one_or_as_unknown(text: str, wanted: str) -> None:
    assert ascii_of(text) == wanted


@given(st.text(st.characters(codec="utf-8"), max_size=40))
def test_any_row_keeps_its_cells_and_its_styles(text: str) -> None:
    text = clean(text)
    bold = Style(bold=True)
    row = strip(cell_len(text) + 3, PLAIN, (text, bold))
    plain = in_ascii(row)
    assert plain.text.isascii()
    assert plain.text.isprintable()
    assert cell_len(plain.text) == plain.cell_length == row.cell_length
    assert [segment.style for segment in plain] == [segment.style for segment in row]


def test_a_row_that_is_ascii_is_left_alone() -> None:
    row = Strip.blank(5, PLAIN)
    assert in_ascii(row) is row


@pytest.mark.parametrize(
    ("environment", "utf8_mode", "spoken"),
    [
        ({"LC_ALL": "C"}, True, False),
        ({"LC_ALL": "POSIX", "LANG": "de_DE.UTF-8"}, True, False),
        ({"LC_ALL": "de_DE.UTF-8"}, True, True),  # not installed here, but the terminal's own
        ({"LANG": "de_DE.utf8"}, False, True),
        ({"LC_CTYPE": "C.UTF-8", "LANG": "C"}, True, False),  # as Python sets it
        ({"LC_CTYPE": "C.UTF-8", "LANG": "C"}, False, True),  # as a person sets it
        ({"LC_CTYPE": "C.UTF-8", "PYTHONUTF8": "1"}, True, True),
        ({"LC_CTYPE": "C.UTF-8"}, True, False),
        ({"LC_ALL": "", "LC_CTYPE": "", "LANG": "en_GB.UTF-8"}, False, True),
        ({"LANG": "de_DE@euro"}, False, False),
        ({"LC_ALL": "C.UTF-8", "PYTHONIOENCODING": "ascii:replace"}, False, False),
        ({"LC_ALL": "C", "PYTHONIOENCODING": "utf-8"}, True, True),
        ({"LC_ALL": "C.UTF-8", "PYTHONIOENCODING": ":replace"}, False, True),
        ({}, False, False),
    ],
)
def test_utf8_is_what_the_locale_promises(environment: dict[str, str], utf8_mode: bool, spoken: bool) -> None:
    assert speaks_utf8(environment, utf8_mode=utf8_mode) is spoken
