"""One question of each kind, what it takes and shows, and bad answers with the sentence each gets."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from stepper.facts.values import (
    Choice,
    Day,
    Depth,
    Digits,
    Expiry,
    Instrument,
    Number,
    Size,
    Span,
    Text,
    TimeOfDay,
    Value,
)
from stepper.kinds.shape import read_table
from stepper.kinds.tables import Tables
from stepper.kinds.union import AnyQuestion
from tests.lines.answers import (
    CONE,
    DATE,
    DISTANCE,
    EXPIRY,
    FILE,
    NUMBER,
    SPAN,
    STOCK_FORM,
    TAPER,
    TIME,
)

D = Decimal

TABLES = read_table(
    Tables,
    {
        "item": [
            {"category": "file", "number": 54, "id": "orifice", "label": "Orifice file", "size": 25, "taper": 0.08},
            {"category": "file", "number": 55, "id": "odd", "label": "Odd file", "size": 27, "taper": 0.045},
            {"category": "cone", "number": 41, "id": "cones", "label": "Cones"},
            {"category": "solution", "number": 3, "id": "saline", "label": "Saline", "family": "salt", "strength": "-"},
        ],
        "technique": [
            {"number": 2, "id": "cold", "label": "cold lateral", "match": [], "needs": [], "seat_within_mm": 1}
        ],
    },
)


def question(kind: str, **members: object) -> AnyQuestion:
    return read_table(AnyQuestion, {"id": "asked", "prompt": "Asked", "kind": kind, **members})  # type: ignore[type-var,return-value]


@dataclass(frozen=True)
class Asked:
    """`taken`: what is typed, the value, how it is shown. `bad`: what is typed, the sentence."""

    question: AnyQuestion
    hint: str
    taken: tuple[tuple[str, Value, str], ...]
    bad: tuple[tuple[str, str], ...]


SIDES = [{"id": "yes", "label": "yes, all"}, {"id": "no", "label": "no"}, {"id": "none", "label": "none seen"}]
NONE_OR_SOME = [
    {"id": "none", "label": "none known", "alone": True},
    {"id": "latex", "label": "latex"},
    {"id": "iodine", "label": "iodine"},
]
TOGETHER = "none known goes with no other; type it alone, or the others without it"
ONE, SOME = "type 1 to 3, one of them", "type 1 to 3, one or more joined by +"
STOCK = "type 1 to 55, one of them"
RANGE = "outside 5 to 40 mm; look again"

ASKED: dict[str, Asked] = {
    "choice": Asked(
        question("choice", option=SIDES),
        "a number",
        (
            ("1", Choice(options=("yes",)), "yes, all"),
            ("3", Choice(options=("none",)), "none seen"),
            (" 2 ", Choice(options=("no",)), "no"),
        ),
        (
            ("", f"Nothing typed: not a choice; {ONE}"),
            ("0", f"0: no choice 0; {ONE}"),
            ("4", f"4: no choice 4; {ONE}"),
            ("999", f"999: no choice 999; {ONE}"),
            ("1234", f"1234: not a choice; {ONE}"),
            ("1+2", f"1+2: one choice only; {ONE}"),
            ("1.5", f"1.5: not a choice; {ONE}"),
            ("-1", f"-1: not a choice; {ONE}"),
            ("yes", f"yes: not a choice; {ONE}"),
            ("1-2", f"1-2: not a choice; {ONE}"),
            ("１", f"１: not a choice; {ONE}"),
        ),
    ),
    "choice of several": Asked(
        question("choice", option=SIDES, many=True),
        "numbers, joined by +",
        (
            ("1", Choice(options=("yes",)), "yes, all"),
            ("3+1", Choice(options=("none", "yes")), "none seen, yes, all"),
        ),
        (
            ("", f"Nothing typed: not a choice; {SOME}"),
            ("4", f"4: no choice 4; {SOME}"),
            ("1+4", f"1+4: no choice 4; {SOME}"),
            ("0+1", f"0+1: no choice 0; {SOME}"),
            ("1+", f"1+: not a choice; {SOME}"),
            ("+1", f"+1: not a choice; {SOME}"),
            ("1++2", f"1++2: not a choice; {SOME}"),
            ("1,2", f"1,2: not a choice; {SOME}"),
            ("12", f"12: no choice 12; {SOME}"),
            ("2+2", "2+2: 2 is typed twice; type each choice once"),
            ("1*2", f"1*2: not a choice; {SOME}"),
        ),
    ),
    "choice with an option that goes alone": Asked(
        question("choice", option=NONE_OR_SOME, many=True),
        "numbers, joined by +",
        (
            ("1", Choice(options=("none",)), "none known"),
            ("2", Choice(options=("latex",)), "latex"),
            ("3+2", Choice(options=("iodine", "latex")), "iodine, latex"),
        ),
        (
            ("1+2", f"1+2: {TOGETHER}"),
            ("2+1", f"2+1: {TOGETHER}"),
            ("3+1", f"3+1: {TOGETHER}"),
            ("1+2+3", f"1+2+3: {TOGETHER}"),
            ("2+3+1", f"2+3+1: {TOGETHER}"),
            (" 1+3 ", f"1+3: {TOGETHER}"),
            ("1+1", "1+1: 1 is typed twice; type each choice once"),
            ("1+4", f"1+4: no choice 4; {SOME}"),
            ("0", f"0: no choice 0; {SOME}"),
            ("", f"Nothing typed: not a choice; {SOME}"),
        ),
    ),
    "choice among the stock": Asked(
        question("choice", among="item"),
        "a number",
        (
            ("54", Choice(options=("orifice",)), "Orifice file"),
            ("3", Choice(options=("saline",)), "Saline"),
            ("041", Choice(options=("cones",)), "Cones"),
        ),
        (
            ("", f"Nothing typed: not a choice; {STOCK}"),
            ("1", "1: there is no 1; type one of 54, 55, 41, 3"),
            ("53", "53: there is no 53; type one of 54, 55, 41, 3"),
            ("56", f"56: no choice 56; {STOCK}"),
            ("0", f"0: no choice 0; {STOCK}"),
            ("54+41", f"54+41: one choice only; {STOCK}"),
            ("0/54", f"0/54: not a choice; {STOCK}"),
            ("-54", f"-54: not a choice; {STOCK}"),
            ("54.", f"54.: not a choice; {STOCK}"),
            ("saline", f"saline: not a choice; {STOCK}"),
        ),
    ),
    "number": Asked(
        question("number", unit="mm", least=5, most=40),
        "mm, 5 to 40",
        (
            ("20.5", Number(value=D("20.5")), "20.5 mm"),
            ("20,5", Number(value=D("20.5")), "20.5 mm"),
            ("20.50", Number(value=D("20.50")), "20.50 mm"),
            ("5", Number(value=D(5)), "5 mm"),
            ("40.0", Number(value=D("40.0")), "40.0 mm"),
        ),
        (
            ("", f"Nothing typed: {NUMBER}"),
            ("4.9", f"4.9: {RANGE}"),
            ("40.1", f"40.1: {RANGE}"),
            ("205", f"205: {RANGE}"),
            ("0", f"0: {RANGE}"),
            ("20.55", "20.55: one decimal at most"),
            ("-20.5", "-20.5: no sign here; type 20.5"),
            ("20.5.1", f"20.5.1: {NUMBER}"),
            ("2e1", f"2e1: {NUMBER}"),
            ("nan", f"nan: {NUMBER}"),
            ("20 mm", f"20 mm: {NUMBER}"),
            ("1234567890", "1234567890: too long; a number has at most 9 digits"),
        ),
    ),
    "number, whole": Asked(
        question("number", least=1, most=16, decimals=0),
        "1 to 16",
        (("1", Number(value=D(1)), "1"), ("16", Number(value=D(16)), "16"), ("2.0", Number(value=D("2.0")), "2.0")),
        (
            ("", f"Nothing typed: {NUMBER}"),
            ("0", "0: outside 1 to 16; look again"),
            ("17", "17: outside 1 to 16; look again"),
            ("1.5", "1.5: whole numbers only"),
            ("0.5", "0.5: outside 1 to 16; look again"),
            ("+3", "+3: no sign here; type 3"),
            ("1/2", f"1/2: {NUMBER}"),
            ("1+2", f"1+2: {NUMBER}"),
            ("two", f"two: {NUMBER}"),
            ("3.", f"3.: {NUMBER}"),
        ),
    ),
    "number, hundredths": Asked(
        question("number", unit="mL", least=0.1, most=10, decimals=2),
        "mL, 0.1 to 10",
        (("0.1", Number(value=D("0.1")), "0.1 mL"), ("1.75", Number(value=D("1.75")), "1.75 mL")),
        (
            ("0", "0: outside 0.1 to 10 mL; look again"),
            ("0.09", "0.09: outside 0.1 to 10 mL; look again"),
            ("10.01", "10.01: outside 0.1 to 10 mL; look again"),
            ("1.755", "1.755: two decimals at most"),
            ("18", "18: outside 0.1 to 10 mL; look again"),
            ("1.8.", f"1.8.: {NUMBER}"),
            ("-1", "-1: no sign here; type 1"),
            (".", f".: {NUMBER}"),
            ("1_0", f"1_0: {NUMBER}"),
            ("∞", f"∞: {NUMBER}"),
        ),
    ),
    "instrument": Asked(
        question("instrument"),
        "35/4-0 at length, 35/4-1.5 short",
        (
            ("35/4-0", Instrument(size=35, taper=D("0.04"), short_mm=D(0)), "35/.04 at length"),
            ("08/2-1.5", Instrument(size=8, taper=D("0.02"), short_mm=D("1.5")), "08/.02 1.5 mm short"),
            ("10/.02+1", Instrument(size=10, taper=D("0.02"), short_mm=D(-1)), "10/.02 1 mm beyond"),
            ("0/54-6", Instrument(size=25, taper=D("0.08"), short_mm=D(6), stock=54), "25/.08 6 mm short"),
            ("0/55-0", Instrument(size=27, taper=D("0.045"), short_mm=D(0), stock=55), "27/.045 at length"),
        ),
        (
            ("", f"Nothing typed: {FILE}"),
            ("35", "35: taper and distance missing; type 35/4-0 for taper .04 at length, 35/4-1.5 for 1.5 mm short"),
            ("35/4", "35/4: distance missing; type 35/4-0 at length or 35/4-1.5 for 1.5 mm short"),
            ("35-1.5", "35-1.5: taper missing; type 35/4 for taper .04"),
            ("44/4-0", "44/4-0: 44 is no ISO 3630-1 size; the nearest are 40 and 45"),
            ("35/40-0", f"35/40-0: taper 40 {TAPER}"),
            ("35/4--1", f"35/4--1: {DISTANCE}"),
            ("35/4-50", "35/4-50: a distance of 50 mm is too far; at most 40 mm, as in -1.5"),
            ("0/41-0", "0/41-0: stock has no file numbered 41; type its size and taper as in 35/4"),
            ("0/99-0", "0/99-0: stock has no file numbered 99; type its size and taper as in 35/4"),
            ("0-0", f"0-0: {STOCK_FORM}"),
            ("file", f"file: {FILE}"),
        ),
    ),
    "instrument, taper fixed": Asked(
        question("instrument", fixed_taper=0.02),
        "30-0 at length, 35-1.5 short",
        (
            ("30-0", Instrument(size=30, taper=D("0.02"), short_mm=D(0)), "30/.02 at length"),
            ("30/4-0", Instrument(size=30, taper=D("0.04"), short_mm=D(0)), "30/.04 at length"),
        ),
        (
            ("30", "30: distance missing; type 30-0 at length or 30-1.5 for 1.5 mm short"),
            ("30-", "30-: distance missing; type 30-0 at length or 30-1.5 for 1.5 mm short"),
            ("44-", "44-: distance missing; type 44-0 at length or 44-1.5 for 1.5 mm short"),
            ("44-0", "44-0: 44 is no ISO 3630-1 size; the nearest are 40 and 45"),
            ("150-0", "150-0: 150 is no ISO 3630-1 size; the largest is 140"),
            ("30/-0", "30/-0: taper unclear; type 30/4 or 30/.04 for taper .04"),
            ("30-1.255", f"30-1.255: {DISTANCE}"),
            ("-0", f"-0: {FILE}"),
            ("", f"Nothing typed: {FILE}"),
            ("0", f"0: {STOCK_FORM}"),
        ),
    ),
    "size": Asked(
        question("size"),
        "size/taper, both from the packet or the handle",
        (
            ("35/4", Size(size=35, taper=D("0.04")), "35/.04"),
            ("35/.06", Size(size=35, taper=D("0.06")), "35/.06"),
            ("0/54", Size(size=25, taper=D("0.08"), stock=54), "25/.08"),
        ),
        (
            ("", f"Nothing typed: {CONE}"),
            ("35", "35: taper missing; type 35/4 for taper .04"),
            ("35/", "35/: taper unclear; type 35/4 or 35/.04 for taper .04"),
            ("35/4-0", f"35/4-0: no distance is asked here; {CONE}"),
            ("36/4", "36/4: 36 is no ISO 3630-1 size; the nearest are 35 and 40"),
            ("35/0", f"35/0: taper 0 {TAPER}"),
            ("35/13", f"35/13: taper 13 {TAPER}"),
            ("0/41", "0/41: stock has no file numbered 41; type its size and taper as in 35/4"),
            ("0", f"0: {STOCK_FORM}"),
            ("-35/4", f"-35/4: {CONE}"),
            ("cone", f"cone: {CONE}"),
        ),
    ),
    "depth": Asked(
        question("depth"),
        "-1.5 short, 0 at length, +1 beyond",
        (
            ("-1.5", Depth(short_mm=D("1.5")), "1.5 mm short"),
            ("+1", Depth(short_mm=D(-1)), "1 mm beyond"),
            ("0", Depth(short_mm=D(0)), "at length"),
            ("-0", Depth(short_mm=D(0)), "at length"),
            ("-2.00", Depth(short_mm=D("2.00")), "2 mm short"),
        ),
        (
            ("", f"Nothing typed: {DISTANCE}"),
            ("1.5", "1.5: sign missing; type -1.5 for 1.5 mm short or +1.5 for 1.5 mm beyond"),
            ("-", f"-: {DISTANCE}"),
            ("--1", f"--1: {DISTANCE}"),
            ("-1.", f"-1.: {DISTANCE}"),
            ("-1.255", f"-1.255: {DISTANCE}"),
            ("-41", "-41: a distance of 41 mm is too far; at most 40 mm, as in -1.5"),
            ("35-1", f"35-1: {DISTANCE}"),
            ("-1+1", f"-1+1: {DISTANCE}"),
            ("-one", f"-one: {DISTANCE}"),
            ("*", f"*: {DISTANCE}"),
        ),
    ),
    "span": Asked(
        question("span"),
        "seconds, or minutes.seconds",
        (
            ("90", Span(seconds=90), "90 s"),
            ("1.30", Span(seconds=90), "90 s"),
            ("0", Span(seconds=0), "0 s"),
        ),
        (
            ("", f"Nothing typed: {SPAN}"),
            ("1.3", f"1.3: seconds after the point are two digits; {SPAN}"),
            ("1.60", f"1.60: seconds after the point are 00 to 59; {SPAN}"),
            ("-30", f"-30: {SPAN}"),
            ("1.30.00", f"1.30.00: {SPAN}"),
            ("1:30", f"1:30: {SPAN}"),
            ("30s", f"30s: {SPAN}"),
            (".30", f".30: {SPAN}"),
            ("86401", "86401: longer than a day; at most 86400 seconds"),
            ("1/30", f"1/30: {SPAN}"),
        ),
    ),
    "date": Asked(
        question("date"),
        "day.month.year",
        (
            ("3.11.2026", Day(value=dt.date(2026, 11, 3)), "2026-11-03"),
            ("29.2.2028", Day(value=dt.date(2028, 2, 29)), "2028-02-29"),
        ),
        (
            ("", f"Nothing typed: {DATE}"),
            ("3.11.26", f"3.11.26: {DATE}"),
            ("3.11", f"3.11: {DATE}"),
            ("2026.11.3", f"2026.11.3: {DATE}"),
            ("31.11.2026", "31.11.2026: no day 31; month 11 of 2026 has days 1 to 30"),
            ("29.2.2027", "29.2.2027: no day 29; month 2 of 2027 has days 1 to 28"),
            ("0.11.2026", "0.11.2026: no day 0; month 11 of 2026 has days 1 to 30"),
            ("3.13.2026", "3.13.2026: no month 13; day first, then month 1 to 12, as in 3.4.2026"),
            ("3.11.1026", "3.11.1026: the year is from 1900 to 2099"),
            ("3-11-2026", f"3-11-2026: {DATE}"),
            ("today", f"today: {DATE}"),
        ),
    ),
    "expiry": Asked(
        question("expiry"),
        "month.year, as 11.2027",
        (
            ("11.2027", Expiry(year=2027, month=11), "2027-11"),
            ("4,2027", Expiry(year=2027, month=4), "2027-04"),
        ),
        (
            ("", f"Nothing typed: {EXPIRY}"),
            ("11.27", f"11.27: {EXPIRY}"),
            ("2027.11", f"2027.11: {EXPIRY}"),
            ("30.11.2027", f"30.11.2027: {EXPIRY}"),
            ("112027", f"112027: {EXPIRY}"),
            ("11/2027", f"11/2027: {EXPIRY}"),
            ("0.2027", "0.2027: no month 0; month 1 to 12 comes first, as in 4.2027"),
            ("13.2027", "13.2027: no month 13; month 1 to 12 comes first, as in 4.2027"),
            ("11.1999", "11.1999: the year of an expiry is from 2000 to 2099"),
            ("11.2100", "11.2100: the year of an expiry is from 2000 to 2099"),
            ("never", f"never: {EXPIRY}"),
        ),
    ),
    "time": Asked(
        question("time"),
        "hour.minute, as 14.05",
        (
            ("14.05", TimeOfDay(hour=14, minute=5), "14:05"),
            ("9.05", TimeOfDay(hour=9, minute=5), "09:05"),
            ("0.00", TimeOfDay(hour=0, minute=0), "00:00"),
        ),
        (
            ("", f"Nothing typed: {TIME}"),
            ("14", f"14: {TIME}"),
            ("14.5", f"14.5: {TIME}"),
            ("14:05", f"14:05: {TIME}"),
            ("1405", f"1405: {TIME}"),
            ("24.00", "24.00: no hour 24; hours are 0 to 23, as in 14.30"),
            ("14.60", "14.60: no minute 60; minutes are 00 to 59, as in 14.30"),
            ("14.05.30", f"14.05.30: {TIME}"),
            ("-1.05", f"-1.05: {TIME}"),
            ("noon", f"noon: {TIME}"),
        ),
    ),
    "digits": Asked(
        question("digits", least=2, most=4),
        "2 to 4 digits",
        (
            ("36", Digits(value="36"), "36"),
            ("0042", Digits(value="0042"), "0042"),
        ),
        (
            ("", "Nothing typed: digits only; type 2 to 4 digits"),
            ("3", "3: 1 digit typed; type 2 to 4 digits"),
            ("12345", "12345: 5 digits typed; type 2 to 4 digits"),
            ("3.6", "3.6: digits only; type 2 to 4 digits"),
            ("3,6", "3,6: digits only; type 2 to 4 digits"),
            ("3 6", "3 6: digits only; type 2 to 4 digits"),
            ("-36", "-36: digits only; type 2 to 4 digits"),
            ("3/6", "3/6: digits only; type 2 to 4 digits"),
            ("UL6", "UL6: digits only; type 2 to 4 digits"),
            ("٣٦", "٣٦: digits only; type 2 to 4 digits"),
        ),
    ),
    "digits, as many as that": Asked(
        question("digits", least=2, most=2),
        "2 digits",
        (("11", Digits(value="11"), "11"),),
        (
            ("", "Nothing typed: digits only; type 2 digits"),
            ("1", "1: 1 digit typed; type 2 digits"),
            ("111", "111: 3 digits typed; type 2 digits"),
            ("1.1", "1.1: digits only; type 2 digits"),
            ("1*1", "1*1: digits only; type 2 digits"),
            ("+1", "+1: digits only; type 2 digits"),
            ("1-", "1-: digits only; type 2 digits"),
            ("1e", "1e: digits only; type 2 digits"),
            ("²³", "²³: digits only; type 2 digits"),
            ("11\n", "11<U+000A>: digits only; type 2 digits"),
        ),
    ),
    "lot": Asked(
        question("lot"),
        "scan it, or key the number on it",
        (("7001", Digits(value="7001"), "7001"),),
        (
            ("", "Nothing typed: digits only; type 1 to 20 digits"),
            ("1" * 21, f"{'1' * 21}: 21 digits typed; type 1 to 20 digits"),
            ("7 001", "7 001: digits only; type 1 to 20 digits"),
            ("7.001", "7.001: digits only; type 1 to 20 digits"),
            ("-7", "-7: digits only; type 1 to 20 digits"),
            ("LOT7", "LOT7: digits only; type 1 to 20 digits"),
            ("7/1", "7/1: digits only; type 1 to 20 digits"),
            ("7+1", "7+1: digits only; type 1 to 20 digits"),
            ("7\x1d1", "7<U+001D>1: digits only; type 1 to 20 digits"),
            ("d2]7", "d2]7: digits only; type 1 to 20 digits"),
            ("]d2107001", "]d2107001: digits only; type 1 to 20 digits"),
        ),
    ),
    "text": Asked(
        question("text"),
        "words",
        (
            ("pain at night", Text(value="pain at night"), "pain at night"),
            ("x" * 500, Text(value="x" * 500), "x" * 500),
        ),
        (
            ("", "Nothing typed: type at least one character"),
            ("   ", "Nothing typed: type at least one character"),
            ("x" * 501, f"{'x' * 40}...: 501 characters typed; at most 500"),
            ("a\nb", "a<U+000A>b: <U+000A> at place 2 has no shape to show; type the text without it"),
            ("\x1b[31m", "<U+001B>[31m: <U+001B> at place 1 has no shape to show; type the text without it"),
            ("a\x00", "a<U+0000>: <U+0000> at place 2 has no shape to show; type the text without it"),
            ("\ud800", "<U+D800>: <U+D800> at place 1 has no shape to show; type the text without it"),
            ("\u202ea", "<U+202E>a: <U+202E> at place 1 has no shape to show; type the text without it"),
            ("a\u2029", "a<U+2029>: <U+2029> at place 2 has no shape to show; type the text without it"),
            ("\ufffe", "<U+FFFE>: <U+FFFE> at place 1 has no shape to show; type the text without it"),
        ),
    ),
}
