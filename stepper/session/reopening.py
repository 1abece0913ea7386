"""What a line reopened, and why, in one sentence."""

from __future__ import annotations

from collections.abc import Mapping

from stepper.case.state import Case
from stepper.facts.entries import Answer, Correction
from stepper.kinds.outcome import outcome_of
from stepper.kinds.reopening import reopened_by
from stepper.note.afterwards import after_fill
from stepper.note.words import canal_name, place, say, title

Reopened = Mapping[tuple[str, int], int]
"""Steps that stand reopened, with their canal, and the entry that did it."""


def reopened(case: Case) -> Reopened:
    """Give the steps of each canal that stand reopened; a canal that is filled is done with."""
    found: dict[tuple[str, int], int] = {}
    for step in case.protocol.step:
        for canal in case.told.canals if step.scope == "C" else ():
            by = reopened_by(case.told, case.protocol.rests_on, step.id, canal)
            if by is not None and outcome_of(case.told, canal) not in ("filled", "filled_outside"):
                found[(step.id, canal)] = by
    return found


class Stood:
    """What stands reopened, looked up again only once something was logged."""

    def __init__(self) -> None:
        self._entries = -1
        self._found: Reopened = {}

    def of(self, case: Case) -> Reopened:
        """Give it for the case of one session."""
        if len(case.entries) != self._entries:
            self._entries, self._found = len(case.entries), reopened(case)
        return self._found


def sentence(case: Case, before: Reopened, now: Reopened, since: int) -> str:
    """Say what stands reopened that was not before, and what did it; empty where nothing is new.

    What was logged from entry `since` on has just been said, and is not said again.
    """
    new: dict[str, dict[str, list[str]]] = {}
    for (step, canal), by in now.items():
        if (step, canal) not in before:
            steps = new.setdefault(_cause(case, by, since), {})
            steps.setdefault(title(case.protocol, step), []).append(canal_name(case, canal))
    said = " ".join(f"Reopened {cause}: {_names(steps)}." for cause, steps in new.items())
    void = [canal_name(case, canal) for step, canal in now if (step, canal) not in before and _void(case, step, canal)]
    return f"{said} No working length is in force in {', '.join(void)}." if void else said


def changed_after_fill(case: Case, since: int) -> str:
    """Say what a line has changed of what a filled canal rested on; empty where it has changed nothing of it."""
    filled = any(canal.fill is not None for canal in case.told.canals.values())
    if not filled or not any(isinstance(entry, Answer | Correction) for entry in case.entries[since:]):
        return ""
    found = [remark.text for remark in after_fill(case) if max(remark.evidence) >= since]
    return " ".join(found)


def _void(case: Case, step: str, canal: int) -> bool:
    asked = any(question.role == "working_length" for question in case.protocol.by_step[step].question)
    return asked and case.told.canals[canal].length is None


def _names(steps: Mapping[str, list[str]]) -> str:
    return "; ".join(f"{step} {', '.join(canals)}" for step, canals in steps.items())


def _cause(case: Case, seq: int, since: int) -> str:
    if seq >= since:
        return "by it"
    entry = case.entries[seq]
    step, canal = place(case, entry)
    where = f"{title(case.protocol, step)} {canal_name(case, canal)}".strip()
    return f"by entry {seq} ({f'{where}, ' if where else ''}{say(case, entry)})"
