"""`stepper needle`: its JSON, its table, and what it refuses."""

from __future__ import annotations

import pytest

from stepper.cli.main import main
from stepper.cli.printed import CAUTION
from tests.cli.running import printed_by

KEYS = ["outside_diameter_max_mm", "touches_short_mm", "loose_from_short_mm"]

as_json, table = printed_by("needle")


@pytest.mark.parametrize(
    ("cut", "gauge", "figures"),
    [
        # Worked examples 14 and 15 (derived; outside diameters of ISO 9626:2016 from memory).
        ("30/.04", "27", [0.42, 3.0, 3.5]),
        ("30/.04", "30", [0.32, 0.5, 1.0]),
        ("25/.06", "30", [0.32, 1.17, 1.5]),
        ("25/.04", "30", [0.32, 1.75, 2.25]),
        ("40/.04", "30", [0.32, 0, 0]),
        ("10/.02", "27", [0.42, 16, None]),
        ("10/.02", "23", [0.673, None, None]),
    ],
)
def test_json(capsys, cut: str, gauge: str, figures: list[float | None]):
    found = as_json(capsys, "--cut", cut, "--gauge", gauge)
    assert list(found) == KEYS
    assert list(found.values()) == figures


def test_the_table_says_it_in_words(capsys):
    said = table(capsys, "--cut", "30/.04", "--gauge", "27")
    rows = {line.split("  ")[0]: line.split("  ")[-1].strip() for line in said.splitlines()[:3]}
    assert rows == {
        "Outside diameter at most": "0.420 mm",
        "Touches, nominal cut": "3.00 mm short of length",
        "Loose, smallest cut": "from 3.50 mm short of length",
    }
    assert "Round, straight canal assumed" in said
    assert "27 G by ISO 9626:2016: 0.400 to 0.420 mm outside (from memory;" in said
    assert "ISO 3630-1:1992, from memory" in said
    assert said.endswith(CAUTION + "\n")


@pytest.mark.parametrize(
    ("cut", "gauge", "said"),
    [
        ("40/.04", "30", "Touches, nominal cut      not before length"),
        ("40/.04", "30", "Loose, smallest cut       down to length"),
        ("10/.02", "23", "Touches, nominal cut      nowhere in the cut part: the needle is wider than all of it"),
        ("10/.02", "27", "Loose, smallest cut       nowhere in the cut part"),
    ],
)
def test_words_for_every_case(capsys, cut: str, gauge: str, said: str):
    assert said in table(capsys, "--cut", cut, "--gauge", gauge)


@pytest.mark.parametrize("gauge", ["22", "34", "0", "-27", "27.5", "G27", "", "027"])
def test_gauges_not_in_the_table_are_refused_with_the_list(capsys, gauge: str):
    assert main(["needle", "--cut", "30/.04", f"--gauge={gauge}", "--json"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert f"--gauge: {gauge!r} is not in the table; 23, 24, 25, 26, 27, 28, 29, 30, 31, 32, 33 are allowed." in err


@pytest.mark.parametrize("cut", ["31/.04", "30", "30/.04-1", "30/0", "thirty"])
def test_files_that_are_none_are_refused(capsys, cut: str):
    assert main(["needle", "--cut", cut, "--gauge", "27"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert f"--cut: {cut}" in err
