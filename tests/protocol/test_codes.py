"""The codes of the stock, and cones of one size: each mistake gets one sentence."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from stepper.kinds.tables import Cones
from stepper.protocol.load import load_text
from tests.protocol.scraps import FILE, change, refused, whole

ALLOWED = "allowed: a GTIN of 8, 12, 13 or 14 digits, or an HIBC primary code from + to check character"


def with_codes(*lines: tuple[str, str]) -> str:
    """Put lines below the ids of items of the bundled protocol."""
    text = whole()
    for item, line in lines:
        text, _ = change(text, "", f'id = "{item}"\n', f'id = "{item}"\n{line}\n')
    return text


def test_codes_are_taken_in_each_form():
    codes = 'codes = ["2000000000015", "02000000000022", "00000017", "+A123BJC5D6E71G"]'
    protocol = load_text(with_codes(("saline", codes), ("cones_04", "size = 35\ntaper = 0.04")), FILE)
    saline = protocol.by_id("saline")
    assert saline is not None
    assert saline.codes == ("2000000000015", "02000000000022", "00000017", "+A123BJC5D6E71G")


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (
            [("saline", 'codes = ["2000000000016"]')],
            f"item saline, codes 1 '2000000000016' has a wrong check digit; {ALLOWED}",
        ),
        (
            [("saline", 'codes = ["+A123BJC5D6E71H"]')],
            f"item saline, codes 1 '+A123BJC5D6E71H' has a wrong check character; {ALLOWED}",
        ),
        ([("saline", 'codes = ["+"]')], f"item saline, codes 1 '+' is no HIBC primary code; {ALLOWED}"),
        ([("saline", 'codes = ["L123"]')], f"item saline, codes 1 'L123' is no item code; {ALLOWED}"),
        (
            [("saline", 'codes = ["2000000000015", "02000000000015"]')],
            "item saline, codes 2 '02000000000015' stands twice; it must be unique",
        ),
        (
            [("saline", 'codes = ["2000000000015"]'), ("cones_04", 'codes = ["02000000000015"]')],
            "item cones_04, codes 1 '02000000000015' is a code of saline already; it must be unique",
        ),
        (
            [("cones_04", "size = 35")],
            "item cones_04 has no taper; cones of one size and taper have both, others neither",
        ),
        (
            [("cones_04", "taper = 0.04")],
            "item cones_04 has no size; cones of one size and taper have both, others neither",
        ),
        ([("saline", "codes = [2000000000015]")], "item saline, codes 1 must be text in quotes"),
        ([("saline", 'codes = "2000000000015"')], "item saline, codes must be a list in [ ]"),
        ([("saline", 'codes = [""]')], "item saline, codes 1 is empty"),
        ([("saline", "size = 35")], "item saline, size is not a key here"),
    ],
)
def test_one_mistake_gets_one_sentence(lines: list[tuple[str, str]], said: str):
    (sentence,) = refused(with_codes(*lines))
    assert sentence.split(": ", 1)[1].startswith(said)


def test_the_guide_s_example_is_taken():
    guide = (Path(__file__).parents[2] / "protocols" / "README.md").read_text(encoding="utf-8")
    (example,) = (block for block in re.findall(r"```toml\n(.*?)```", guide, re.DOTALL) if "codes = " in block)
    text, _ = change(whole(), "", "\n[[item]]\n", f"\n{example}\n[[item]]\n")
    cone = load_text(text, FILE).by_id("cone_35_04")
    assert isinstance(cone, Cones)
    assert (cone.size, len(cone.codes)) == (35, 2)
