"""Looking at a log through the gate, the reopening chain and the outcomes, in few words."""

from __future__ import annotations

from stepper.case.fold import fold
from stepper.case.gate import shut
from stepper.case.judge import judge, unanswered
from stepper.case.state import Case
from stepper.case.walk import Status, status
from stepper.facts.entries import Answer, Correction
from stepper.kinds.outcome import outcome_of
from tests.cases import Log


def reasons(log: Log, canal: int = 1) -> dict[str, str]:
    """The clauses that shut a gate, each with its reason."""
    return shut(log.case(), canal)


def is_open(log: Log, canal: int = 1) -> bool:
    return reasons(log, canal) == {}


def of(log: Log, question: str, canal: int = 0, *, nth: int = -1) -> int:
    """The number of the answer (the last, or the nth) that holds a question named `step.question`."""
    step, _, name = question.partition(".")
    found = [
        one.seq
        for one in log.entries
        if isinstance(one, Answer) and (one.step, one.canal) == (step, canal) and name in one.values
    ]
    return found[nth]


def stands(log: Log, step: str, canal: int = 1) -> Status:
    case = log.case()
    return status(case, case.protocol.by_step[step], canal)


def reopened(log: Log, canal: int = 1) -> set[str]:
    """The steps of a canal that stand reopened."""
    case = log.case()
    return {one.id for one in case.protocol.step if status(case, one, canal) is Status.REOPENED}


def outcome(log: Log, canal: int = 1) -> str | None:
    return outcome_of(log.case().told, canal)


def keys(log: Log, rule: str) -> list[str]:
    """The keys of the remarks of a rule, as they stand."""
    return [one.remark.key for one in judge(log.case()) if one.remark.rule == rule]


def asks(log: Log, canal: int = 1) -> set[str]:
    """The rules whose asks are not answered for a canal or for the tooth."""
    case = log.case()
    return {one.rule for one in unanswered(case, case.told, canal)}


def same(one: Case, other: Case) -> bool:
    """Whether two cases say the same: both views, remarks, lateness, fills, gates."""
    return (
        one.told == other.told
        and one.sure == other.sure
        and one.late == other.late
        and one.fills == other.fills
        and one.places == other.places
        and judge(one) == judge(other)
        and all(shut(one, number) == shut(other, number) for number in one.told.canals)
    )


def folded(log: Log) -> Case:
    """The case of a log, folded from its first entry on."""
    return fold(log.plan, log.entries)


def confirm_all(log: Log) -> None:
    """The clinician says yes to all that waits for it."""
    waiting = log.case().unconfirmed
    assert waiting, "nothing waits for the clinician"
    log.confirm(*waiting)


def last_correction(log: Log) -> int:
    return next(one.seq for one in reversed(log.entries) if isinstance(one, Correction))
