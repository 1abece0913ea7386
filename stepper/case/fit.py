"""Whether a cone suits the master apical file by the technique's rule."""

from __future__ import annotations

from stepper.facts.state import Fact, Row, View
from stepper.facts.values import Choice, Size
from stepper.kinds.tables import Tables, Technique


def last_fit(view: View, canal: int) -> Row | None:
    """Give the last cone fit begun: it counts even when it fails, and an earlier one is never fallen back on."""
    rows = list(view.rows_with("cone", canal))
    return max(rows, key=lambda row: (row.place, row.number)) if rows else None


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


def matches(technique: Technique, cone: Size, file: Size) -> bool:
    """Compare what the technique wants compared: size, taper, both or nothing."""
    same_size = "size" not in technique.match or cone.size == file.size
    same_taper = "taper" not in technique.match or cone.taper == file.taper
    return same_size and same_taper
