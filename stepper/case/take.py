"""Taking in the entries that hold no fact by themselves: what was said about others, what went wrong, who keys."""

from __future__ import annotations

from stepper.case.put import add_canal, retouch
from stepper.case.state import Case
from stepper.facts.entries import (
    AnyEntry,
    CanalFound,
    Close,
    Confirm,
    Departure,
    Ending,
    Held,
    Incident,
    IncidentDetail,
    Joined,
    Overruled,
    Owe,
    Relief,
    StepDone,
    Void,
)
from stepper.facts.ringing import Sound, SoundState
from stepper.facts.signature import Signature
from stepper.facts.state import Fact, View


def take(case: Case, entry: AnyEntry) -> None:
    """Take in an entry that holds no fact of the tooth or a canal by itself."""
    match entry:
        case Confirm():
            case.confirmed.update(seq for seq in entry.of if seq < entry.seq)
        case Departure():
            case.departures[entry.remark] = entry
            case.owed.pop(entry.remark, None)
        case Owe():
            case.owed[entry.remark] = entry
        case Held():
            case.held.append(entry)
            (case.dropped if entry.drops else case.ended).add((entry.step, entry.canal, entry.row))
        case Overruled():
            case.overruled.add((entry.step, entry.canal, entry.row))
        case Incident():
            case.incidents[entry.seq] = None
        case IncidentDetail():
            _detail(case, entry)
        case Ending():
            case.ending = entry
        case Sound():
            case.rung.add(entry.remark)
            case.sounds += entry.times
        case SoundState():
            case.heard = entry
        case Relief():
            case.keyed_by = entry.person
        case Close():
            case.closed = True
        case Void():
            case.void = entry.reason
        case Signature():
            case.signatures.append(entry)
        case StepDone() | CanalFound() | Joined():
            for view in case.views:
                mark(case, view, entry)
        case _:
            pass


def _detail(case: Case, entry: IncidentDetail) -> None:
    """Take in what an incident was; answers to the questions of another kind of incident fall away."""
    if case.incidents.get(entry.of) != entry.what:
        case.details.pop(entry.of, None)
    case.incidents[entry.of] = entry.what
    if entry.canal is not None:
        case.incident_in[entry.of] = entry.canal
    place = case.places[entry.seq]
    facts = {name: Fact(value, entry.seq, place) for name, value in entry.values.items()}
    case.details.setdefault(entry.of, {}).update(facts)


def mark(case: Case, view: View, entry: StepDone | CanalFound | Joined) -> None:
    """Take what was declared of a step, a canal found late or a join into a view."""
    if isinstance(entry, StepDone):
        view.declared[(entry.step, entry.canal)] = (entry.how, case.places[entry.seq], entry.seq)
    elif isinstance(entry, CanalFound):
        add_canal(view, entry.canal, entry.name)
    elif entry.canal in view.canals and entry.into in view.canals:
        view.canals[entry.canal].joins = entry.into
        view.canals[entry.canal].join_at_mm = entry.at_mm
        retouch(view)
