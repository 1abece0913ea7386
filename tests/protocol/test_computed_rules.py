"""Rules about computed values, and stock files, that make no sense: each is refused with its sentence."""

from __future__ import annotations

import pytest

from stepper.kinds.all_computed import COMPUTED
from stepper.protocol.load import load_text
from tests.protocol.scraps import FILE, change, refused, whole

RULE = 'id = "gauging_contradicts"'
SAYS = 'value = "gauging_contradicts"\nany = ["yes"]'
WHERE = "step gauging, rule gauging_contradicts"
WORD = "gauging_contradicts is a word, and is not compared with words; allowed: any = ['yes', 'no']"
NUMBER = "width_least_mm is a number, and is not compared with a limit alone; allowed: below, above or both"

BAD = {
    "a value that is not there": (
        'value = "width_lest_mm"\nbelow = 0.2',
        "value 'width_lest_mm' is no computed value; did you mean 'width_least_mm'?",
    ),
    "no value at all": ('any = ["yes"]', "value is missing"),
    "a word against a limit": ('value = "gauging_contradicts"\nbelow = 1', f"value {WORD}"),
    "a word against a limit and words": ('value = "gauging_contradicts"\nabove = 1\nany = ["yes"]', f"value {WORD}"),
    "a word against nothing": ('value = "gauging_contradicts"', f"value {WORD}"),
    "a word that it cannot be": (
        'value = "file_larger"\nany = ["yes", "unknwon"]',
        "any 2 'unknwon' is nothing that file_larger can be; did you mean 'unknown'?",
    ),
    "a number against words": ('value = "width_least_mm"\nany = ["yes"]', f"value {NUMBER}"),
    "a number against words and a limit": ('value = "width_least_mm"\nbelow = 1\nany = ["yes"]', f"value {NUMBER}"),
    "a number against nothing": ('value = "width_least_mm"', f"value {NUMBER}"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_rule_that_makes_no_sense(name: str):
    new, said = BAD[name]
    text, line = change(whole(), RULE, SAYS, new)
    (sentence,) = refused(text)
    place, rest = sentence.split(": ", 1)
    assert rest == f"{WHERE}, {said}"
    at = int(place.removeprefix(f"{FILE}, line "))
    assert line - 4 <= at <= line + 1


def test_a_gap_that_no_computed_value_fills():
    text, _ = change(whole(), RULE, '"{canal}: the', '"{file}: the')
    (sentence,) = refused(text)
    assert sentence.endswith("{file}, which nothing fills; allowed: above, below, canal, value")


@pytest.mark.parametrize(
    "limits",
    ['value = "width_most_mm"\nbelow = 0.2', 'value = "width_most_mm"\nabove = -1\nbelow = 0',
     'value = "curvature_class"\nany = ["severe", "undefined"]'],
)  # fmt: skip
def test_a_rule_that_makes_sense(limits: str):
    text, _ = change(whole(), RULE, SAYS, limits)
    (rule,) = [one for one in load_text(text, FILE).by_step["gauging"].rule if one.id == "gauging_contradicts"]
    assert getattr(rule, "value", "") in COMPUTED


# Stock files.

STOCK = 'id = "rotary_25_08"'
TAPER = "taper = 0.08"
TABLE = "as [[0, 0.25], [16, 0.8]]"
BAD_FILES = {
    "places that go back": (
        "diameters_mm = [[0, 0.25], [3, 0.5], [2, 0.6]]",
        "the places in a table of diameters have to increase from the tip",
    ),
    "one place": ("diameters_mm = [[0, 0.25]]", "a table of diameters needs two places or more, the first 0 mm"),
    "not from the tip": ("diameters_mm = [[1, 0.25], [16, 0.8]]", "a table of diameters needs two places or more"),
    "a file that narrows": ("diameters_mm = [[0, 0.25], [16, 0.2]]", "may not decrease from the tip"),
}


@pytest.mark.parametrize("name", BAD_FILES)
def test_a_table_of_diameters_that_no_file_has(name: str):
    new, said = BAD_FILES[name]
    text, _ = change(whole(), STOCK, TAPER, f"{TAPER}\n{new}")
    (sentence,) = refused(text)
    assert "item rotary_25_08, diameters_mm" in sentence
    assert said in sentence
    assert sentence.endswith(f"; {TABLE}")


@pytest.mark.parametrize("new", ["diameters_mm = [[0, 0], [16, 0.8]]", "diameters_mm = [[0, 0.25, 1], [16, 0.8]]"])
def test_a_table_of_the_wrong_shape(new: str):
    text, _ = change(whole(), STOCK, TAPER, f"{TAPER}\n{new}")
    assert all("item rotary_25_08, diameters_mm" in one for one in refused(text))


def test_a_gauging_file_needs_a_taper():
    text, _ = change(whole(), STOCK, TAPER, "taper = 0\nfor_gauging = true")
    (sentence,) = refused(text)
    said = "item rotary_25_08, for_gauging a gauging file needs a taper above 0 or a table of diameters"
    assert sentence.endswith(said)


@pytest.mark.parametrize(
    "new", ["taper = 0", "taper = 0\nfor_gauging = true\ndiameters_mm = [[0, 0.25], [3, 0.25], [16, 0.8]]"]
)
def test_what_a_file_can_be(new: str):
    text, _ = change(whole(), STOCK, TAPER, new)
    assert load_text(text, FILE).file_of(54) is not None
