"""The protocol's tables of things and people: stock, solutions, techniques, teeth, reasons."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal, TypeVar

from pydantic import Field

from stepper.kinds.shape import SHOWABLE, Exact, Flag, Name, Sentence, Table, Taper, Unit, Whole

R = TypeVar("R")

Number = Annotated[Whole, Field(ge=1, le=999)]
Positive = Annotated[Exact, Field(gt=0)]
NotNegative = Annotated[Exact, Field(ge=0)]
Code = Annotated[str, Field(min_length=1, max_length=40, pattern=SHOWABLE)]


class Item(Table):
    """Anything with a stock number: the number is keyed wherever the thing is meant, so it is unique.

    `codes` are those that its packets carry: GTINs or HIBC primary codes, several where packs differ.
    """

    number: Number
    id: Name
    label: Sentence
    allergens: tuple[Name, ...] = ()
    codes: Annotated[tuple[Code, ...], Field(max_length=40)] = ()


class Solution(Item):
    """An irrigant. `family` is what clashes and the final rinse go by; `strength` is shown, such as `3 %`."""

    category: Literal["solution"]
    family: Name
    strength: Unit


class Needle(Item):
    """An irrigation needle, by its ISO 9626 gauge and its largest outside diameter in mm."""

    category: Literal["needle"]
    gauge: Annotated[Whole, Field(ge=18, le=34)]
    outside_diameter_max_mm: Positive


class Sealer(Item):
    """A root canal sealer, with the moisture it bears: the dryness options allowed, and how many mm may be damp.

    `working_min` is its working time in minutes, as the practice takes it from the manufacturer's leaflet.
    """

    category: Literal["sealer"]
    dryness: tuple[Name, ...]
    damp_max_mm: NotNegative = Decimal(0)
    working_min: Annotated[Exact, Field(gt=0, le=1440)] | None = None


class Cones(Item):
    """Obturating cones; of one size and taper (mm per mm) where each has a packet of its own."""

    category: Literal["cone"]
    size: Annotated[Whole, Field(ge=1, le=200)] | None = None
    taper: Taper | None = None


class File(Item):
    """A file in stock, by ISO 3630-1 size and taper (mm per mm), and the length of its cutting part.

    `diameters_mm` is for a file whose taper varies: [mm from the tip, mm wide], from the tip to the end of the cutting
    part; its `taper` is then only what it is called by. `for_gauging` marks the files that canals are gauged with.
    """

    category: Literal["file"]
    size: Annotated[Whole, Field(ge=1, le=200)]
    taper: Taper
    cutting_mm: Annotated[Exact, Field(gt=0, le=30)] = Decimal(16)
    for_gauging: Flag = False
    diameters_mm: Annotated[tuple[tuple[NotNegative, Positive], ...], Field(max_length=40)] = ()
    uses_max: Annotated[Whole, Field(ge=1)] | None = None


class Agent(Item):
    """A local anaesthetic. `source` names the column or label that the maxima come from."""

    category: Literal["agent"]
    mg_per_ml: Positive
    max_mg_per_kg: Positive | None = None
    max_mg: Positive | None = None
    strictly_below: Flag = False
    epinephrine_ug_per_ml: NotNegative
    epinephrine_max_ug: Positive | None = None
    cartridge_ml: Positive
    source: Sentence


class Material(Item):
    """A dressing, temporary or restorative material, or another thing with a lot."""

    category: Literal["material"]


AnyItem = Annotated[Solution | Needle | Sealer | Cones | File | Agent | Material, Field(discriminator="category")]


class Technique(Table):
    """A way of filling: what of the cone must be the master apical file's, and what the fit needs.

    `needs` are roles of the cone fit: `seat`, `tug_back`, `cone_image`. `seat_within_mm` is how far from length a cone
    may seat.
    """

    number: Number
    id: Name
    label: Sentence
    match: tuple[Literal["size", "taper"], ...]
    needs: tuple[Literal["seat", "tug_back", "cone_image"], ...]
    seat_within_mm: NotNegative


class Clash(Table):
    """Two families of solution that must not meet without a flush between; `source` says who found it."""

    a: Name
    b: Name
    flush: tuple[Name, ...]
    text: Sentence
    source: Sentence


class Tooth(Table):
    """What is usual for some teeth (FDI numbers): overall length in mm and number of canals, with their source."""

    teeth: tuple[str, ...]
    length_mm: Positive
    canals: Annotated[Whole, Field(ge=1, le=9)]
    source: Sentence


class Person(Table):
    """A person by number: nobody's name need be typed at the chair."""

    number: Number
    role: Literal["clinician", "assistant"]
    name: Sentence


class Reason(Table):
    """A reason for a departure, by number."""

    number: Number
    text: Sentence


class VoidReason(Table):
    """A reason for which a visit is declared void, by number."""

    number: Number
    text: Sentence


class Tables(Table):
    """All of them."""

    item: tuple[AnyItem, ...] = ()
    technique: tuple[Technique, ...] = ()
    clash: tuple[Clash, ...] = ()
    tooth: tuple[Tooth, ...] = ()
    person: tuple[Person, ...] = ()
    reason: tuple[Reason, ...] = ()
    void_reason: tuple[VoidReason, ...] = ()

    def by_id(self, item: str) -> AnyItem | None:
        """Give the item of that id."""
        return next((one for one in self.item if one.id == item), None)

    def file_of(self, number: int | None) -> File | None:
        """Give the file of a stock number; None where none was keyed or is there."""
        return next((one for one in self.item if isinstance(one, File) and one.number == number), None)

    def technique_of(self, technique: str) -> Technique | None:
        """Give the technique of that id."""
        return next((one for one in self.technique if one.id == technique), None)

    def of_tooth(self, step: str) -> bool:
        """Tell whether a step is asked once for the tooth. Only the whole protocol has steps."""
        raise NotImplementedError

    def rules_of(self, kind: type[R]) -> tuple[tuple[str, R], ...]:
        """Give the rules of a kind, each with its step. Only the whole protocol has steps."""
        raise NotImplementedError

    def usual(self, tooth: str) -> Tooth | None:
        """Give what is usual for a tooth."""
        return next((one for one in self.tooth if tooth in one.teeth), None)
