"""A second visit after a first, as typed entries: what is carried over is logged as the program logs it."""

from __future__ import annotations

from decimal import Decimal

from stepper.case.carry import carry
from stepper.facts.carried import CarriedCanal, Previous
from stepper.facts.entries import Carried
from stepper.facts.record import read_as, written
from stepper.facts.values import Choice
from tests.case.visit import Visit, at_access
from tests.cases import Log, examined, opened

PREVIOUS = Previous(sid="the-first-visit", head="f" * 64)
CUSP = Choice(options=("mesiobuccal_cusp",))


def begun(*canals: CarriedCanal, **header: str) -> Visit:
    """A second visit in which nothing was keyed yet."""
    visit = Visit(previous=PREVIOUS, **header)  # type: ignore[arg-type]
    for canal in canals:
        visit.log(Carried, **written(canal))
    return visit


def after(first: Log, canals: str = "mb+ml+d") -> Visit:
    """A second visit after a first, in which the tooth is open again."""
    visit = begun(*carry(first.case()))
    opened(examined(visit), canals)
    return visit


def dressed(*, master: str = "35/4", reference: str = "mesiobuccal_cusp", canals: tuple[int, ...] = (1,)) -> Visit:
    """A first visit in which canals were shaped from a reference point and dressed."""
    visit = at_access()
    for canal in canals:
        visit.shape(master=master, canal=canal)
        visit.answer("length", canal, 1, reference=reference)
        visit.answer("dressing", canal, material="calcium_hydroxide", pellet="cotton")
    return visit


def brought(**members: object) -> CarriedCanal:
    """One canal as it is carried over: shaped to 35/.04 at 20.5 mm from the mesiobuccal cusp, and dressed."""
    usual: dict[str, object] = {
        "canal": 1,
        "name": "MB",
        "outcome": "dressed",
        "length": {"mm": "20.5", "of": 20},
        "reference": {"value": written(CUSP), "of": 21},
        "files": [file(25), file(35)],
        "master": {"size": 35, "taper": "0.04", "of": 30},
    }
    return read_as(CarriedCanal, {**usual, **members})


def file(size: int, absolute: str | None = "20.5", **members: object) -> dict[str, object]:
    """A carried file of taper .04 that was cut, with its tip so many mm from the reference point."""
    short = Decimal("20.5") - Decimal(absolute) if absolute is not None else Decimal(0)
    return {
        "size": size,
        "taper": "0.04",
        "short_mm": short,
        "absolute_mm": absolute,
        "purpose": "cut",
        "of": 22,
        **members,
    }


def confirmed(visit: Visit, mm: str = "20.5", canal: int = 1) -> Visit:
    """The length agreed today, then rinsed, dried and fitted with the cone of the carried master apical file."""
    visit.agree(mm, canal)
    visit.rinse(canal=canal)
    visit.finish(canal)
    return visit
