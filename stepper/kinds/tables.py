"""The protocol's tables of things and people: stock, solutions, techniques, teeth, reasons."""

from decimal import Decimal
from typing import Annotated, Literal, TypeVar

from msgspec import Meta

from stepper.kinds.shape import (
    INITIALS,
    SHOWABLE,
    Flag,
    Name,
    NotNegative,
    Positive,
    Sentence,
    Table,
    Taper,
    Unit,
    Whole,
)

R = TypeVar("R")

Number = Annotated[Whole, Meta(ge=1, le=999)]
Initials = Annotated[str, Meta(pattern=INITIALS)]
Code = Annotated[str, Meta(min_length=1, max_length=40, pattern=SHOWABLE)]


class WithinADay(Positive):
    """Minutes."""

    __slots__ = ()
    most = Decimal(1440)


class Cutting(Positive):
    """The length of a cutting part in mm."""

    __slots__ = ()
    most = Decimal(30)


class Item(Table, tag_field="category", kw_only=True, frozen=True):
    """Anything with a stock number: the number is keyed wherever the thing is meant, so it is unique.

    `codes` are those that its packets carry: GTINs or HIBC primary codes, several where packs differ.
    """

    number: Number
    id: Name
    label: Sentence
    allergens: tuple[Name, ...] = ()
    codes: Annotated[tuple[Code, ...], Meta(max_length=40)] = ()

    @property
    def category(self) -> str:
        """The word for its category."""
        return str(self.__struct_config__.tag)


class Solution(Item, tag="solution", frozen=True):
    """An irrigant. `family` is what clashes and the final rinse go by; `strength` is shown, such as `3 %`."""

    family: Name
    strength: Unit


class Needle(Item, tag="needle", frozen=True):
    """An irrigation needle, by its ISO 9626 gauge and its largest outside diameter in mm."""

    gauge: Annotated[Whole, Meta(ge=18, le=34)]
    outside_diameter_max_mm: Positive


class Sealer(Item, tag="sealer", kw_only=True, frozen=True):
    """A root canal sealer, with the moisture it bears: the dryness options allowed, and how many mm may be damp.

    `working_min` is its working time in minutes, as the practice takes it from the manufacturer's leaflet.
    """

    dryness: tuple[Name, ...]
    damp_max_mm: NotNegative = NotNegative(0)
    working_min: WithinADay | None = None


class Cones(Item, tag="cone", frozen=True):
    """Obturating cones; of one size and taper (mm per mm) where each has a packet of its own."""

    size: Annotated[Whole, Meta(ge=1, le=200)] | None = None
    taper: Taper | None = None


class File(Item, tag="file", frozen=True):
    """A file in stock, by ISO 3630-1 size and taper (mm per mm), and the length of its cutting part.

    `diameters_mm` is for a file whose taper varies: [mm from the tip, mm wide], from the tip to the end of the cutting
    part; its `taper` is then only what it is called by. `for_gauging` marks the files that canals are gauged with.
    """

    size: Annotated[Whole, Meta(ge=1, le=200)]
    taper: Taper
    cutting_mm: Cutting = Cutting(16)
    for_gauging: Flag = False
    diameters_mm: Annotated[tuple[tuple[NotNegative, Positive], ...], Meta(max_length=40)] = ()
    uses_max: Annotated[Whole, Meta(ge=1)] | None = None


class Agent(Item, tag="agent", kw_only=True, frozen=True):
    """A local anaesthetic. `source` names the column or label that the maxima come from."""

    mg_per_ml: Positive
    max_mg_per_kg: Positive | None = None
    max_mg: Positive | None = None
    strictly_below: Flag = False
    epinephrine_ug_per_ml: NotNegative
    epinephrine_max_ug: Positive | None = None
    cartridge_ml: Positive
    source: Sentence


class Material(Item, tag="material", frozen=True):
    """A dressing, temporary or restorative material, or another thing with a lot."""


AnyItem = Solution | Needle | Sealer | Cones | File | Agent | Material


class Technique(Table, frozen=True):
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


class Clash(Table, frozen=True):
    """Two families of solution that must not meet without a flush between; `source` says who found it."""

    a: Name
    b: Name
    flush: tuple[Name, ...]
    text: Sentence
    source: Sentence


class Tooth(Table, frozen=True):
    """What is usual for some teeth (FDI numbers): overall length in mm and number of canals, with their source."""

    teeth: tuple[str, ...]
    length_mm: Positive
    canals: Annotated[Whole, Meta(ge=1, le=9)]
    source: Sentence


class Person(Table, frozen=True):
    """A person by number: nobody's name need be typed at the chair. `initials` open a locked screen like the number."""

    number: Number
    role: Literal["clinician", "assistant"]
    name: Sentence
    initials: Initials | None = None


class Reason(Table, frozen=True):
    """A reason for a departure, by number."""

    number: Number
    text: Sentence


class VoidReason(Table, frozen=True):
    """A reason for which a visit is declared void, by number."""

    number: Number
    text: Sentence


class Tables(Table, frozen=True):
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
