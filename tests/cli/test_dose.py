"""`stepper dose`: its JSON, its table, and what it refuses. Figures: label and handbook column, FOUND."""

from __future__ import annotations

import pytest

from stepper.cli.main import main
from stepper.cli.printed import CAUTION
from stepper.sums.agents import COLUMNS
from tests.cli.running import printed_by

LIDOCAINE = ("--gave", "lidocaine-2-epi-100=3.6")

as_json, printed = printed_by("dose")


def table(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    return " ".join(printed(capsys, *arguments).split())


def test_one_agent(capsys):
    found = as_json(capsys, "--weight-kg", "70", *LIDOCAINE)
    keys = ["share_of_maximum", "share_by_lowest_maximum", "agents", "epinephrine_mg", "left_ml"]
    assert list(found)[:5] == keys
    assert found["share_of_maximum"] == 0.18  # epinephrine: 36 of 200 µg
    assert found["share_by_lowest_maximum"] == pytest.approx(72 / 490)
    (agent,) = found["agents"]
    assert list(agent)[:3] == ["agent", "mg", "maximum_mg"]
    assert (agent["agent"], agent["mg"], agent["maximum_mg"]) == ("lidocaine-2-epi-100", 72, 490)
    assert agent["share"] == pytest.approx(72 / 490)
    assert found["epinephrine_mg"] == 0.036
    assert found["left_ml"] == {"lidocaine-2-epi-100": 16.4}  # (200 - 36) µg at 10 µg/mL
    assert found["left_cartridges"] == {"lidocaine-2-epi-100": 9}
    assert found["share_after_next_cartridge"] == {"lidocaine-2-epi-100": 0.27}
    assert (found["column"], found["cartridge_ml"]) == ("label-handbook", 1.8)


def test_two_agents(capsys):
    found = as_json(capsys, "--weight-kg", "60", *LIDOCAINE, "--gave", "mepivacaine-3=1.8")
    assert found["share_of_maximum"] == pytest.approx(72 / 420 + 54 / 396)
    assert found["share_by_lowest_maximum"] == pytest.approx(126 / 396)
    assert found["left_ml"]["mepivacaine-3"] == pytest.approx((1 - 72 / 420 - 54 / 396) * 396 / 30)
    assert found["left_by_lowest_maximum_ml"] == {"lidocaine-2-epi-100": 13.5, "mepivacaine-3": 9}
    assert found["left_by_lowest_maximum_cartridges"] == {"lidocaine-2-epi-100": 7, "mepivacaine-3": 5}


def test_cardiac(capsys):
    """Example 23: 0.04 mg FOUND; 2 cartridges of 1.8 mL."""
    found = as_json(capsys, "--weight-kg", "70", "--cardiac", "--gave", "lidocaine-2-epi-100=0")
    assert found["left_ml"] == {"lidocaine-2-epi-100": 4}
    assert found["left_cartridges"] == {"lidocaine-2-epi-100": 2}
    assert found["epinephrine_maximum_mg"] == 0.04


def test_the_same_agent_twice_is_added_up(capsys):
    twice = as_json(capsys, "--weight-kg", "70", "--gave", "prilocaine-4=1.8", "--gave", "prilocaine-4=1,8")
    assert twice == as_json(capsys, "--weight-kg", "70", "--gave", "prilocaine-4=3.6")


def test_another_cartridge(capsys):
    """Example 19, label, FOUND: 150 lb, 11.9 mL, 7 cartridges of 1.7 mL."""
    given = ("--weight-kg", "68.0388555", "--gave", "articaine-4-epi-100=0", "--cartridge-ml", "1.7")
    found = as_json(capsys, *given)
    assert round(found["left_ml"]["articaine-4-epi-100"], 1) == 11.9
    assert found["left_cartridges"] == {"articaine-4-epi-100": 7}


def test_no_number_where_a_maximum_is_not_known(capsys):
    found = as_json(capsys, "--weight-kg", "70", *LIDOCAINE, "--gave", "mepivacaine-3=1.8", "--column", "canada")
    assert (found["share_of_maximum"], found["share_by_lowest_maximum"]) == (None, None)
    assert found["left_ml"] == found["left_cartridges"] == dict.fromkeys(["lidocaine-2-epi-100", "mepivacaine-3"])
    assert [agent["maximum_mg"] for agent in found["agents"]] == [490, None]
    assert found["not_known"] == ["No maximum of mepivacaine 3 %, plain is listed: none was compared."]
    said = table(capsys, "--weight-kg", "70", *LIDOCAINE, "--gave", "mepivacaine-3=1.8", "--column", "canada")
    assert "mepivacaine-3 1.8 mL, 54 mg, maximum not known" in said
    assert "mepivacaine-3: The column canada lists no maximum, and none is taken from another." in said


def test_what_it_says_is_left_may_be_keyed_back_in(capsys):
    """At 47 kg prilocaine has 376 mg; what is left beside the lidocaine has no end in decimals, and is rounded down."""
    found = as_json(capsys, "--weight-kg", "47", *LIDOCAINE, "--gave", "prilocaine-4=0")
    left_ml = found["left_ml"]["prilocaine-4"]
    again = as_json(capsys, "--weight-kg", "47", *LIDOCAINE, "--gave", f"prilocaine-4={left_ml}")
    assert again["share_of_maximum"] == pytest.approx(1, abs=1e-6)
    assert (again["over_by_shares"], again["over_by_lowest_maximum"]) == (False, True)


def test_the_table_has_units_sources_and_the_caution(capsys):
    said = table(capsys, "--weight-kg", "70", *LIDOCAINE)
    assert "3.6 mL, 72 mg, maximum 490 mg (7 mg/kg at 70 kg), 15 %" in said
    assert "epinephrine 0.036 mg, maximum 0.2 mg, 18 %" in said
    assert "left of lidocaine-2-epi-100, by shares 16.4 mL, 9 whole of 1.8 mL; one more makes 27 %" in said
    assert "Table 4-4: 7 mg/kg, below 500 mg (seen as quoted)." in said
    assert said.endswith(CAUTION)
    assert "Over" not in said


def test_the_table_says_what_is_over(capsys):
    said = table(capsys, "--weight-kg", "70", "--cardiac", "--gave", "lidocaine-2-epi-100=5.4")
    assert said.count("Over the epinephrine limit: 54 µg, where at most 40 µg is allowed.") == 1


def test_the_help_names_every_column(capsys):
    with pytest.raises(SystemExit):
        main(["dose", "--help"])
    said = capsys.readouterr().out
    assert all(column in said for column in COLUMNS)


ONE = ("--gave", "mepivacaine-3=1")


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ((), "--weight-kg is missing; 3 to 300 kg is allowed."),
        (("--weight-kg", "70"), "nothing is given: --gave AGENT=ML says what, as --gave lidocaine-2-epi-100=3.6."),
        (("--weight-kg", "0", *ONE), "--weight-kg: 0 is not allowed; 3 to 300 kg is allowed."),
        (("--weight-kg", "-70", *ONE), "--weight-kg: -70 is not allowed; 3 to 300 kg is allowed."),
        (("--weight-kg", "nan", *ONE), "--weight-kg: nan is not allowed; 3 to 300 kg is allowed."),
        (("--weight-kg", "7000", *ONE), "--weight-kg: 7000 is not allowed; 3 to 300 kg is allowed."),
        (("--weight-kg", "heavy", *ONE), "--weight-kg: 'heavy' is no number; 3 to 300 kg is allowed."),
        (("--weight-kg", "70", "--gave", "mepivacaine-3=-1"), "--gave mepivacaine-3: -1 is not allowed; 0 to 100 mL"),
        (("--weight-kg", "70", "--gave", "mepivacaine-3=inf"), "--gave mepivacaine-3: inf is not allowed; 0 to 100 mL"),
        (("--weight-kg", "70", "--gave", "mepivacaine-3=101"), "--gave mepivacaine-3: 101 is not allowed; 0 to 100 mL"),
        (("--weight-kg", "70", "--gave", "mepivacaine-3="), "--gave mepivacaine-3: '' is no number; 0 to 100 mL"),
        (("--weight-kg", "70", "--gave", "mepivacaine-3=1=2"), "--gave mepivacaine-3: '1=2' is no number; 0 to 100 mL"),
        (("--weight-kg", "70", "--gave", "mepivacaine-3=1e-99999"), "1E-99999 mL is not allowed: a volume is 0 to"),
        (
            ("--weight-kg", "70", "--gave", "mepivacaine-3"),
            "--gave: 'mepivacaine-3' lacks an agent or a volume; AGENT=ML is",
        ),
        (("--weight-kg", "70", "--gave", "mepivacaine=1"), "'mepivacaine' is no agent; allowed: lidocaine-2-epi-100, "),
        (("--weight-kg", "70", *ONE, "--column", "us"), "'us' is no column; allowed: label-handbook, canada, teaching"),
        (("--weight-kg", "70", *ONE, "--cartridge-ml", "0"), "--cartridge-ml: 0 is not allowed; 0.5 to 5 mL"),
    ],
)
def test_bad_input_is_refused_in_one_sentence(capsys, arguments: tuple[str, ...], sentence: str):
    assert main(["dose", *arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith(f"stepper: {sentence}")
    assert err.count("\n") == 1
