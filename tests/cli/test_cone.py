"""`stepper cone`: its JSON, its table, and what it refuses."""

from __future__ import annotations

import pytest

from stepper.cli.main import main
from stepper.cli.printed import CAUTION
from tests.cli.running import printed_by

KEYS = ["match", "rest_short_mm", "rest_short_range_mm", "trim_mm"]

as_json, table = printed_by("cone")


def test_one_size_too_large(capsys):
    found = as_json(capsys, "--cut", "40/.04", "--cone", "45/.04")
    assert list(found) == KEYS
    assert found == {"match": False, "rest_short_mm": 1.25, "rest_short_range_mm": [-1, 3.5], "trim_mm": None}


def test_a_matching_one(capsys):
    found = as_json(capsys, "--cut", "40/4", "--cone", "40/.04")
    assert found == {"match": True, "rest_short_mm": 0, "rest_short_range_mm": [-2.25, 2.25], "trim_mm": None}


def test_one_size_too_small_goes_beyond_and_can_be_trimmed(capsys):
    found = as_json(capsys, "--cut", "40/.04", "--cone", "35/.04")
    assert found == {"match": False, "rest_short_mm": -1.25, "rest_short_range_mm": [-3.5, 1], "trim_mm": 1.25}


def test_a_shorter_cut(capsys):
    long = as_json(capsys, "--cut", "40/.04", "--cone", "40/.06")
    short = as_json(capsys, "--cut", "40/.04", "--cone", "40/.06", "--cut-length-mm", "8")
    assert (long["rest_short_mm"], short["rest_short_mm"]) == (5.33, 2.67)


def test_no_number_where_there_is_no_bound(capsys):
    found = as_json(capsys, "--cut", "40/.04", "--cone", "140/.04")
    assert found == {"match": False, "rest_short_mm": None, "rest_short_range_mm": [None, None], "trim_mm": None}
    assert as_json(capsys, "--cut", "40/.04", "--cone", "100/.04")["rest_short_range_mm"] == [12.75, None]


def test_the_table_says_it_in_words(capsys):
    said = table(capsys, "--cut", "40/.04", "--cone", "45/.04")
    rows = {line.split("  ")[0]: line.split("  ")[-1].strip() for line in said.splitlines()[:5]}
    assert rows == {
        "Of the file's size and taper": "no",
        "Rests, nominal sizes": "1.25 mm short of length",
        "Rests, within tolerances": "1.00 mm beyond length to 3.50 mm short of length",
        "Touches, nominal sizes": "all along",
        "Trimmed to the file's tip by": "does not apply: its tip is no narrower than the file",
    }
    assert "Round, straight canal assumed" in said
    assert "0.02 mm either way (ISO 3630-1:1992, from memory)" in said
    assert "0.07 mm either way (ISO 6877:2006, from memory)" in said
    assert said.endswith(CAUTION + "\n")
    assert max(map(len, said.splitlines())) <= 100


@pytest.mark.parametrize(
    ("cut", "cone", "said"),
    [
        ("40/.04", "40/.04", "Rests, nominal sizes          at length"),
        ("40/.04", "35/.02", "Rests, nominal sizes          2.50 mm beyond length"),
        ("40/.04", "35/.02", "at the length point"),
        ("40/.04", "40/.06", "at the coronal end of the cut part"),
        ("40/.04", "45/.02", "at its tip"),
        ("40/.04", "35/.04", "1.25 mm"),
        ("40/.04", "140/.04", "cannot be told: its tip is wider than the whole cut part"),
        ("40/.04", "100/.04", "12.75 mm short of length or further out: at its widest it does not enter the cut part"),
        ("140/.12", "10/.02", "A cone is about 28 mm long (from memory): one so thin may fall right through."),
        ("140/.12", "10/.02", "does not apply: more than its length"),
    ],
)
def test_words_for_every_case(capsys, cut: str, cone: str, said: str):
    assert said in table(capsys, "--cut", cut, "--cone", cone)


def test_no_fall_is_foretold_for_a_cone_that_touches(capsys):
    assert "right through" not in table(capsys, "--cut", "40/.04", "--cone", "35/.04")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--cut", "42/.04", "--cone", "45/.04"], "--cut: 42/.04"),
        (["--cut", "40/.04", "--cone", "0/.04"], "--cone: 0/.04"),
        (["--cut", "40/.04", "--cone", "45"], "--cone: 45: taper missing"),
        (["--cut", "40/0", "--cone", "45/.04"], "--cut: 40/0"),
        (["--cut", "40/.04-1", "--cone", "45/.04"], "--cut: 40/.04-1"),
        (["--cut", "40/.04", "--cone", "45/.04", "--cut-length-mm", "0"], "--cut-length-mm: 0"),
        (["--cut", "40/.04", "--cone", "45/.04", "--cut-length-mm", "17"], "0.1 to 16 mm is allowed"),
        (["--cut", "40/.04", "--cone", "45/.04", "--cut-length-mm=-3"], "--cut-length-mm: -3"),
        (["--cut", "40/.04", "--cone", "45/.04", "--cut-length-mm", "long"], "'long' is no number"),
        (["--cut", "40/.04", "--cone", "45/.04", "--cut-length-mm", "NaN"], "--cut-length-mm: NaN"),
    ],
)
def test_bad_input_gets_a_sentence_and_no_number(capsys, arguments: list[str], said: str):
    assert main(["cone", *arguments, "--json"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert err.count("\n") == 1


@pytest.mark.parametrize("arguments", [[], ["--cut", "40/.04"], ["--cone", "40/.04"]])
def test_both_are_needed(capsys, arguments: list[str]):
    assert main(["cone", *arguments]) == 2
    said = capsys.readouterr().err
    assert "required" in said
    assert said.count("\n") == 1


def test_a_cone_that_falls_through_gets_no_number(capsys):
    """By hand: a 15/.02 in 80/.02 would rest (0.15 - 0.80) / 0.02 = 32.5 mm beyond length; a cone is about 28 mm."""
    assert as_json(capsys, "--cut", "80/.02", "--cone", "15/.02")["rest_short_mm"] is None
    assert "nowhere: it falls right through" in table(capsys, "--cut", "80/.02", "--cone", "15/.02")
    assert as_json(capsys, "--cut", "80/.02", "--cone", "25/.02")["rest_short_mm"] == -27.5


def test_a_second_cone_is_refused(capsys):
    assert main(["cone", "--cut", "35/.04", "--cone", "45/.04", "--cone", "35/.04"]) == 2
    assert capsys.readouterr().err == "stepper: --cone is given twice; once is allowed.\n"
