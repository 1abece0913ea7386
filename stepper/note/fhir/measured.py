"""What was measured in a canal, as observations: length, gauging, last file, cone, dryness, level of the fill."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from stepper.case.fit import cone_of, last_fit, master_file
from stepper.facts.entries import Carried
from stepper.facts.state import Canal
from stepper.facts.values import Choice, Depth, Instrument, Number, Size
from stepper.kinds.gauged import gauged, gauged_row
from stepper.note.fhir.piece import Maker, Piece, Tree, kind_of, quantity
from stepper.note.level import level_of
from stepper.note.words import show
from stepper.sums.gauging.words import outward, sentences
from stepper.sums.iso3630 import name, tip_mm

WIDTH = "Narrowest width at length, by gauging"
TIP = "Diameter projected to the tip"
SHORT = "Distance short of the working length, negative beyond it"
_HUNDREDTH = Decimal("0.01")


class Observing:
    """Makes the observations of one canal, or of the tooth (0)."""

    def __init__(self, make: Maker, canal: int, procedure: Piece | None) -> None:
        self.make, self.canal = make, canal
        self.part_of = [procedure.reference] if procedure is not None else []

    def of(self, code: str, words: str, entries: Iterable[int], /, what: str = "", **members: object) -> Piece:
        """Make one; it was so when the last thing it rests on happened, unless one of them is of another day.

        `what` is that of which it is one of several, such as an agent.
        """
        seqs = tuple(entries)
        times = [self.make.when(seq) for seq in seqs]
        known = [when for when in times if when is not None]
        when = max(known).isoformat() if known and len(known) == len(times) else None
        return self.make.piece(
            "Observation",
            ", ".join([code, *([what] if what else []), *([f"canal {self.canal}"] if self.canal else [])]),
            seqs,
            status=self.make.status_of(seqs),
            code=kind_of(code, words, what),
            subject=self.make.subject,
            effectiveDateTime=when,
            bodySite=self.make.site(self.canal) if self.canal else None,
            partOf=self.part_of,
            **members,
        )


def measured(make: Maker, canal: Canal, procedure: Piece) -> Iterator[Piece]:
    """Give what is known of a canal; of what is not known there is nothing."""
    observe = Observing(make, canal.number, procedure)
    if canal.length is not None:
        yield observe.of(
            "working-length",
            "Working length from the reference point",
            (canal.length.seq,),
            valueQuantity=quantity(canal.length.mm, "mm"),
        )
    yield from _gauging(observe)
    yield from _files(observe)
    yield from _dry(observe)
    yield from _level(observe)


def _gauging(observe: Observing) -> Iterator[Piece]:
    """Give the largest gauging file at length, and what all of them bound, with the caveat of the model."""
    case = observe.make.case
    row = gauged_row(case.told, observe.canal, case.protocol.limits)
    gauge = row.get("gauge_file") if row is not None else None
    largest = None
    if gauge is not None and isinstance(gauge.value, Instrument):
        largest = _file(observe, "gauged-size", "Largest gauging file at length", gauge.value, (gauge.seq,))
        yield largest
    known = gauged(case.seen(case.told), observe.canal)
    if known is None or known.found is None:
        return
    found = known.found
    rests_on = [largest.reference] if largest is not None else None
    note = [{"text": " ".join(sentences(found))}]
    spans = [("width-by-gauging", WIDTH, "", found.high_mm)]
    if found.tip_held is not None:
        held = f"the {found.tip_held.reading.tool.size:02d}"
        spans.append(("width-if-held-at-tip", f"{WIDTH}, if a file was held at its tip", held, found.tip_high_mm))
    for code, words, which, high in spans:
        low, most = outward(found.low_mm, high)
        ends = {"low": low, "high": most}
        span = {end: quantity(mm, "mm") for end, mm in ends.items() if mm is not None}
        if span:
            yield observe.of(code, words, known.entries, what=which, valueRange=span, note=note, derivedFrom=rests_on)


def _files(observe: Observing) -> Iterator[Piece]:
    """Give the master apical file and the cone of the last fit, as ISO 3630-1 names them."""
    case = observe.make.case
    declared = master_file(case.told, observe.canal)
    if declared is not None:
        fact, size = declared
        earlier = isinstance(case.entries[fact.seq], Carried)
        words = "Master apical file, of the earlier visit" if earlier else "Master apical file"
        yield _file(observe, "master-apical-file", words, size, (fact.seq,))
    fit = last_fit(case.told, observe.canal)
    cone = cone_of(fit) if fit is not None else None
    if fit is not None and cone is not None:
        yield _file(observe, "cone", "Cone of the last fit", cone, fit.seqs)
        seat = fit.get("seat")
        if seat is not None and isinstance(seat.value, Depth):
            yield _depth(observe, "cone-seat", "Where the cone was seated", seat.value, (seat.seq,))


def _file(observe: Observing, code: str, words: str, file: Size | Instrument, entries: Iterable[int]) -> Piece:
    tip = quantity(tip_mm(file.size).quantize(_HUNDREDTH), "mm")
    component = [{"code": kind_of("tip-diameter", TIP), "valueQuantity": tip}]
    return observe.of(code, words, entries, valueString=name(file.size, file.taper), component=component)


def _depth(observe: Observing, code: str, words: str, depth: Depth, entries: Iterable[int]) -> Piece:
    note = [{"text": SHORT}]
    return observe.of(code, words, entries, valueQuantity=quantity(depth.short_mm, "mm"), note=note)


def _dry(observe: Observing) -> Iterator[Piece]:
    """Give how the last paper point came out, and over how much of it, where that was said beside it."""
    case = observe.make.case
    fact = case.told.role("dryness", observe.canal)
    if fact is None or not isinstance(fact.value, Choice):
        return
    row = next((one for one in case.told.rows_with("dryness", observe.canal) if one.get("dryness") is fact), None)
    asked = [question for step in case.protocol.step for question in step.question if question.role == "dryness"]
    damp = row.get("damp_mm") if row is not None else None
    component: list[Tree] = []
    if damp is not None and isinstance(damp.value, Number):
        component = [{"code": kind_of("damp", "Damp over"), "valueQuantity": quantity(damp.value.value, "mm")}]
    entries = (fact.seq, damp.seq) if component and damp is not None else (fact.seq,)
    value = {"text": show(case.protocol, asked[0], fact.value)}
    words = "How the paper point came out"
    yield observe.of("dryness", words, entries, valueCodeableConcept=value, component=component)


def _level(observe: Observing) -> Iterator[Piece]:
    found = level_of(observe.make.case, observe.canal)
    if found is not None and isinstance(found[1].value, Depth):
        yield _depth(observe, "fill-level", "Level of the fill", found[1].value, (found[1].seq,))
