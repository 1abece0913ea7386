"""What a canal's record has to draw: bounds by gauging, stops, the files cut, the master apical file, the cone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from stepper.case.fit import cone_of, last_fit, master_file
from stepper.case.state import Case
from stepper.facts.state import Canal
from stepper.facts.values import Depth, Size
from stepper.kinds.computed.fitting import cone_rest
from stepper.kinds.gauged import Gauged, gauged, tool_of
from stepper.note.drawing import draw
from stepper.note.scene import Line, Profile, Scene, Stop
from stepper.sums.gauging.bounds import Bounds
from stepper.sums.gauging.model import Tool
from stepper.sums.gauging.words import APEX_OFF, CAVEAT, contradiction
from stepper.sums.iso3630 import name

FILES_DRAWN = 3
"""So many files that cut are drawn besides the master apical file, the last ones: more would hide one another."""

STOPS_DRAWN = 8
"""So many gauging files that were held, the last ones; fewer where they have no room."""

_SIGNS = "ABD"


def drawn(case: Case, canal: Canal, span_mm: Decimal, height: int) -> tuple[str, ...]:
    """Draw a canal in at most `height` rows, with as many stops as have room: what the bounds are comes before them."""
    for most in range(STOPS_DRAWN, 0, -1):
        rows = draw(scene_of(case, canal, span_mm, most), height=height)
        if len(rows) <= height:
            return rows
    return draw(scene_of(case, canal, span_mm, 0), height=height)


def scene_of(case: Case, canal: Canal, span_mm: Decimal, most_stops: int = STOPS_DRAWN) -> Scene:
    """Give what is to be drawn of a canal from length up to `span_mm`, as it was told."""
    known = gauged(case.seen(case.told), canal.number)
    found = known.found if known is not None else None
    return Scene(
        canal=canal.name,
        length_mm=canal.length.mm if canal.length is not None else None,
        lower=_corners(found.lower_corners) if found is not None else (),
        upper=_upper(found) if found is not None else (),
        tip_held_mm=found.tip_high_mm if found is not None else None,
        stops=tuple(_stops(found, span_mm, most_stops)) if found is not None else (),
        profiles=tuple(_profiles(case, canal)),
        caveat=_caveat(known),
        no_bounds=_no_bounds(known),
        span_mm=span_mm,
    )


def _corners(corners: Iterable[tuple[Decimal, Decimal]]) -> Line:
    return tuple((x, width) for x, width in corners)


def _upper(found: Bounds) -> Line:
    """Give the upper bound; the least one holds at length itself, where no file need bound any further up."""
    at_length = ((Decimal(0), found.high_mm),) if found.high_mm is not None else ()
    return (*at_length, *_corners(found.upper_corners))


def _stops(found: Bounds, span_mm: Decimal, most: int) -> Iterator[Stop]:
    """Give the last stops of the part that is drawn or, where none is in it, the last ones."""
    near = [one for one in found.held if one.reading.short_mm <= span_mm] or list(found.held)
    for one in near[max(len(near) - most, 0) :]:
        yield Stop(one.reading.tool.name, one.reading.short_mm, one.reading.tool.tip_mm)


def _caveat(known: Gauged | None) -> str:
    if known is None or known.found is None or known.found.contradiction:
        return ""
    since = "Bounds as gauged; files have cut since. " if known.cut_since else ""
    both = "both" if known.found.tip_held is not None else "this"
    return f"{since}Round, straight canal assumed. {CAVEAT.format(both=both)}"


def _no_bounds(known: Gauged | None) -> str:
    if known is not None and known.found is None:
        return APEX_OFF.format(apex=known.apex)
    found = known.found if known is not None else None
    return contradiction(found.contradiction) if found is not None and found.contradiction else ""


def _profiles(case: Case, canal: Canal) -> Iterator[Profile]:
    declared = master_file(case.told, canal.number)
    master = declared[1] if declared is not None else None
    tool = _tool(case, master) if master is not None else None
    if tool is not None:
        yield Profile(f"master apical file {tool.name}", "M", Decimal(0), tool.diameters)
    yield from _cone(case, canal)
    yield from _cuts(case, canal, master)


def _cone(case: Case, canal: Canal) -> Iterator[Profile]:
    """Give the cone where it sat or, before it was seated, where it is foretold to rest."""
    fit = last_fit(case.told, canal.number)
    cone = cone_of(fit) if fit is not None else None
    if fit is None or cone is None or cone.taper <= 0:
        return
    tool, seat = tool_of(case.protocol, cone.size, cone.taper), fit.get("seat")
    foretold = cone_rest(case.seen(case.told), canal.number)
    if tool is not None and seat is not None and isinstance(seat.value, Depth):
        yield Profile(f"cone {tool.name}", "C", seat.value.short_mm, tool.diameters)
    elif tool is not None and foretold is not None and foretold[0].rests_mm is not None:
        yield Profile(f"cone {tool.name}, foretold", "C", foretold[0].rests_mm, tool.diameters)


def _cuts(case: Case, canal: Canal, master: Size | None) -> Iterator[Profile]:
    """Give the last files that cut, each with where it went; the master apical file at length is drawn already."""
    found: dict[tuple[int, Decimal, Decimal], Tool] = {}
    for use in canal.files_of_all:
        tool = tool_of(case.protocol, use.size, use.taper, use.stock)
        if use.purpose != "cut" or tool is None or canal.length is None or use.absolute_mm is None:
            continue
        short = canal.length.mm - use.absolute_mm
        if master is not None and short == 0 and (use.size, use.taper) == (master.size, master.taper):
            continue
        found.pop((use.size, use.taper, short), None)
        found[(use.size, use.taper, short)] = tool
    for sign, ((size, taper, short), tool) in zip(_SIGNS, list(found.items())[-FILES_DRAWN:], strict=False):
        yield Profile(f"cut {name(size, taper)}", sign, short, tool.diameters)


def _tool(case: Case, size: Size) -> Tool | None:
    return tool_of(case.protocol, size.size, size.taper, size.stock)
