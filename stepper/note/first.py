"""What opens a note: fills and facts outside the chain, stops that stand, what changed after a fill."""

from __future__ import annotations

from collections.abc import Iterator

from stepper.case.incidents import canal_of
from stepper.case.judge import Standing
from stepper.case.state import Case
from stepper.facts.entries import Ending, Incident, IncidentDetail, Overruled
from stepper.facts.remarks import Weight
from stepper.facts.state import Row
from stepper.note.afterwards import after_fill
from stepper.note.carried import ended_earlier
from stepper.note.incidents import SLIP
from stepper.note.phrases import Read, at, full_stop, placed, rows_outside, where, who
from stepper.note.shape import OUTSIDE, Sentence, rests_on
from stepper.note.words import canal_name, incident_label, show_all
from stepper.protocol.sections import INCIDENTS


def opening(read: Read) -> Iterator[Sentence]:
    """Give the sentences that open a note, if there are any."""
    yield from endings(read.case)
    yield from _incidents(read.case)
    yield from _fills(read.case)
    yield from _facts(read.case)
    for one in read.judged:
        if one.remark.weight is Weight.STOP and one.standing in (Standing.OPEN, Standing.OUTSIDE):
            yield Sentence(placed(read.case, one.remark), rests_on(one.remark.evidence), "STOP")
    for remark in after_fill(read.case):
        yield Sentence(remark.text, rests_on(remark.evidence), "STOP" if remark.weight is Weight.STOP else "")


def endings(case: Case) -> Iterator[Sentence]:
    """Say when and why the visit ended early."""
    for entry in case.entries:
        if isinstance(entry, Ending):
            said = f"Said by {who(case, entry.said_by)}, keyed by {who(case, entry.by)}."
            yield Sentence(f"Ended early at {at(case, entry)}: {full_stop(entry.reason)} {said}", (entry.seq,))


def _incidents(case: Case) -> Iterator[Sentence]:
    """Name each incident in one line; a slip of the keys is none."""
    details: dict[int, list[int]] = {}
    for entry in case.entries:
        if isinstance(entry, IncidentDetail):
            details.setdefault(entry.of, []).append(entry.seq)
    for entry in case.entries:
        what = case.incidents.get(entry.seq)
        if isinstance(entry, Incident) and what != SLIP:
            label = incident_label(case.protocol, what) if what else "what it was is not recorded"
            place = where(case, entry.step, canal_of(case, entry.seq))
            text = f"Incident at {at(case, entry)}, {place}: {full_stop(label)} See {INCIDENTS}."
            yield Sentence(text, rests_on((entry.seq, *details.get(entry.seq, ()))))


def _fills(case: Case) -> Iterator[Sentence]:
    for canal in case.told.canals.values():
        if canal.fill is not None and not canal.fill.gate_open:
            name = canal_name(case, canal.number)
            when = ", at the earlier visit," if ended_earlier(case, canal.number) else ""
            text = f"{name} was filled{when} although its gate was not open. "
            text += "It does not count as filled by the protocol."
            yield Sentence(text, (canal.fill.seq,), OUTSIDE)


def _facts(case: Case) -> Iterator[Sentence]:
    fills = {canal.fill.seq for canal in case.told.canals.values() if canal.fill is not None}
    for row in rows_outside(case):
        if not fills & set(row.seqs):
            values = {name: fact.value for name, fact in row.facts.items()}
            text = full_stop(f"{where(case, row.step, row.canal)}: {show_all(case.protocol, row.step, values)}")
            over = _overruled(case, row)
            said = "".join(f" Done all the same at {at(case, one)}, though it was said: {one.text}" for one in over)
            yield Sentence(text + said, rests_on((*row.seqs, *(one.seq for one in over))), OUTSIDE)


def _overruled(case: Case, row: Row) -> list[Overruled]:
    """Give what says that a stop about a row was overruled, each remark once."""
    key = (row.step, row.canal, row.number)
    found = [one for one in case.entries if isinstance(one, Overruled) and (one.step, one.canal, one.row) == key]
    return list({one.remark: one for one in reversed(found)}.values())[::-1]
