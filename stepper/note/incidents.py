"""What went wrong: when it was marked, what it was, what was said about it then and later, what is still missing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from stepper.case.incidents import canal_of
from stepper.case.state import Case
from stepper.facts.entries import Incident, IncidentDetail
from stepper.facts.values import Absent, Value, Why
from stepper.kinds.asking import WHY_WORDS, holds
from stepper.note.phrases import Read, at, full_stop, where, who
from stepper.note.shape import Sentence, rests_on
from stepper.note.words import incident_details, incident_label
from stepper.protocol.models import IncidentKind, Protocol

SLIP = "slip"
"""What is said of an incident that was none: the key was struck by mistake."""


@dataclass(slots=True)
class _Told:
    """What was said about one incident, the later word last; `before` is what that took the place of."""

    what: str = ""
    values: dict[str, Value] = field(default_factory=dict)
    before: list[str] = field(default_factory=list)
    entries: list[int] = field(default_factory=list)


def incidents(read: Read) -> Iterator[Sentence]:
    """Give every incident with all that is known about it."""
    details: dict[int, list[IncidentDetail]] = {}
    for entry in read.case.entries:
        if isinstance(entry, IncidentDetail):
            details.setdefault(entry.of, []).append(entry)
    for entry in read.case.entries:
        if isinstance(entry, Incident):
            told = _told(read.case, details.get(entry.seq, ()))
            parts = [*_marked(read.case, entry, told), *_answers(read.case.protocol, told), *told.before]
            yield Sentence(" ".join(parts), rests_on((entry.seq, *told.entries)))


def _marked(case: Case, entry: Incident, told: _Told) -> Iterator[str]:
    """Say when and where it was, and what; where it was may be told after another canal was at hand."""
    canal = canal_of(case, entry.seq)
    what = incident_label(case.protocol, told.what) if told.what else "what it was is not recorded"
    yield full_stop(f"Marked at {at(case, entry)}, {where(case, entry.step, canal)}: {what}")
    if canal != entry.canal:
        yield f"{where(case, entry.step, entry.canal)} was at hand when it was marked."
    yield f"Keyed by {_keyed_by(case, entry, told)}."


def _keyed_by(case: Case, entry: Incident, told: _Told) -> str:
    """Say who keyed the mark, and who keyed the last that was said about it if that was somebody else."""
    later = case.entries[told.entries[-1]] if told.entries else entry
    more = f"; what it was, by {who(case, later.by)}" if later.by != entry.by else ""
    return f"{who(case, entry.by)}{more}"


def _told(case: Case, details: Iterable[IncidentDetail]) -> _Told:
    """Go through what was said about an incident; answers about another kind of incident fall away."""
    told = _Told()
    for entry in details:
        told.entries.append(entry.seq)
        if told.what not in ("", entry.what):
            told.before.append(_took_place(case, told, entry))
            told.values = {}
        told.what = entry.what
        for name, value in entry.values.items():
            if told.values.get(name, value) != value:
                earlier = incident_details(case.protocol, entry.what, {name: told.values[name]})
                told.before.append(full_stop(f"Before {at(case, entry)}, {earlier}"))
            told.values[name] = value
    return told


def _took_place(case: Case, told: _Told, entry: IncidentDetail) -> str:
    details = incident_details(case.protocol, told.what, told.values)
    label = incident_label(case.protocol, told.what) + (f" ({details})" if details else "")
    return full_stop(f"Before {at(case, entry)} it was said to be: {label}")


def _answers(protocol: Protocol, told: _Told) -> Iterator[str]:
    """Say what was answered, what was said not to be known, what is owed and what nobody recorded."""
    known = {name: value for name, value in told.values.items() if not isinstance(value, Absent)}
    if known:
        yield full_stop(incident_details(protocol, told.what, known))
    kind = protocol.incident_of(told.what)
    for why in (Why.NOT_DONE, Why.NOT_MEASURED, Why.OWED):
        names = [name for name, value in told.values.items() if value == Absent(why=why)]
        if names:
            yield full_stop(f"{WHY_WORDS[why].capitalize()}: {'; '.join(_prompt(kind, name) for name in names)}")
    missing = _missing(kind, told.values) if kind is not None else []
    if missing:
        yield full_stop(f"Not recorded: {'; '.join(missing)}")


def _missing(kind: IncidentKind, values: Mapping[str, Value]) -> list[str]:
    return [one.prompt for one in kind.question if one.needed and one.id not in values and holds(one, values)]


def _prompt(kind: IncidentKind | None, name: str) -> str:
    question = kind.asked(name) if kind is not None else None
    return question.prompt if question is not None else name.replace("_", " ")
