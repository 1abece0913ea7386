"""What opens a note: fills and facts outside the chain, stops that stand, what changed after a fill."""

from __future__ import annotations

from collections.abc import Iterator

from stepper.case.judge import Standing
from stepper.case.state import Case
from stepper.facts.remarks import Weight
from stepper.note.afterwards import after_fill
from stepper.note.phrases import Read, full_stop, placed, where
from stepper.note.shape import OUTSIDE, Sentence, rests_on
from stepper.note.words import canal_name, show_all

FIRST_TITLE = "To be read first"


def opening(read: Read) -> Iterator[Sentence]:
    """Give the sentences that open a note, if there are any."""
    yield from _fills(read.case)
    yield from _facts(read.case)
    for one in read.judged:
        if one.remark.weight is Weight.STOP and one.standing in (Standing.OPEN, Standing.OUTSIDE):
            yield Sentence(placed(read.case, one.remark), rests_on(one.remark.evidence), "STOP")
    for remark in after_fill(read.case):
        yield Sentence(remark.text, rests_on(remark.evidence), "STOP" if remark.weight is Weight.STOP else "")


def _fills(case: Case) -> Iterator[Sentence]:
    for canal in case.told.canals.values():
        if canal.fill is not None and not canal.fill.gate_open:
            name = canal_name(case, canal.number)
            text = f"{name} was filled although its gate was not open. It does not count as filled by the protocol."
            yield Sentence(text, (canal.fill.seq,), OUTSIDE)


def _facts(case: Case) -> Iterator[Sentence]:
    fills = {canal.fill.seq for canal in case.told.canals.values() if canal.fill is not None}
    for (step, canal), rows in sorted(case.told.rows.items(), key=lambda pair: min(row.place for row in pair[1])):
        for row in rows:
            if row.outside and not fills & set(row.seqs):
                values = {name: fact.value for name, fact in row.facts.items()}
                text = f"{where(case, step, canal)}: {show_all(case.protocol, step, values)}"
                yield Sentence(full_stop(text), row.seqs, OUTSIDE)
