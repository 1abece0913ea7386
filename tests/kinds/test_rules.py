"""Every kind of rule: what it says and of which entries, and when it is silent."""

from __future__ import annotations

from collections import defaultdict
from typing import get_args

import pytest

from stepper.kinds.union import AnyRule
from tests.cases import Log
from tests.kinds import cases_computed, cases_of_rows, cases_of_visit, cases_standing
from tests.kinds.rules import CASES, Case, edited, said

assert cases_of_rows.case is cases_standing.case is cases_of_visit.case  # importing them is what fills the table
assert cases_computed.case is cases_of_rows.case


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_rule(case: Case):
    log = Log(tooth=case.tooth, plan=edited(case.edits))
    expected = case.build(log)
    assert said(log, case.rule) == sorted(expected)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_case_listens_to_a_rule_of_its_kind(case: Case):
    rules = {rule.id: rule.kind for step in edited(case.edits).step for rule in step.rule}
    assert rules[case.rule] == case.kind


def test_every_kind_speaks_in_one_case_and_is_silent_in_another():
    heard: dict[str, set[bool]] = defaultdict(set)
    for case in CASES:
        heard[case.kind].add(bool(case.build(Log(tooth=case.tooth, plan=edited(case.edits)))))
    kinds = {str(kind.__struct_config__.tag) for kind in get_args(AnyRule)}
    assert dict(heard) == {kind: {True, False} for kind in kinds}
