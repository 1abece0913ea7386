"""The fill gate: whether a canal may be filled, as the record stands.

One rule over roles, in eight clauses (`CLAUSES`). It is open only when all of them hold for all that was told and also
for what is sure, so that late entries and keyed-wrong corrections can shut it at once and open it only when the
clinician has confirmed them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from stepper.case.alarms import allergies_met, dam_on, identity_open
from stepper.case.fit import (
    NEVER,
    cone_of,
    last_fit,
    last_row,
    last_touch,
    master_file,
    matches,
    measured_at,
    outdated,
    technique_of,
)
from stepper.case.judge import unanswered
from stepper.case.put import joined
from stepper.case.state import Case
from stepper.facts.remarks import Weight
from stepper.facts.state import Place, Rinse, Row, View
from stepper.facts.values import Choice, Depth, Expiry, Number
from stepper.kinds.judging import Seen
from stepper.kinds.tables import Sealer
from stepper.protocol.models import Protocol
from stepper.sums.clash import final_rinse_gap
from stepper.sums.envelope import Cut, reaches, same_size, wider_within
from stepper.sums.expiry import expired
from stepper.sums.iso3630 import name


@dataclass(frozen=True, slots=True)
class Look:
    """One canal of one view, as the clauses look at it."""

    case: Case
    view: View
    canal: int

    @property
    def seen(self) -> Seen:
        """The view with tables and limits."""
        return self.case.seen(self.view)

    @property
    def protocol(self) -> Protocol:
        """The protocol."""
        return self.case.protocol

    @property
    def measured(self) -> Place:
        """Where the length was last measured anew."""
        return measured_at(self.view, self.canal)


DRYING_ROLES = frozenset({"paper_point_depth", "dryness"})
"""What a drying measures."""

DRY = "dry"
"""The answer that needs no mm."""

Clause = Callable[[Look], str | None]
"""Gives the reason why it is shut, or None."""


def clear(look: Look) -> str | None:
    """Clause 1: the dam is on; no open stop on patient, tooth or allergy; the canal is not filled already."""
    if not dam_on(look.view):
        return "the dam is not on"
    if identity_open(look.seen):
        return "patient and tooth are not confirmed against the header"
    if any(True for _ in allergies_met(look.seen, look.protocol)):
        return "an allergy stands against something set up"
    if look.view.canals[look.canal].fill is not None:
        return "it is filled already"
    return None


def length(look: Look) -> str | None:
    """Clause 2: a working length is agreed and not void."""
    return "no working length is agreed" if look.view.canals[look.canal].length is None else None


def master_apical_file(look: Look) -> str | None:
    """Clause 3: the declared file was cut to length, and no file cut to length was wider over the apical span."""
    declared = master_file(look.view, look.canal)
    if declared is None:
        return "no master apical file is declared"
    fact, size = declared
    if fact.place < look.measured:
        return "the length was measured anew since the master apical file was declared"
    limits, cuts = look.protocol.limits, _cuts_to_length(look)
    file = Cut(size.size, size.taper, Decimal(0))
    label = name(size.size, size.taper)
    if not any(same_size(cut, file) and reaches(cut, limits.at_length_mm) for cut, against in cuts if not against):
        return f"no file {label} was cut to length"
    wider = next((cut for cut, _ in cuts if wider_within(_at_length(cut), file, limits.span_mm)), None)
    return f"{name(wider.size, wider.taper)} was cut to length and is wider than {label}" if wider else None


def cone_fit(look: Look) -> str | None:
    """Clause 4: the last cone fit begun is complete, later than the last cut, and suits its technique and the file."""
    row, technique = last_fit(look.view, look.canal), technique_of(look.view, look.protocol, look.canal)
    if row is None:
        return "no cone is fitted"
    if technique is None:
        return "the technique is not said"
    if row.outside:
        return "the last cone fit is outside the chain"
    if outdated(look.view, look.protocol, row):
        return "a cut or a new length came after the cone fit"
    cone, declared = cone_of(row), master_file(look.view, look.canal)
    if cone is None or declared is None:
        return "there is no master apical file to compare the cone with"
    if not matches(technique, cone, declared[1]):
        file = name(declared[1].size, declared[1].taper)
        return f"the cone {name(cone.size, cone.taper)} does not match the master apical file {file}"
    return _fit_needs(row, technique.needs, technique.seat_within_mm)


def dry(look: Look) -> str | None:
    """Clause 5: the last drying is later than the last irrigant, file and length, and satisfies the sealer's limit."""
    row = last_row(look.view, look.canal, DRYING_ROLES)
    fact = look.view.role("sealer", look.canal)
    sealer = look.protocol.by_id(fact.value.options[0]) if fact and isinstance(fact.value, Choice) else None
    if row is None:
        return "the canal is not dried"
    if row.place < max(look.measured, last_touch(look.view, look.protocol, look.canal), _last_rinse(look)):
        return "a rinse, a file or a new length came after the drying"
    if not isinstance(sealer, Sealer):
        return "the sealer is not said"
    if row.outside:
        return "the drying is outside the chain"
    depth = row.get("paper_point_depth")
    within = look.protocol.limits.dry_within_mm
    if depth is None or not isinstance(depth.value, Depth) or depth.value.short_mm > within:
        return f"the paper point was not within {within:f} mm of length"
    found = row.options("dryness")
    if not found:
        return "how the paper point came out is not logged"
    if not set(found) <= set(sealer.dryness):
        return f"the paper point was {', '.join(found)}; {sealer.label} does not bear that"
    return None if found == (DRY,) else _damp(row, sealer)


def _damp(row: Row, sealer: Sealer) -> str | None:
    damp = row.get("damp_mm")
    if damp is None or not isinstance(damp.value, Number):
        return "how far up the paper point was damp is not logged"
    if damp.value.value > sealer.damp_max_mm:
        return f"{damp.value.value:f} mm of the point were damp; {sealer.label} bears {sealer.damp_max_mm:f}"
    return None


def rinse(look: Look) -> str | None:
    """Clause 6: the irrigants since the last cut contain what the final rinse needs."""
    last_cut = last_touch(look.view, look.protocol, look.canal, "cut")
    used = [one.family for one in _rinses(look) if one.place > last_cut and not one.outside]
    gap = final_rinse_gap(used, look.protocol.limits.final_rinse)
    return f"the final rinse lacks {', '.join(gap)}" if gap else None


def lots(look: Look) -> str | None:
    """Clause 7: the lots of cones and sealer set up today are in date; an unknown expiry needs a spoken reason."""
    fact = look.view.role("sealer", look.canal)
    sealer = fact.value.options[0] if fact is not None and isinstance(fact.value, Choice) else ""
    for what, found in (("sealer", _set_up(look, sealer, None)), ("cones", _set_up(look, None, "cone"))):
        if not found:
            return f"the lot of the {what} is not set up"
        row = found[-1]
        expiry = row.get("item_expiry")
        if expiry is not None and isinstance(expiry.value, Expiry):
            if expired(expiry.value.year, expiry.value.month, look.case.today):
                return f"the lot of the {what} is expired"
        elif not _asked_and_passed(look, row):
            return f"the expiry of the {what} is not known"
    return None


def answered(look: Look) -> str | None:
    """Clause 8: no ask of this canal or of the tooth is unanswered; owed counts as unanswered."""
    left = unanswered(look.case, look.view, look.canal)
    return f"unanswered: {left[0].text}" if left else None


CLAUSES: dict[str, Clause] = {
    "clear": clear,
    "length": length,
    "master_apical_file": master_apical_file,
    "cone_fit": cone_fit,
    "dry": dry,
    "rinse": rinse,
    "lots": lots,
    "answered": answered,
}
"""The clauses of the gate by the names that `stepper check` reports."""


def shut(case: Case, canal: int) -> dict[str, str]:
    """Give each clause that does not hold, with its reason; empty means that the gate is open."""
    if canal not in case.told.canals:
        return {"clear": "there is no such canal"}
    reasons: dict[str, str] = {}
    for clause, holds in CLAUSES.items():
        reason = holds(Look(case, case.told, canal))
        if reason is None and canal not in case.sure.canals:
            reason = "the canal is in an entry that the clinician has not confirmed"
        elif reason is None:
            unsure = holds(Look(case, case.sure, canal))
            reason = None if unsure is None else f"without what the clinician has not confirmed: {unsure}"
        if reason is not None:
            reasons[clause] = reason
    return reasons


def _cuts_to_length(look: Look) -> list[tuple[Cut, bool]]:
    """Give the files cut to length or beyond, from the length in force, and whether each counts against the gate only.

    Where a file's absolute depth is not known (no length was in force, or its reference point broke), its distance as
    keyed can still shut the gate, but no longer open it.
    """
    within = look.protocol.limits.at_length_mm
    in_force = look.view.canals[look.canal].length
    cuts: list[tuple[Cut, bool]] = []
    for use in look.view.canals[look.canal].files:
        if use.purpose != "cut":
            continue
        known = in_force is not None and use.absolute_mm is not None
        short = in_force.mm - use.absolute_mm if in_force and use.absolute_mm is not None else use.short_mm
        if short <= within:
            cuts.append((Cut(use.size, use.taper, short), use.outside or not known))
    return cuts


def _at_length(cut: Cut) -> Cut:
    """Take a file that stopped a little short of length for one at length: it may have been there."""
    return Cut(cut.size, cut.taper, min(cut.short_mm, Decimal(0)))


def _fit_needs(row: Row, needs: tuple[str, ...], within: Decimal) -> str | None:
    seat = row.get("seat")
    if "seat" in needs:
        if seat is None or not isinstance(seat.value, Depth):
            return "how far the cone went is not logged"
        if abs(seat.value.short_mm) > within:
            return f"the cone did not seat within {within:f} mm of length"
    if "tug_back" in needs and row.options("tug_back") != ("yes",):
        return "the cone has no tug-back, or it is not logged"
    if "cone_image" in needs and row.options("cone_image") != ("seated",):
        return "the image of the fitted cone does not show it seated, or is not logged"
    return None


def _last_rinse(look: Look) -> Place:
    return max((one.place for one in _rinses(look)), default=NEVER)


def _rinses(look: Look) -> list[Rinse]:
    canals = joined(look.view, look.canal)
    return [rinse for number in canals for rinse in look.view.canals[number].rinses]


def _set_up(look: Look, item: str | None, category: str | None) -> list[Row]:
    """Give the set-up rows of an item or of a category, oldest first."""
    rows = [row for row in look.view.rows_with("item", 0) if not row.outside]
    known = {one.id: one for one in look.protocol.item}
    wanted = [
        row
        for row in rows
        if any(
            chosen == item or (chosen in known and known[chosen].category == category) for chosen in row.options("item")
        )
    ]
    return sorted(wanted, key=lambda row: row.place)


def _asked_and_passed(look: Look, row: Row) -> bool:
    """Tell whether an ask about this row's expiry was passed with a reason."""
    asks = [one for one in look.view.row_remarks.values() if one.step == row.step and one.weight is Weight.ASK]
    about = [one for one in asks if set(one.evidence) & set(row.seqs)]
    return bool(about) and all(one.key in look.case.departures for one in about)
