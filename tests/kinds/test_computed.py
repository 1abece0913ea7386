"""Computed values: each has a case where it is known and one where it is not, and a rule can name each."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal

import pytest

from stepper.case.judge import remarks
from stepper.kinds.all_computed import COMPUTED
from stepper.kinds.computing import Computed, Result, result
from stepper.protocol.load import load_text
from stepper.protocol.models import Protocol
from tests.kinds import values_done, values_fitted, values_gauged
from tests.kinds.values import VALUES, Expected, Value, visit
from tests.protocols.measured import plan
from tests.protocols.measured import text as whole_text

assert values_done.value is values_fitted.value is values_gauged.value  # importing them is what fills the table

D = Decimal


def found(case: Value) -> tuple[Result | None, Expected]:
    log = visit()
    expected = case.build(log)
    now = log.case()
    computed = COMPUTED[case.name]
    return computed.of(now.seen(now.told), 0 if computed.scope == "T" else 1), expected


@pytest.mark.parametrize("case", VALUES, ids=lambda case: case.id)
def test_a_value_and_the_entries_that_it_rests_on(case: Value):
    got, expected = found(case)
    if expected is None or got is None:
        assert got is expected is None
        return
    is_now = round(got.value, 3) if isinstance(got.value, Decimal) else got.value
    assert (is_now, got.entries) == expected


def test_every_value_is_known_in_one_case_and_not_in_another():
    heard: dict[str, set[bool]] = defaultdict(set)
    for case in VALUES:
        heard[case.name].add(found(case)[1] is not None)
    assert dict(heard) == {name: {True, False} for name in COMPUTED}


def test_every_word_that_a_value_can_be_has_a_case():
    said: dict[str, set[str]] = defaultdict(set)
    for case in VALUES:
        expected = found(case)[1]
        if expected is not None and isinstance(expected[0], str):
            said[case.name].add(expected[0])
    assert dict(said) == {name: set(one.words) for name, one in COMPUTED.items() if one.words}


@pytest.mark.parametrize("one", COMPUTED.values(), ids=COMPUTED)
def test_a_value_says_what_it_is(one: Computed):
    assert one.what
    assert not one.what.endswith(".")
    assert bool(one.unit) <= (not one.words)


TOLERANCE = "file_tolerance_mm = 0.02\nfile_tolerance_over_60_mm = 0.04\n"


@pytest.mark.parametrize(
    ("master", "up_to_60", "above", "least", "loose"),
    [
        ("35/4", "0.02", "0.1", "-2.25", "0"),  # (0.35 - 0.35 - 0.07 of the cone - 0.02) / 0.04
        ("35/4", "0.05", "0.02", "-3", "0.5"),  # (0.12 / 0.04); the needle: (0.32 - 0.30) / 0.04
        ("70/4", "0.02", "0.1", "-4.25", "0"),  # (0.17 / 0.04)
        ("8/4", "0.07", "0.04", "-3", "7.75"),  # (0.05 of so small a cone + 0.07) / 0.04; (0.32 - 0.01) / 0.04
        ("8/4", "0.08", "0.04", None, None),  # it leaves nothing of the file
        ("8/4", "0.1", "0.04", None, None),
    ],
)
def test_cone_and_needle_go_by_the_tolerance_that_the_protocol_has(
    master: str, up_to_60: str, above: str, least: str | None, loose: str | None
):
    log = visit()
    new = f"file_tolerance_mm = {up_to_60}\nfile_tolerance_over_60_mm = {above}\n"
    log.plan = load_text(whole_text().replace(TOLERANCE, new), "edited.toml")
    log.master(master)
    log.fit(master)
    log.rinse("saline")
    now = log.case()
    got = [COMPUTED[name].of(now.seen(now.told), 1) for name in ("cone_rest_least_mm", "needle_loose_mm")]
    expected = [D(one) if one is not None else None for one in (least, loose)]
    assert [one.value if one is not None else None for one in got] == expected


def test_a_canal_that_is_not_there_has_no_values():
    now = visit().case()
    for one in COMPUTED.values():
        if one.scope == "C":
            assert one.of(now.seen(now.told), 9) is None


def test_a_result_counts_each_entry_once_in_order():
    assert result(2, (5, 3, 5)) == Result(D(2), (3, 5))
    assert result(None, (5,)) is None


# Every value in a rule of a protocol.


def _rule(name: str, kind: str, limit: str) -> str:
    return (
        f'[[step.rule]]\nid = "value_{kind}_of_{name}"\nkind = "computed"\nweight = "tell"\nvalue = "{name}"\n{limit}\n'
        'text = "{canal}|{value}|{below}|{above}"\n'
    )


def _rules_for(case: Value, value: Decimal | str) -> list[str]:
    """Rules that speak of a value, and one that does not."""
    name = case.name
    if isinstance(value, str):
        others = ", ".join(f'"{word}"' for word in COMPUTED[name].words if word != value)
        return [_rule(name, "s", f'any = ["{value}"]'), _rule(name, "n", f"any = [{others}]")]
    low, high = value - D("0.01"), value + D("0.01")
    return [
        _rule(name, "b", f"below = {high}"),
        _rule(name, "a", f"above = {low}"),
        _rule(name, "n", f"below = {low}\nabove = {high}"),
    ]


def _known() -> dict[str, tuple[Value, Decimal | str]]:
    """The first case of each value in which it is known, and what it is."""
    first: dict[str, tuple[Value, Decimal | str]] = {}
    for case in VALUES:
        expected = found(case)[1] if case.name not in first else None
        if expected is not None:
            first[case.name] = (case, expected[0])
    return first


@pytest.fixture(scope="module")
def known() -> dict[str, tuple[Value, Decimal | str]]:
    return _known()


@pytest.fixture(scope="module")
def ruled(known: dict[str, tuple[Value, Decimal | str]]) -> Protocol:
    return plan("\n".join(rule for case, value in known.values() for rule in _rules_for(case, value)))


@pytest.mark.parametrize("name", COMPUTED)
def test_a_rule_can_name_it_and_speaks_below_above_or_of_a_word(
    name: str, ruled: Protocol, known: dict[str, tuple[Value, Decimal | str]]
):
    case, value = known[name]
    log = visit()
    log.plan = ruled
    expected = case.build(log)
    assert expected is not None
    now = log.case()
    said = [one for one in remarks(now, now.told) if one.rule.startswith("value_") and one.rule.endswith(f"_of_{name}")]
    words = isinstance(value, str)
    assert {one.rule.split("_")[1] for one in said} == ({"s"} if words else {"b", "a"})
    canal = 0 if COMPUTED[name].scope == "T" else 1
    assert {(one.canal, one.evidence) for one in said} == {(canal, expected[1])}
    assert {one.text.split("|")[0] for one in said} == {"MB" if canal else ""}
    if words:
        assert [one.text for one in said] == [f"MB|{value}||"]
