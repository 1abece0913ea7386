"""Whether a cone suits the master apical file by the technique's rule."""

from __future__ import annotations

from stepper.facts.state import Fact, Place, Row, View
from stepper.facts.values import Choice, Size
from stepper.kinds.tables import Tables, Technique
from stepper.kinds.touched import NEVER, last_touch

FIT_ROLES = frozenset({"cone", "seat", "tug_back", "cone_image"})
"""What a cone fit measures."""


def last_row(view: View, canal: int, roles: frozenset[str]) -> Row | None:
    """Give the last row begun that was asked for any of some roles, whether or not there was a fact to give."""
    return max(_rows(view, canal, roles), key=lambda row: (row.place, row.number), default=None)


def last_rows(view: View, canal: int, roles: frozenset[str]) -> list[Row]:
    """Give the last row begun, and with it an earlier one that was measured anew since: neither may be passed over."""
    begun = last_row(view, canal, roles)
    rows = [row for row in _rows(view, canal, roles) if begun is not None and _said_last(row, roles) > begun.place]
    return [row for row in rows if row is not begun] + ([begun] if begun is not None else [])


def _said_last(row: Row, roles: frozenset[str]) -> Place:
    return max(fact.place for fact in row.facts.values() if fact.role in roles)


def _rows(view: View, canal: int, roles: frozenset[str]) -> list[Row]:
    found = {id(row): row for role in roles for row in view.asked_for(role, canal)}
    if len(found) < 2:
        return list(found.values())
    order = {key: number for number, key in enumerate(view.rows)}
    return sorted(found.values(), key=lambda row: (order[row.step, row.canal], row.number))


def last_fit(view: View, canal: int) -> Row | None:
    """Give the last cone fit begun: it counts even when it fails, and an earlier one is never fallen back on."""
    return last_row(view, canal, FIT_ROLES)


def fitted_at(row: Row) -> Place:
    """Tell where a fit stands: as early as the earliest of what it measured, so that a later cut always outdates it."""
    return min(fact.place for fact in row.facts.values() if fact.role in FIT_ROLES)


def measured_at(view: View, canal: int) -> Place:
    """Tell where the length of a canal was last measured anew."""
    length = view.canals[canal].length
    return length.anew if length is not None else NEVER


def outdated(view: View, row: Row) -> bool:
    """Tell whether a cut or a new length came after a fit."""
    return fitted_at(row) < max(measured_at(view, row.canal), last_touch(view, row.canal, "cut"))


def technique_of(view: View, tables: Tables, canal: int) -> Technique | None:
    """Give the technique that stands for a canal."""
    fact = view.role("technique", canal)
    return tables.technique_of(fact.value.options[0]) if fact and isinstance(fact.value, Choice) else None


def cone_of(row: Row) -> Size | None:
    """Give the cone of a fit as it went in: trimmed to a size, it keeps its taper."""
    cone, trimmed = row.get("cone"), row.get("cone_trimmed")
    if cone is None or not isinstance(cone.value, Size):
        return None
    if trimmed is not None and isinstance(trimmed.value, Size):
        return Size(size=trimmed.value.size, taper=cone.value.taper)
    return cone.value


def master_file(view: View, canal: int) -> tuple[Fact, Size] | None:
    """Give the last declared master apical file."""
    fact = view.role("master_apical_file", canal)
    return (fact, fact.value) if fact is not None and isinstance(fact.value, Size) else None


def master_carried(view: View, canal: int) -> bool:
    """Tell whether the master apical file is that of an earlier visit, and in force at the length agreed today."""
    mine, declared = view.canals.get(canal), master_file(view, canal)
    if mine is None or mine.carried is None or mine.length is None or declared is None:
        return False
    return declared[0].seq == mine.carried.seq and declared[0].place >= mine.length.anew


def declared_outside(view: View, canal: int, declared: Fact) -> bool:
    """Tell whether a master apical file was declared outside the chain."""
    rows = view.rows_with("master_apical_file", canal)
    return any(row.outside and declared in row.facts.values() for row in rows)


def matches(technique: Technique, cone: Size, file: Size) -> bool:
    """Compare what the technique wants compared: size, taper, both or nothing."""
    same_size = "size" not in technique.match or cone.size == file.size
    same_taper = "taper" not in technique.match or cone.taper == file.taper
    return same_size and same_taper
