"""How deep the fill of a canal came: what the step of the fill asks as a depth."""

from __future__ import annotations

from stepper.case.state import Case
from stepper.facts.state import Fact
from stepper.kinds.union import AnyQuestion


def level_of(case: Case, canal: int) -> tuple[AnyQuestion, Fact] | None:
    """Give the question and what was answered, a reason why there is no depth included; None where nobody did."""
    for row in case.told.rows_with("fill", canal):
        for question in case.protocol.by_step[row.step].question:
            fact = row.facts.get(question.id)
            if question.kind == "depth" and fact is not None:
                return question, fact
    return None
