"""`stepper gauge`: its JSON by hand, its table, and what it refuses."""

from __future__ import annotations

from typing import Any

import pytest

from stepper.cli.main import main
from stepper.cli.printed import CAUTION
from tests.cli.running import printed_by

ISSUE = (
    *("--cut", "25/.06", "--cut", "40/.08-5", "--passed", "30/.02"),
    *("--stopped", "35/.02-0.5", "--stopped", "40/.02-1.5", "--read-error", "0.3", "--file", "45/.04"),
)
KEYS = ["apical_mm", "gauged_size", "contact", "contradiction", "files", "next_reading", "sentence"]
CONTRADICTED = ("--cut", "25/.06", "--passed", "40/.02", "--stopped", "30/.04-1")

found_by, table = printed_by("gauge")


def as_json(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, Any]:
    found = found_by(capsys, *arguments)
    assert list(found) == KEYS
    return found


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    code = main(["gauge", *arguments])
    out, err = capsys.readouterr()
    assert code == 2
    assert err.count("\n") == 1
    assert out == ""
    assert "Traceback" not in err
    return err


def test_the_issues_command(capsys: pytest.CaptureFixture[str]) -> None:
    found = as_json(capsys, *ISSUE)
    # At length 30/.02 passed proves 0.30 - 0.02. 35/.02 held 0.5 short: its tip at 0.2 or further out, so at most
    # 0.37 + 0.02 (y - 0.2) wide where it touched, which 25/.06 allows up to y = 3.4: 0.434. At its tip: 0.37.
    assert found["apical_mm"] == {"cautious": [0.28, 0.434], "tip_held": [0.28, 0.37]}
    assert found["gauged_size"] == 30
    # 40/.02 held 1.5 short: from 1.2 on, up to where 0.396 + 0.02 y = 0.23 + 0.06 y.
    assert found["contact"] == [
        {"file": "35/.02-0.5", "zones_mm": [[0.2, 3.4]]},
        {"file": "40/.02-1.5", "zones_mm": [[1.2, 4.15]]},
    ]
    assert found["contradiction"] == []
    # 45/.04 is 0.43 to 0.47 at length: not above 0.434 for certain, above 0.37. Wider than what passed over all 3 mm;
    # than 0.37 up to 0.2 and 0.42 up to 1.2 mm. Unknown from 0.2 to 0.725, where it reaches 0.479, and beyond 1.2.
    assert found["files"] == [
        {
            "file": "45/.04",
            "larger_at_length": {"cautious": "unknown", "tip_held": "yes"},
            "apical_3_mm": {"larger_than_passed_mm": 3, "larger_than_tip_held_mm": 1.2, "unknown_mm": 2.325},
            "steps_over_gauge": 3,
            "smaller_than_what_has_passed": False,
        }
    ]
    assert found["next_reading"] == "No reading with a gauging file of the stock is certain to narrow the bounds."
    assert found["sentence"] == (
        "Round, straight canal assumed: narrowest width at length 0.28-0.44 mm. If the 35 was held at its tip: "
        "0.28-0.37. A ledge, a curve, debris or an oval canal make both wrong."
    )


def test_no_bound_is_null(capsys: pytest.CaptureFixture[str]) -> None:
    assert as_json(capsys, "--passed", "30/.02")["apical_mm"] == {"cautious": [0.28, None], "tip_held": [0.28, None]}
    found = as_json(capsys, "--stopped", "35/.02-0.5")
    assert found["apical_mm"] == {"cautious": [None, 0.686], "tip_held": [None, 0.37]}
    assert found["gauged_size"] is None


def test_held_exactly_at_length_is_lawful(capsys: pytest.CaptureFixture[str]) -> None:
    found = as_json(capsys, "--stopped", "35/.02-0")
    assert found["gauged_size"] == 35
    assert found["contact"] == [{"file": "35/.02-0", "zones_mm": [[0, 16]]}]
    assert "gauging file 30/.02" in found["next_reading"]


def test_figures_are_rounded_outward_to_ten_thousandths(capsys: pytest.CaptureFixture[str]) -> None:
    # 35/.03 held at 1 mm, read to 0.25 mm, is at most 0.3475 + 0.03 y wide; 25/.1 cut proves 0.23 + 0.1 y. They meet at
    # 0.1175 / 0.07 = 1.678571... mm, 0.397857... mm wide.
    found = as_json(capsys, "--cut", "25/10", "--stopped", "35/3-1", "--read-error", "0.25")
    assert found["contact"][0]["zones_mm"] == [[0.75, 1.6786]]
    assert found["apical_mm"]["cautious"] == [0.23, 0.3979]


def test_a_contradiction_names_the_readings_and_gives_no_number(capsys: pytest.CaptureFixture[str]) -> None:
    found = as_json(capsys, *CONTRADICTED, "--file", "45/.04")
    assert found["apical_mm"] == {"cautious": [None, None], "tip_held": [None, None]}
    assert found["contradiction"] == ["25/.06", "40/.02", "30/.04-1"]
    assert found["contact"] == [{"file": "30/.04-1", "zones_mm": []}]
    (one,) = found["files"]
    assert set(one["larger_at_length"].values()) == {"unknown"}
    assert set(one["apical_3_mm"].values()) == {None}
    assert one["smaller_than_what_has_passed"] is False
    assert found["next_reading"].startswith("Before any other reading, ")


def test_the_table_of_a_contradiction(capsys: pytest.CaptureFixture[str]) -> None:
    said = table(capsys, *CONTRADICTED, "--file", "45/.04")
    assert said.count("not known") == 3
    assert "30/.04-1 may have touched            nowhere" in said
    assert "cannot all be true: 25/.06 cut, 40/.02 loose and 30/.04-1 held." in said
    assert "apical 3 mm" not in said


def test_the_table_says_both_bounds_the_sentence_and_the_caution(capsys: pytest.CaptureFixture[str]) -> None:
    lines = table(capsys, *ISSUE).splitlines()
    assert lines[:5] == [
        "Width at length, cautious            0.28-0.44 mm",
        "Width at length, if held at the tip  0.28-0.37 mm",
        "Largest file read at length          30",
        "35/.02-0.5 may have touched          0.2 to 3.4 mm from length",
        "40/.02-1.5 may have touched          1.2 to 4.2 mm from length",
    ]
    assert lines[5:9] == [
        "45/.04 larger at length              unknown; if held at the tip: yes",
        "45/.04 in the apical 3 mm            larger than what passed over 3 mm, of these unknown 2.325 mm",
        "45/.04 larger, if held at the tip    over 1.2 mm",
        "45/.04 over that file                3 steps of the ISO series",
    ]
    assert lines[10].startswith("Round, straight canal assumed: narrowest width at length 0.28-0.44 mm. If the 35 was")
    assert lines[-1] == CAUTION


def test_the_table_of_a_file_smaller_than_what_has_passed(capsys: pytest.CaptureFixture[str]) -> None:
    said = table(capsys, "--passed", "40/.04", "--stopped", "50/.04-1", "--file", "25/.04")
    assert "25/.04 in the apical 3 mm            nowhere larger than what has already passed" in said
    assert as_json(capsys, "--passed", "40/.04", "--file", "25/.04")["files"][0]["smaller_than_what_has_passed"] is True
    assert "Largest file read at length          none, or not known" in table(capsys, "--stopped", "50/.04-1")
    assert "not known" in table(capsys, "--stopped", "50/.04-1", "--file", "25/.04")


def test_settings_change_the_sum(capsys: pytest.CaptureFixture[str]) -> None:
    exact = ("--read-error", "0", "--tolerance", "0", "--tolerance-over-60", "0")
    told = ("--passed", "30/.02", "--stopped", "70/.02-1")
    assert as_json(capsys, *told, *exact)["apical_mm"] == {"cautious": [0.3, 1.0], "tip_held": [0.3, 0.7]}
    assert as_json(capsys, *told)["apical_mm"] == {"cautious": [0.28, 1.046], "tip_held": [0.28, 0.74]}
    assert as_json(capsys, *told, "--span", "3")["apical_mm"]["cautious"] == [0.28, 0.786]
    assert as_json(capsys, *told, "--tolerance", "0,05")["apical_mm"]["cautious"] == [0.25, 1.046]
    assert as_json(capsys, *told, "--tolerance-over-60", "0.1")["apical_mm"]["tip_held"] == [0.28, 0.8]


def test_the_stock_of_gauging_files_can_be_named(capsys: pytest.CaptureFixture[str]) -> None:
    found = as_json(capsys, "--stopped", "35/.02-0", "--gauging-file", "20/.02", "--gauging-file", "25/.02")
    assert "gauging file 25/.02" in found["next_reading"]


@pytest.mark.parametrize("apex", ["open", "resorbed"])
def test_off_for_an_open_or_resorbed_apex(capsys: pytest.CaptureFixture[str], apex: str) -> None:
    assert refused(capsys, *ISSUE, "--apex", apex) == (
        f"stepper: No bounds are reckoned from gauging: the apex is {apex}, "
        "so the canal need not be narrowest at length.\n"
    )


BAD: list[tuple[tuple[str, ...], str]] = [
    ((), "No file was read"),
    (("--file", "45/.04"), "No file was read"),
    (("--passed", "0/.02"), "0 is no ISO 3630-1 size; the smallest is 6."),
    (("--gauging-file", "x", "--passed", "30/.02"), "--gauging-file: x: type size and taper as in 35/4."),
    (("--span", "9", "--span", "12", "--passed", "30/.02"), "--span is given twice; once is allowed."),
    (("--pass", "30/.02"), "unrecognized arguments: --pass 30/.02"),
    (("--passed", "3/.02"), "3 is no ISO 3630-1 size"),
    (("--passed", "31/.02"), "31 is no ISO 3630-1 size"),
    (("--passed", "999/.02"), "the largest is 140"),
    (("--passed", "31.5/.02"), "type size and taper"),
    (("--passed", "-30/.02"), "expected one argument"),
    (("--passed=-30/.02",), "type size, taper and distance"),
    (("--passed", "30/0"), "taper 0 is not allowed"),
    (("--cut", "30/.00-1"), "taper 0.00 is not allowed"),
    (("--cut", "30/13"), "taper 13 is not allowed"),
    (("--cut", "30"), "taper missing"),
    (("--cut", "30/.0x"), "type size and taper"),
    (("--cut", "nan/.02"), "type size and taper"),
    (("--cut", ""), "type size and taper"),
    (("--stopped", "35/.02"), "distance missing"),
    (("--stopped", "35/.02-"), "distance missing"),
    (("--stopped", "35/.02--1"), "the distance is - or +"),
    (("--stopped", "35/.02-nan"), "the distance is - or +"),
    (("--stopped", "35/.02-1e1"), "the distance is - or +"),
    (("--stopped", "35/.02-0.123"), "the distance is - or +"),
    (("--stopped", "35/.02+0.5"), "beyond length"),
    (("--passed", "35/.02+1"), "beyond length"),
    (("--cut", "35/.02-16.01"), "only readings up to 16 mm"),
    (("--stopped", "35/.02-16.5"), "only readings up to 16 mm"),
    (("--stopped", "35/.02-12", "--span", "10"), "only readings up to 10 mm"),
    (("--stopped", "35/.02-99"), "99"),
    *(
        (("--passed", "30/.02", option, typed), option)
        for option in ("--read-error", "--tolerance", "--tolerance-over-60", "--span")
        for typed in ("nan", "sNaN", "inf", "1e999", "1e9", "x", "", "1.2.3")
    ),
    (("--passed", "30/.02", "--read-error=-0.1"), "0 to 5 mm is allowed"),
    (("--passed", "30/.02", "--tolerance=-1"), "0 to 0.1 mm is allowed"),
    (("--passed", "30/.02", "--span", "2.99"), "3 to 30 mm is allowed"),
    (("--passed", "30/.02", "--file", "45/.04-1"), "no distance is asked here"),
    (("--passed", "30/.02", "--file", "45/0"), "taper 0 is not allowed"),
    (("--passed", "30/.02", "--gauging-file", "46/.02"), "46 is no ISO 3630-1 size"),
    (("--passed", "30/.02", "--apex", "wide"), "invalid choice"),
]


@pytest.mark.parametrize(("arguments", "says"), BAD, ids=[" ".join(one) or "nothing" for one, _ in BAD])
@pytest.mark.parametrize("as_document", [(), ("--json",)], ids=["table", "json"])
def test_bad_input_is_refused(
    capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], says: str, as_document: tuple[str, ...]
) -> None:
    said = refused(capsys, *arguments, *as_document)
    assert says in said
    if not said.startswith("usage: "):  # argparse tells the usage first
        assert said.startswith("stepper: ")
        assert said.count("\n") == 1
