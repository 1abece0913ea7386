"""Phrases that several sections of a note share: places, moments, values of rows, who confirmed what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from stepper.case.judge import Judged, judge
from stepper.case.state import Case
from stepper.facts.entries import AnyEntry, Confirm
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
    day = "" if local(entry).date() == local(case.header).date() else f"{local(entry).date().isoformat()} "
    return f"{day}{clock(entry)}{'' if entry.off == case.header.off else f' {entry.off}'}"


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


def full_stop(text: str) -> str:
    """End a sentence that may have its full stop already."""
    return text if text.endswith((".", "!", "?")) else f"{text}."
