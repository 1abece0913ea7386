"""What was read: files by their diameters, readings by how a file went, and how exactly each is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from functools import cached_property, lru_cache
from itertools import pairwise

from stepper.sums import iso3630


@dataclass(frozen=True)
class Model:
    """How exactly things are known, in mm; all of it a setting.

    `read_error_mm`: a stop read on the ruler, either way (common practice, no source). `tolerance_mm` up to size 60 and
    `tolerance_over_60_mm` above it: a file's diameter, either way (ISO 3630-1:1992, from memory). `span_mm`: how far up
    from length is reckoned.
    """

    read_error_mm: Decimal = Decimal("0.3")
    tolerance_mm: Decimal = Decimal("0.02")
    tolerance_over_60_mm: Decimal = Decimal("0.04")
    span_mm: Decimal = Decimal(16)

    def __post_init__(self) -> None:
        errors = (self.read_error_mm, self.tolerance_mm, self.tolerance_over_60_mm)
        if not all(error.is_finite() and error >= 0 for error in errors):
            raise ValueError("An error or a tolerance is 0 mm or more.")
        # A file in question is compared over the apical 3 mm, so less than those cannot be what is reckoned.
        if not (self.span_mm.is_finite() and 3 <= self.span_mm <= 40):
            raise ValueError(f"{self.span_mm} mm is not allowed: 3 to 40 mm from length are reckoned.")

    def tolerance_of(self, tool: Tool) -> Decimal:
        """Return the tolerance either way of a file's diameter in mm."""
        return self.tolerance_mm if tool.size <= 60 else self.tolerance_over_60_mm


@dataclass(frozen=True)
class Tool:
    """A file by its nominal diameters: corners (mm from the tip, mm wide), straight between them.

    A file of constant taper has two; one of variable taper has the table of its stock entry.
    """

    name: str
    size: int
    diameters: tuple[tuple[Decimal, Decimal], ...]

    def __post_init__(self) -> None:
        places, widths = [x for x, _ in self.diameters], [width for _, width in self.diameters]
        figures = [*places, *widths]
        if len(places) < 2 or not all(figure.is_finite() for figure in figures) or places[0] != 0:
            raise ValueError(f"{self.name}: a table of diameters needs two places or more, the first 0 mm at the tip.")
        if any(b <= a for a, b in pairwise(places)):
            raise ValueError(f"{self.name}: the places in a table of diameters have to increase from the tip.")
        if widths[0] <= 0 or any(b < a for a, b in pairwise(widths)):
            raise ValueError(f"{self.name}: diameters have to be above 0 mm and may not decrease from the tip.")

    def __hash__(self) -> int:
        return hash((self.name, self.size))  # the diameters go by these, and take long to hash

    @property
    def cutting_mm(self) -> Decimal:
        """The length of the cutting part in mm."""
        return self.diameters[-1][0]

    @property
    def tip_mm(self) -> Decimal:
        """The diameter projected to the tip, in mm."""
        return self.diameters[0][1]


@lru_cache(maxsize=1024)
def straight(size: int, taper: Decimal, cutting_mm: Decimal = iso3630.CUTTING_MM) -> Tool:
    """Return a file of constant taper (mm per mm), D(x) = D0 + taper * x (ISO 3630-1).

    Raises:
        ValueError: a size, taper or cutting part that is not above 0.

    """
    if not (taper.is_finite() and taper > 0):
        raise ValueError(f"Taper {taper} is not allowed: a gauging sum needs a taper above 0.")
    if not (cutting_mm.is_finite() and cutting_mm > 0):
        raise ValueError(f"A cutting part of {cutting_mm} mm is not allowed: it is above 0 mm.")
    tip = iso3630.tip_mm(size)
    return Tool(iso3630.name(size, taper), size, ((Decimal(0), tip), (cutting_mm, tip + taper * cutting_mm)))


class How(StrEnum):
    """How a file went: it cut there, it went there loosely, it was held there, or it was and files have cut since."""

    CUT = "cut"
    PASSED = "passed"
    STOPPED = "stopped"
    FREED = "freed"


@dataclass(frozen=True)
class Reading:
    """A file, how it went, and how far short of length its tip was read, in mm (0: at length)."""

    tool: Tool
    how: How
    short_mm: Decimal

    def __post_init__(self) -> None:
        if not self.short_mm.is_finite() or self.short_mm < 0:
            raise ValueError(f"{self.tool.name}: {self.short_mm} mm short is not allowed; it is 0 mm or more.")

    @cached_property
    def name(self) -> str:
        """The file with where it was: 35/.02-0.5; at length, of a file that was never held, the file alone."""
        if self.short_mm == 0 and self.how in (How.CUT, How.PASSED):
            return self.tool.name
        text = f"{self.short_mm:f}"
        return f"{self.tool.name}-{text.rstrip('0').rstrip('.') if '.' in text else text}"

    @property
    def held(self) -> bool:
        """Whether it was held in the canal as it is, and so touches the wall somewhere."""
        return self.how is How.STOPPED

    @property
    def at_length(self) -> bool:
        """Whether it was read at length."""
        return self.short_mm == 0

    def proves_from_mm(self, model: Model) -> Decimal:
        """Return how far from length the tip was for certain: there and coronally the canal is as wide as the file.

        A file that went to length without being held counts from length; one that was held there may have rested short
        of it by the reading error, whatever was cut since.
        """
        to_length = self.at_length and self.how in (How.CUT, How.PASSED)
        return Decimal(0) if to_length else self.short_mm + model.read_error_mm

    def rests_from_mm(self, model: Model) -> Decimal:
        """Return how near to length the tip of a file that was held may have rested."""
        return max(self.short_mm - model.read_error_mm, Decimal(0))


def gauged_size(readings: Sequence[Reading]) -> int | None:
    """Return the size of the largest file that was read at length, None where none was."""
    return max((one.tool.size for one in readings if one.at_length), default=None)
