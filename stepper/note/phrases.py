"""Phrases that several sections of a note share: places, moments, values of rows, who confirmed what."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from stepper.case.judge import Judged, judge
from stepper.case.state import Case
from stepper.facts.entries import Answer, AnyEntry, Confirm, Held
from stepper.facts.remarks import Remark
from stepper.facts.state import Fact, Row
from stepper.facts.values import Choice
from stepper.kinds.asking import When
from stepper.note.words import canal_name, clock, local, person, show, title
from stepper.protocol.models import Step


@dataclass(frozen=True, slots=True)
class Read:
    """A case with what every section looks up: its remarks, judged once, and the clinician's yes by entry."""

    case: Case
    judged: tuple[Judged, ...]
    remarks: Mapping[str, Remark]
    confirms: Mapping[int, Confirm]

    def remark_text(self, key: str, read_out: str) -> str:
        """Give a remark's sentence as it was read out, else as it stands, else the name of its rule."""
        found = self.remarks.get(key)
        return full_stop(read_out or (found.text if found is not None else key.split(":")[0].replace("_", " ")))

    def evidence(self, key: str) -> tuple[int, ...]:
        """Give the entries behind a remark that still stands."""
        found = self.remarks.get(key)
        return found.evidence if found is not None else ()


def read(case: Case) -> Read:
    """Judge a case and line up what the sections look up."""
    judged = tuple(judge(case))
    confirms: dict[int, Confirm] = {}
    for entry in case.entries:
        if isinstance(entry, Confirm):
            for seq in entry.of:
                confirms.setdefault(seq, entry)
    return Read(case, judged, {one.remark.key: one.remark for one in judged}, confirms)


def where(case: Case, step: str, canal: int) -> str:
    """Name a step and, where there is one, the canal."""
    return f"{title(case.protocol, step)} {canal_name(case, canal)}".strip()


def placed(case: Case, remark: Remark) -> str:
    """Say a remark and where it belongs; a canal that its sentence names already is not named twice."""
    name = canal_name(case, remark.canal)
    names_it = bool(name) and remark.text.startswith(f"{name}:")
    place = title(case.protocol, remark.step) if names_it else where(case, remark.step, remark.canal)
    return f"{place}: {full_stop(remark.text)}"


def at(case: Case, entry: AnyEntry) -> str:
    """Give an entry's wall time in whole minutes, with the day and the offset where they are not the header's."""
    return clock_at(case, entry, local(entry))


def clock_at(case: Case, entry: AnyEntry, moment: dt.datetime) -> str:
    """Give a moment on the clock that an entry was keyed under, as `at` does."""
    day = "" if moment.date() == local(case.header).date() else f"{moment.date().isoformat()} "
    return f"{day}{moment.strftime('%H:%M')}{'' if entry.off == case.header.off else f' {entry.off}'}"


def day_and_time(entry: AnyEntry) -> str:
    """Give an entry's day, wall time in whole minutes and offset from UTC."""
    return f"{local(entry).date().isoformat()} {clock(entry)} {entry.off}"


def who(case: Case, number: int | None) -> str:
    """Give a person by number."""
    return person(case.protocol, number)


def shown(case: Case, step: Step | None, name: str, fact: Fact) -> str:
    """Write a fact as its question shows it."""
    return show(case.protocol, step.asked(name) if step is not None else None, fact.value)


def asked_as(case: Case, step: str, name: str) -> str:
    """Give the words of a question; one that the protocol does not know goes by its name."""
    known = case.protocol.by_step.get(step)
    question = known.asked(name) if known is not None else None
    return question.prompt if question is not None else name.replace("_", " ")


def holds(when: When | None, row: Row | None) -> bool:
    """Tell whether a condition holds in a row."""
    if when is None:
        return True
    fact = row.facts.get(when.question) if row is not None else None
    return fact is not None and isinstance(fact.value, Choice) and bool(set(fact.value.options) & set(when.any))


def key_of(of: Answer | Held | Row) -> tuple[str, int, int]:
    """Give the row that something is about: step, canal and number."""
    return (of.step, of.canal, of.number if isinstance(of, Row) else of.row)


def rows_outside(case: Case) -> list[Row]:
    """Give the rows logged outside the chain and those of fills through a shut gate, in their order."""
    fills = {one.fill.seq for one in case.told.canals.values() if one.fill is not None and not one.fill.gate_open}
    rows = [row for found in case.told.rows.values() for row in found if row.outside or fills & set(row.seqs)]
    return sorted(rows, key=lambda row: (row.place, row.number))


def given_up(case: Case, step: Step, row: Row) -> bool:
    """Tell whether a row of a step of many was left as it was, because the act it was keyed for was held back."""
    if not step.many or key_of(row) not in case.ended:
        return False
    held = [one for one in case.held if key_of(one) == key_of(row)]
    return row.last_place < case.places[held[-1].seq]


def full_stop(text: str) -> str:
    """End a sentence that may have its full stop already."""
    return text if text.endswith((".", "!", "?")) else f"{text}."
