"""What a scan answers, by the kind of the question; lots as they are compared; expiries to the day."""

from __future__ import annotations

import datetime as dt
import json
from decimal import Decimal

import pytest

from stepper.facts.entries import Answer
from stepper.facts.record import written
from stepper.facts.sharing import read_value
from stepper.facts.values import Choice, Digits, Expiry, Scan, Size, Value
from stepper.kinds.shape import read_table
from stepper.kinds.stock import item_of, lot_of, size_of
from stepper.kinds.tables import Tables
from stepper.kinds.union import AnyQuestion
from stepper.kinds.words import year_first
from stepper.lines.refusal import Refusal
from stepper.lines.scans.scanned import Scanned
from tests.cases import Log
from tests.kinds.questions import ASKED, question
from tests.kinds.rules import said

FILE, CONE, BOX, HIBC = "02000000000015", "02000000000022", "02000000000039", "+A123BJC5D6E71G"
TABLES = read_table(
    Tables,
    {
        "item": [
            {
                "category": "file",
                "number": 54,
                "id": "orifice",
                "label": "Orifice file",
                "size": 25,
                "taper": 0.08,
                "codes": ["2000000000015", HIBC],
            },
            {
                "category": "cone",
                "number": 41,
                "id": "cone_35",
                "label": "Cones 35/.04",
                "size": 35,
                "taper": 0.04,
                "codes": [CONE],
            },
            {"category": "cone", "number": 42, "id": "cones", "label": "Cones", "codes": [BOX]},
        ],
    },
)
SCAN = Scanned("]d2...", FILE, "L5", Expiry(year=2028, month=5, day=31))
OF_FILE = Size(size=25, taper=Decimal("0.08"), stock=54)


@pytest.mark.parametrize(
    ("asked", "code", "value"),
    [
        (question("choice", among="item"), FILE, Choice(options=("orifice",))),
        (question("choice", among="file"), HIBC, Choice(options=("orifice",))),
        (question("choice", among="cone"), FILE, None),
        (question("choice", among="technique"), FILE, None),
        (question("choice", option=[{"id": "orifice", "label": "x"}]), FILE, None),
        (question("choice", among="item"), "02000000000046", None),
        (question("choice", among="item"), None, None),
        (question("size"), FILE, OF_FILE),
        (question("size"), CONE, Size(size=35, taper=Decimal("0.04"), stock=41)),
        (question("size"), BOX, None),
        (question("size"), None, None),
        (question("instrument"), CONE, None),
        (question("instrument"), None, None),
        (question("lot"), None, Scan(raw="]d2...", lot="L5", code=None)),
        (question("lot"), FILE, Scan(raw="]d2...", lot="L5", code=FILE)),
        (question("expiry"), None, Expiry(year=2028, month=5, day=31)),
    ],
)
def test_what_a_scan_answers(asked: AnyQuestion, code: str | None, value: Value | None):
    assert asked.from_scan(Scanned(SCAN.raw, code, SCAN.lot, SCAN.expiry), TABLES) == value


@pytest.mark.parametrize("kind", ["lot", "expiry"])
def test_what_a_code_does_not_say_is_not_answered(kind: str):
    assert question(kind).from_scan(Scanned("]E0...", FILE), TABLES) is None


def test_a_packet_tells_no_distance():
    assert question("instrument").from_scan(SCAN, TABLES) == Refusal(
        "Scan not taken: distance missing; type 0/54-0 at length or 0/54-1.5 for 1.5 mm short."
    )


@pytest.mark.parametrize("kind", ["number", "depth", "span", "date", "time", "digits", "text"])
def test_most_kinds_of_question_take_no_scan(kind: str):
    asked = next(one.question for one in ASKED.values() if one.question.kind == kind)
    assert asked.from_scan(SCAN, TABLES) is None


def test_an_item_is_found_by_any_of_its_codes():
    assert [item.id if (item := item_of(TABLES, code)) else None for code in (FILE, HIBC, CONE, "1", None)] == [
        "orifice",
        "orifice",
        "cone_35",
        None,
        None,
    ]
    assert size_of(None) is None


@pytest.mark.parametrize(
    ("value", "lot"),
    [
        (Digits(value="7003"), "7003"),
        (Scan(raw="]d2107003", lot="7003"), "7003"),
        (Scan(raw="]d210\x1d7"), "]d210<U+001D>7"),
        (Scan(raw="]d2", lot="A\u202e"), "A<U+202E>"),
    ],
)
def test_a_lot_is_its_packet_s_however_it_came(value: Digits | Scan, lot: str):
    assert lot_of(value) == lot
    assert question("lot").show(value, TABLES) == lot


@pytest.mark.parametrize("value", [Scan(raw="]d210L5", lot="L5", code=FILE), Expiry(year=2028, month=2, day=29)])
def test_values_come_back_from_json_as_they_went_in(value: Value):
    assert read_value(json.loads(json.dumps(written(value)))) == value


def test_old_sessions_are_read_as_before():
    assert read_value({"kind": "scan", "raw": "]d2"}) == Scan(raw="]d2")
    old = read_value({"kind": "expiry", "year": 2028, "month": 5})
    assert old == Expiry(year=2028, month=5)
    assert written(old) == {"kind": "expiry", "year": 2028, "month": 5}


@pytest.mark.parametrize("day", [0, 30, 32])
def test_an_expiry_has_a_day_that_there_is(day: int):
    with pytest.raises(ValueError, match="day is out of range"):
        Expiry(year=2028, month=2, day=day)


def test_an_expiry_is_written_year_first():
    assert year_first(Expiry(year=2028, month=5)) == "2028-05"
    assert year_first(Expiry(year=2028, month=5, day=4)) == "2028-05-04"
    assert question("expiry").show(Expiry(year=2028, month=5, day=4), TABLES) == "2028-05-04"


def sealed(set_up: Value, in_hand: Value) -> Log:
    log = Log()
    log.log(Answer, step="set_up", canal=0, row=1, values={"lot": set_up})
    log.log(Answer, step="sealing", canal=1, row=1, values={"sealer_lot": in_hand})
    return log


@pytest.mark.parametrize(
    ("set_up", "in_hand"),
    [
        (Digits(value="7003"), Scan(raw="]d2107003", lot="7003")),
        (Scan(raw="]C1107003", lot="7003"), Digits(value="7003")),
        (Scan(raw="]C1107003", lot="7003"), Scan(raw="]d217280531107003", lot="7003")),
        (Scan(raw="]d2"), Scan(raw="]d2")),
    ],
)
def test_a_scanned_lot_is_the_keyed_one(set_up: Value, in_hand: Value):
    assert said(sealed(set_up, in_hand), "sealer_lot_unknown") == []


def test_another_lot_is_named_as_it_stands_on_the_packet():
    log = sealed(Digits(value="7003"), Scan(raw="]d210L5", lot="L5"))
    ((_, _, text),) = said(log, "sealer_lot_unknown")
    assert text == "Sealer lot L5 is none of the lots that were set up today."


def expires(day: int | None) -> Log:
    log = Log()
    values = {"item": Choice(options=("edta_17",)), "expiry": Expiry(year=2026, month=3, day=day)}
    log.log(Answer, step="set_up", canal=0, row=1, values=values)
    assert log.case().today == dt.date(2026, 3, 2)
    return log


def test_the_alarm_goes_by_the_day():
    assert said(expires(None), "expired") == []
    assert said(expires(2), "expired") == []
    ((_, _, text),) = said(expires(1), "expired")
    assert "expired 2026-03-01" in text
