"""Files, cones and distances as they are typed: `35/4-0`, `35-1.5`, `0/12-0.5`, `-1.5`.

A distance is told against the working length in mm: `-` short of it, `+` beyond it, `-0` at length. After a size
the sign is always typed, since `35/40` would otherwise be a taper or a distance.
"""

from __future__ import annotations

import re
from bisect import bisect
from collections.abc import Callable
from decimal import Decimal
from typing import Final, TypeAlias

from stepper.facts.values import Depth, Instrument, Size
from stepper.lines.refusal import Refusal, refuse
from stepper.sums.iso3630 import SIZES, is_iso_size, read_taper

MOST_MM: Final = Decimal(40)
"""A distance above this in mm is a slip: no root canal tooth is as long (common practice, no source)."""

Stock: TypeAlias = Callable[[int], Size | None]
"""Looks a stock number up: the size it stands for, or None where the stock has no such number. Where there is no stock
at all, none is taken."""

_FILE: Final = re.compile(r"(?P<first>[0-9]{1,3})(?:/(?P<second>[0-9]*\.?[0-9]*))?(?P<depth>[-+].*)?", re.DOTALL)
_DEPTH: Final = re.compile(r"(?P<sign>[-+])(?P<mm>[0-9]{1,3}(?:\.[0-9]{1,2})?|\.[0-9]{1,2})")
_AMOUNT: Final = re.compile(r"[0-9]{1,3}(\.[0-9]{1,4})?|\.[0-9]{1,4}")
_FILE_FORMS: Final = "type size, taper and distance as in 35/4-0"
_OR_STOCK: Final = ", or 0/12-0 for stock 12"
_STOCK_FORM: Final = "0 opens a stock number; type 0/12 for stock 12"
_SIZE_FORMS: Final = "type size and taper as in 35/4"
_OR_STOCKED: Final = ", or 0/12 for stock 12"


def depth(typed: str) -> Depth | Refusal:
    """Read a distance short of the working length in mm, its sign typed; `0` alone is at length."""
    plain = _plain(typed)
    if plain == "0":
        return Depth(short_mm=Decimal(0))
    if _AMOUNT.fullmatch(plain):
        return refuse(typed, f"sign missing; type -{plain} for {plain} mm short or +{plain} for {plain} mm beyond")
    short_mm = _read_distance(plain)
    return refuse(typed, short_mm) if isinstance(short_mm, str) else Depth(short_mm=short_mm)


def size(typed: str, fixed_taper: Decimal | None, stock: Stock | None) -> Size | Refusal:
    """Read a size with its taper in mm per mm; the taper may be left out only where `fixed_taper` is given."""
    parts = _FILE.fullmatch(_plain(typed))
    if parts is None:
        return refuse(typed, _SIZE_FORMS + (_OR_STOCKED if stock else ""))
    if parts["depth"]:
        return refuse(typed, f"no distance is asked here; {_SIZE_FORMS}{_OR_STOCKED if stock else ''}")
    found = _read_size(parts["first"], parts["second"], fixed_taper, stock)
    return refuse(typed, found) if isinstance(found, str) else found


def instrument(typed: str, fixed_taper: Decimal | None, stock: Stock | None) -> Instrument | Refusal:
    """Read a file with the distance of its tip short of the working length in mm, which is always typed."""
    plain = _plain(typed)
    parts = _FILE.fullmatch(plain)
    if parts is None:
        return refuse(typed, _FILE_FORMS + (_OR_STOCK if stock else ""))
    if parts["depth"] in (None, "-", "+"):
        return refuse(typed, _distance_missing(parts["first"], parts["second"], fixed_taper, stock))
    found = _read_size(parts["first"], parts["second"], fixed_taper, stock)
    if isinstance(found, str):
        return refuse(typed, found)
    short_mm = _read_distance(parts["depth"])
    if isinstance(short_mm, str):
        return refuse(typed, short_mm)
    return Instrument(size=found.size, taper=found.taper, short_mm=short_mm, stock=found.stock)


def _plain(typed: str) -> str:
    return typed.strip(" \t").replace(",", ".")


def _distance_missing(first: str, second: str | None, fixed_taper: Decimal | None, stock: Stock | None) -> str:
    if stock and int(first) == 0 and not second:
        return _STOCK_FORM
    file = f"{first}/{second}" if second else first
    if not second and fixed_taper is None:
        return f"taper and distance missing; type {file}/4-0 for taper .04 at length, {file}/4-1.5 for 1.5 mm short"
    return f"distance missing; type {file}-0 at length or {file}-1.5 for 1.5 mm short"


def _read_distance(signed: str) -> Decimal | str:
    """Read the distance short in mm, or what is wrong with it. Zero carries no sign."""
    parts = _DEPTH.fullmatch(signed)
    if parts is None:
        return "the distance is - or + and mm with at most two decimals, as in -0, -1.5 or +0.5"
    mm = Decimal(parts["mm"])
    if mm > MOST_MM:
        return f"a distance of {mm} mm is too far; at most {MOST_MM} mm, as in -1.5"
    if mm == 0:
        return Decimal(0)
    return mm if parts["sign"] == "-" else -mm


def _read_size(first: str, second: str | None, fixed_taper: Decimal | None, stock: Stock | None) -> Size | str:
    """Find the size typed or the one that a stock number stands for, or what is wrong with it."""
    number = int(first)
    if number == 0 and stock is not None:
        return _read_stock(second, stock)
    if not is_iso_size(number):
        return f"{number} is no ISO 3630-1 size; {_nearest(number)}"
    if second is None:
        if fixed_taper is None:
            return f"taper missing; type {number}/4 for taper .04"
        return Size(size=number, taper=fixed_taper)
    if not _AMOUNT.fullmatch(second):
        return f"taper unclear; type {number}/4 or {number}/.04 for taper .04"
    try:
        return Size(size=number, taper=read_taper(Decimal(second)))
    except ValueError as wrong:
        sentence = str(wrong).rstrip(".")
        return sentence[0].lower() + sentence[1:]


def _read_stock(second: str | None, stock: Stock) -> Size | str:
    if second is None or not re.fullmatch(r"[0-9]{1,4}", second):
        return _STOCK_FORM
    number = int(second)
    found = stock(number)
    if found is None:
        return f"stock has no file numbered {number}; type its size and taper as in 35/4"
    return Size(size=found.size, taper=found.taper, stock=number)


def _nearest(number: int) -> str:
    above = bisect(SIZES, number)
    if above == 0:
        return f"the smallest is {SIZES[0]}"
    if above == len(SIZES):
        return f"the largest is {SIZES[-1]}"
    return f"the nearest are {SIZES[above - 1]} and {SIZES[above]}"
