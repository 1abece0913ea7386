"""Where the time of a visit went, as a drawing: a bar for each stretch of a step, a lane for each canal, to scale.

Each lane is named at its left and summed up at its right, so that no bar needs a colour. Below the steps stand when
nothing was keyed, when the session was not open, the solutions in the canals, and what was marked.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from stepper.case.order import MINUTE_US
from stepper.case.state import Case
from stepper.facts.entries import TOOTH, Incident
from stepper.lines.refusal import visible
from stepper.note.legend import folded
from stepper.note.phrases import full_stop
from stepper.note.spent_shape import Spent, Stretch
from stepper.note.spent_words import label, marks, minutes, moment, together
from stepper.note.vector import BLACK, GREY, LINES, PALE, Drawing, box, cut, letters
from stepper.note.words import canal_name, title

WIDTH: Final = Decimal(170)
"""What A4 has room for between its margins."""

_LEFT, _RIGHT = Decimal(57), Decimal(159)
_CANALS: Final = Decimal(34)
"""Where the names of canals begin, behind that of the step."""

_SIZE: Final = Decimal("2.3")
_LANE: Final = Decimal("2.5")
_BAR: Final = Decimal("1.6")
_LEAST: Final = Decimal("0.3")
"""A bar is at least so wide, or it would not be seen."""

_TICKS_MIN: Final = (1, 2, 5, 10, 15, 20, 30, 60, 120, 240, 480, 1440)
_MOST_TICKS: Final = 12
_LETTERS: Final = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True, slots=True)
class Lane:
    """A row of bars: what it is called, for which canals, how long all of it is; drawn solid, striped or hollow."""

    name: str
    canals: str
    total: str
    bars: tuple[Stretch, ...]
    look: str = "solid"


def timeline_svg(case: Case, known: Spent, name: str, told: str) -> str:
    """Draw the timeline as a whole SVG document."""
    sheet = Drawing(WIDTH, name, told)
    sheet.words((Decimal(0), Decimal(4)), name, Decimal("3.2"), bold=True)
    sheet.words((_LEFT - 3, Decimal("8.5")), "minutes from the start", _SIZE, anchor="end")
    sheet.words((WIDTH, Decimal("8.5")), "min", _SIZE, anchor="end")
    down = Decimal(11)
    scale = Scale(max(known.whole.us, MINUTE_US))
    found = [*lanes(case, known), *_below(case, known)]
    rows = len(found) + (1 if known.marks else 0)
    bottom = down + rows * _LANE
    _grid(sheet, case, scale, down, bottom)
    last = ""
    for lane in found:
        _lane(sheet, scale, lane, down, named=lane.name != last)
        last = lane.name
        down += _LANE
    low = bottom + 4
    if known.marks:
        low = _marks(sheet, case, known, scale, down, low)
    return sheet.svg(low)


@dataclass(frozen=True, slots=True)
class Scale:
    """So much time from edge to edge."""

    whole_us: int

    def across(self, us: int) -> Decimal:
        """Give where a moment is drawn."""
        return _LEFT + (_RIGHT - _LEFT) * Decimal(us) / Decimal(self.whole_us)

    @property
    def step_min(self) -> int:
        """The minutes from one tick to the next."""
        fitting = (one for one in _TICKS_MIN if self.whole_us <= one * _MOST_TICKS * MINUTE_US)
        return next(fitting, -(-self.whole_us // (_MOST_TICKS * MINUTE_US)))


def lanes(case: Case, known: Spent) -> Iterator[Lane]:
    """Give the lanes of the steps; canals whose bars are all the same share one."""
    shares = {(one.step, one.canal): one.us for one in known.shares}
    for step in dict.fromkeys(one.step for one in known.work):
        alike: dict[tuple[Stretch, ...], list[int]] = {}
        for canal in (canal for name, canal in shares if name == step):
            bars = tuple(one.when for one in known.work if one.step == step and canal in one.canals)
            alike.setdefault(bars, []).append(canal)
        for bars, canals in alike.items():
            known_as = ", ".join(canal_name(case, one) or "tooth" for one in canals)
            names = known_as if (step, TOOTH) not in shares or len(alike) > 1 else ""
            total = minutes(sum(shares[step, canal] for canal in canals))
            yield Lane(title(case.protocol, step), names, total, bars)


def _below(case: Case, known: Spent) -> Iterator[Lane]:
    if known.waits:
        yield Lane("Nothing keyed", "", _total(known.waits), known.waits, "hollow")
    if known.away:
        yield Lane("Session not open", "", _total(known.away), known.away, "hollow")
    alike: dict[tuple[str, str], list[Stretch]] = {}
    for stood in together(known.solutions):
        names = ", ".join(canal_name(case, one.canal) for one in stood)
        alike.setdefault((label(case, stood[0].item), names), []).append(stood[0].when)
    for (item, names), bars in alike.items():
        yield Lane(item, names, _total(bars), tuple(bars), "striped")


def _total(bars: Sequence[Stretch]) -> str:
    return minutes(sum(one.us for one in bars))


def _grid(sheet: Drawing, case: Case, scale: Scale, top: Decimal, bottom: Decimal) -> None:
    """Draw the axis of time: minutes from the start above, the time of day below."""
    sheet.begin("axis")
    for count in range(scale.whole_us // (scale.step_min * MINUTE_US) + 1):
        at_us = count * scale.step_min * MINUTE_US
        across = scale.across(at_us)
        sheet.line([(across, top - 1), (across, bottom)], "0.1", colour=LINES)
        sheet.words((across, top - Decimal("2.5")), str(count * scale.step_min), _SIZE, anchor="middle")
        sheet.words((across, bottom + 3), moment(case, at_us)[-5:], _SIZE, anchor="middle")
    sheet.line([(_LEFT, top), (_RIGHT, top)], "0.15")
    sheet.line([(_LEFT, bottom), (_RIGHT, bottom)], "0.15")
    sheet.words((_LEFT - 5, bottom + 3), "time of day", _SIZE, anchor="end")
    sheet.end()


def _lane(sheet: Drawing, scale: Scale, lane: Lane, top: Decimal, *, named: bool) -> None:
    base = top + Decimal("1.9")
    sheet.begin("lane")
    if named:
        sheet.line([(Decimal(0), top), (WIDTH, top)], "0.1", colour=LINES)
        sheet.words((Decimal(0), base), cut(lane.name, (_CANALS if lane.canals else _LEFT) - 1, _SIZE), _SIZE)
    sheet.words((_CANALS, base), cut(lane.canals, _LEFT - _CANALS - 1, _SIZE), _SIZE)
    for bar in lane.bars:
        left = scale.across(bar.since_us)
        right = max(scale.across(bar.until_us), left + _LEAST)
        _bar(sheet, lane.look, left, right, top + (_LANE - _BAR) / 2)
    sheet.words((WIDTH, base), lane.total, _SIZE, anchor="end")
    sheet.end()


def _bar(sheet: Drawing, look: str, left: Decimal, right: Decimal, top: Decimal) -> None:
    bottom = top + _BAR
    if look == "solid":
        sheet.shape(box(left, top, right, bottom), GREY)
        return
    sheet.shape(box(left, top, right, bottom), "#fff" if look == "hollow" else PALE, "0.2")
    if look == "striped":
        middle = (top + bottom) / 2
        sheet.line([(left, middle), (right, middle)], "0.5")


def _marks(sheet: Drawing, case: Case, known: Spent, scale: Scale, top: Decimal, low: Decimal) -> Decimal:
    """Draw incidents as triangles and what rang as rings, each with its letter; tell below what each was."""
    middle = top + _LANE / 2
    sheet.begin("marks")
    sheet.line([(Decimal(0), top), (WIDTH, top)], "0.1", colour=LINES)
    sheet.words((Decimal(0), top + Decimal("1.9")), "Incidents, what rang", _SIZE)
    for number, (mark, said, _) in enumerate(marks(case, known)):
        across, sign = scale.across(mark.at_us), _sign(number)
        if isinstance(mark.entry, Incident):
            sheet.shape([(across, middle - 1), (across + 1, middle + 1), (across - 1, middle + 1)], BLACK)
        else:
            sheet.ring((across, middle), Decimal("0.8"))
        sheet.words((across + Decimal("1.3"), middle + Decimal("0.8")), sign, _SIZE, bold=True)
        for row in folded(visible(full_stop(f"{sign} {moment(case, mark.at_us)} {said}")), letters(WIDTH, _SIZE)):
            low += _LANE
            sheet.words((Decimal(0), low), row, _SIZE)
    sheet.end()
    return low + 1


def _sign(number: int) -> str:
    """Give the letter of a mark: a to z, then aa, ab and so on."""
    before, here = divmod(number, len(_LETTERS))
    return (_sign(before - 1) if before else "") + _LETTERS[here]
