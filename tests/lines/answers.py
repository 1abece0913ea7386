"""What each field parser takes, and bad answers with the sentence each gets."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from decimal import Decimal

from stepper.facts.values import Day, Depth, Digits, Expiry, Instrument, Number, Size, Span, Text, TimeOfDay
from stepper.lines import fields
from stepper.lines.fields import Refusal

D = Decimal
STOCK = {12: Size(size=25, taper=D("0.06")), 3: Size(size=35, taper=D("0.04"), stock=3)}


def free(typed: str) -> Instrument | Refusal:
    return fields.instrument(typed, None, STOCK.get)


def fixed(typed: str) -> Instrument | Refusal:
    return fields.instrument(typed, D("0.02"), STOCK.get)


def cone(typed: str) -> Size | Refusal:
    return fields.size(typed, None, STOCK.get)


def fixed_size(typed: str) -> Size | Refusal:
    return fields.size(typed, D("0.02"), STOCK.get)


def one_of_four(typed: str) -> tuple[int, ...] | Refusal:
    return fields.choice(typed, 4, many=False)


def some_of_twelve(typed: str) -> tuple[int, ...] | Refusal:
    return fields.choice(typed, 12, many=True)


def patient(typed: str) -> Digits | Refusal:
    return fields.digits(typed, 4, 8)


def file(size: int, taper: str, short_mm: str, stock: int | None = None) -> Instrument:
    return Instrument(size=size, taper=D(taper), short_mm=D(short_mm), stock=stock)


TAKEN: list[tuple[Callable[[str], object], str, object]] = [
    (fields.number, "20.5", Number(value=D("20.5"))),
    (fields.number, "20,5", Number(value=D("20.5"))),
    (fields.number, " 3 ", Number(value=D(3))),
    (fields.number, ".5", Number(value=D("0.5"))),
    (fields.number, "0", Number(value=D(0))),
    (fields.number, "123456789", Number(value=D(123456789))),
    (one_of_four, "1", (1,)),
    (one_of_four, "4", (4,)),
    (some_of_twelve, "1+3", (1, 3)),
    (some_of_twelve, "12+1+3", (12, 1, 3)),
    (some_of_twelve, "2", (2,)),
    (free, "35/4-0", file(35, "0.04", "0")),
    (free, "35/4-1.5", file(35, "0.04", "1.5")),
    (free, "35/4-1,5", file(35, "0.04", "1.5")),
    (free, "35/.04+0.5", file(35, "0.04", "-0.5")),
    (free, "35/0.04-.5", file(35, "0.04", "0.5")),
    (free, "25/4.5-2", file(25, "0.045", "2")),
    (free, "008/2-0", file(8, "0.02", "0")),
    (free, "140/2-0", file(140, "0.02", "0")),
    (free, "0/12-0.5", file(25, "0.06", "0.5", stock=12)),
    (free, "0/3+1", file(35, "0.04", "-1", stock=3)),
    (free, "30/2-0.0", file(30, "0.02", "0")),
    (fixed, "35-1.5", file(35, "0.02", "1.5")),
    (fixed, "35-0", file(35, "0.02", "0")),
    (fixed, "40/4-0", file(40, "0.04", "0")),
    (fixed, "0/12-0", file(25, "0.06", "0", stock=12)),
    (cone, "35/4", Size(size=35, taper=D("0.04"))),
    (cone, "35/.04", Size(size=35, taper=D("0.04"))),
    (cone, "0/12", Size(size=25, taper=D("0.06"), stock=12)),
    (fixed_size, "35", Size(size=35, taper=D("0.02"))),
    (fields.depth, "-1.5", Depth(short_mm=D("1.5"))),
    (fields.depth, "+1", Depth(short_mm=D(-1))),
    (fields.depth, "-0", Depth(short_mm=D(0))),
    (fields.depth, "0", Depth(short_mm=D(0))),
    (fields.depth, "-40", Depth(short_mm=D(40))),
    (fields.date, "3.4.2026", Day(value=dt.date(2026, 4, 3))),
    (fields.date, "03,04,2026", Day(value=dt.date(2026, 4, 3))),
    (fields.date, "29.2.2028", Day(value=dt.date(2028, 2, 29))),
    (fields.expiry, "4.2027", Expiry(year=2027, month=4)),
    (fields.expiry, "12.2026", Expiry(year=2026, month=12)),
    (fields.time, "9.05", TimeOfDay(hour=9, minute=5)),
    (fields.time, "23.59", TimeOfDay(hour=23, minute=59)),
    (fields.time, "0.00", TimeOfDay(hour=0, minute=0)),
    (fields.span, "90", Span(seconds=90)),
    (fields.span, "1.30", Span(seconds=90)),
    (fields.span, "0.05", Span(seconds=5)),
    (fields.span, "86400", Span(seconds=86400)),
    (patient, "0042", Digits(value="0042")),
    (patient, "12345678", Digits(value="12345678")),
    (fields.text, "pain, worse at night", Text(value="pain, worse at night")),
    (fields.text, " É 日本 👩\u200d⚕️ ", Text(value="É 日本 👩\u200d⚕️")),
    (fields.text, "x" * 500, Text(value="x" * 500)),
]

NUMBER = "not a number; type digits with at most one point, as in 20.5"
ONE = "type 1 to 4, one of them"
SOME = "type 1 to 12, one or more joined by +"
FILE = "type size, taper and distance as in 35/4-0, or 0/12-0 for stock 12"
CONE = "type size and taper as in 35/4, or 0/12 for stock 12"
DISTANCE = "the distance is - or + and mm with at most two decimals, as in -0, -1.5 or +0.5"
STOCK_FORM = "0 opens a stock number; type 0/12 for stock 12"
TAPER = "is not allowed: key 1 to 12 for per cent, or above 0 up to .12 for mm per mm"
DATE = "type day, month and year in four digits, as in 3.4.2026"
EXPIRY = "type month and year in four digits, as in 4.2027"
TIME = "type hours and two digits of minutes, as in 9.05 or 14.30"
SPAN = "type seconds as in 90, or minutes and two digits of seconds as in 1.30"

BAD: dict[Callable[[str], object], list[tuple[str, str]]] = {
    fields.number: [
        ("", f"Nothing typed: {NUMBER}"),
        ("  ", f"Nothing typed: {NUMBER}"),
        ("1e5", f"1e5: {NUMBER}"),
        ("1_000", f"1_000: {NUMBER}"),
        ("NaN", f"NaN: {NUMBER}"),
        ("Infinity", f"Infinity: {NUMBER}"),
        ("20.", f"20.: {NUMBER}"),
        ("1.234,5", f"1.234,5: {NUMBER}"),
        ("20 5", f"20 5: {NUMBER}"),
        ("12.5-3", f"12.5-3: {NUMBER}"),
        ("٣", f"٣: {NUMBER}"),
        ("-5", "-5: no sign here; type 5"),
        ("+20.5", "+20.5: no sign here; type 20.5"),
        ("1234567890", "1234567890: too long; a number has at most 9 digits"),
        ("1.000000000", "1.000000000: too long; a number has at most 9 digits"),
        ("9" * 5000, f"{'9' * 40}...: too long; a number has at most 9 digits"),
        ("\x1d7", f"<U+001D>7: {NUMBER}"),
    ],
    one_of_four: [
        ("", f"Nothing typed: not a choice; {ONE}"),
        ("0", f"0: no choice 0; {ONE}"),
        ("5", f"5: no choice 5; {ONE}"),
        ("999", f"999: no choice 999; {ONE}"),
        ("1+3", f"1+3: one choice only; {ONE}"),
        ("1+", f"1+: not a choice; {ONE}"),
        ("+1", f"+1: not a choice; {ONE}"),
        ("1.5", f"1.5: not a choice; {ONE}"),
        ("1-3", f"1-3: not a choice; {ONE}"),
        ("a", f"a: not a choice; {ONE}"),
        ("-1", f"-1: not a choice; {ONE}"),
        ("²", f"²: not a choice; {ONE}"),
        ("1234", f"1234: not a choice; {ONE}"),
    ],
    some_of_twelve: [
        ("", f"Nothing typed: not a choice; {SOME}"),
        ("13", f"13: no choice 13; {SOME}"),
        ("1+13", f"1+13: no choice 13; {SOME}"),
        ("0+1", f"0+1: no choice 0; {SOME}"),
        ("1++3", f"1++3: not a choice; {SOME}"),
        ("1,3", f"1,3: not a choice; {SOME}"),
        ("1 3", f"1 3: not a choice; {SOME}"),
        ("3+3", "3+3: 3 is typed twice; type each choice once"),
        ("3+1+03", "3+1+03: 3 is typed twice; type each choice once"),
        ("1/2", f"1/2: not a choice; {SOME}"),
        ("1*2", f"1*2: not a choice; {SOME}"),
    ],
    free: [
        ("", f"Nothing typed: {FILE}"),
        ("35/4", "35/4: distance missing; type 35/4-0 at length or 35/4-1.5 for 1.5 mm short"),
        ("35/4-", "35/4-: distance missing; type 35/4-0 at length or 35/4-1.5 for 1.5 mm short"),
        ("35/40", "35/40: distance missing; type 35/40-0 at length or 35/40-1.5 for 1.5 mm short"),
        ("0/12", "0/12: distance missing; type 0/12-0 at length or 0/12-1.5 for 1.5 mm short"),
        ("35", "35: taper and distance missing; type 35/4-0 for taper .04 at length, 35/4-1.5 for 1.5 mm short"),
        ("44-", "44-: taper and distance missing; type 44/4-0 for taper .04 at length, 44/4-1.5 for 1.5 mm short"),
        ("35/-", "35/-: taper and distance missing; type 35/4-0 for taper .04 at length, 35/4-1.5 for 1.5 mm short"),
        ("35-1.5", "35-1.5: taper missing; type 35/4 for taper .04"),
        ("37/4-0", "37/4-0: 37 is no ISO 3630-1 size; the nearest are 35 and 40"),
        ("65/4-0", "65/4-0: 65 is no ISO 3630-1 size; the nearest are 60 and 70"),
        ("5/2-0", "5/2-0: 5 is no ISO 3630-1 size; the smallest is 6"),
        ("150/2-0", "150/2-0: 150 is no ISO 3630-1 size; the largest is 140"),
        ("35/40-0", f"35/40-0: taper 40 {TAPER}"),
        ("35/0-0", f"35/0-0: taper 0 {TAPER}"),
        ("35/.5-0", f"35/.5-0: taper 0.5 {TAPER}"),
        ("35/.-0", "35/.-0: taper unclear; type 35/4 or 35/.04 for taper .04"),
        ("35/4--0", f"35/4--0: {DISTANCE}"),
        ("35/4-1.5.", f"35/4-1.5.: {DISTANCE}"),
        ("35/4-1-5", f"35/4-1-5: {DISTANCE}"),
        ("35/4-1.255", f"35/4-1.255: {DISTANCE}"),
        ("35/4-150", "35/4-150: a distance of 150 mm is too far; at most 40 mm, as in -1.5"),
        ("0/7-0", "0/7-0: stock has no file numbered 7; type its size and taper as in 35/4"),
        ("0-1", f"0-1: {STOCK_FORM}"),
        ("0/-", f"0/-: {STOCK_FORM}"),
        ("0/1.2-0", f"0/1.2-0: {STOCK_FORM}"),
        ("35/4/2-0", f"35/4/2-0: {FILE}"),
        ("/4-0", f"/4-0: {FILE}"),
        ("-0", f"-0: {FILE}"),
        ("35.4-0", f"35.4-0: {FILE}"),
        ("file 35", f"file 35: {FILE}"),
    ],
    fixed: [
        ("35", "35: distance missing; type 35-0 at length or 35-1.5 for 1.5 mm short"),
        ("35-", "35-: distance missing; type 35-0 at length or 35-1.5 for 1.5 mm short"),
        ("35+", "35+: distance missing; type 35-0 at length or 35-1.5 for 1.5 mm short"),
        ("35/", "35/: distance missing; type 35-0 at length or 35-1.5 for 1.5 mm short"),
        ("0", f"0: {STOCK_FORM}"),
    ],
    cone: [
        ("", f"Nothing typed: {CONE}"),
        ("35", "35: taper missing; type 35/4 for taper .04"),
        ("35/", "35/: taper unclear; type 35/4 or 35/.04 for taper .04"),
        ("35/4-0", f"35/4-0: no distance is asked here; {CONE}"),
        ("35-0", f"35-0: no distance is asked here; {CONE}"),
        ("37/4", "37/4: 37 is no ISO 3630-1 size; the nearest are 35 and 40"),
        ("35/13", f"35/13: taper 13 {TAPER}"),
        ("0/99", "0/99: stock has no file numbered 99; type its size and taper as in 35/4"),
        ("0", f"0: {STOCK_FORM}"),
        ("35.4", f"35.4: {CONE}"),
        ("35*4", f"35*4: {CONE}"),
        ("1035/4", f"1035/4: {CONE}"),
        ("thirty", f"thirty: {CONE}"),
    ],
    fields.depth: [
        ("", f"Nothing typed: {DISTANCE}"),
        ("1.5", "1.5: sign missing; type -1.5 for 1.5 mm short or +1.5 for 1.5 mm beyond"),
        ("1", "1: sign missing; type -1 for 1 mm short or +1 for 1 mm beyond"),
        ("-", f"-: {DISTANCE}"),
        ("+", f"+: {DISTANCE}"),
        ("--1", f"--1: {DISTANCE}"),
        ("+-1", f"+-1: {DISTANCE}"),
        ("-1.", f"-1.: {DISTANCE}"),
        ("-1.125", f"-1.125: {DISTANCE}"),
        ("1.5-", f"1.5-: {DISTANCE}"),
        ("-1e1", f"-1e1: {DISTANCE}"),
        ("−1", f"−1: {DISTANCE}"),
        ("-41", "-41: a distance of 41 mm is too far; at most 40 mm, as in -1.5"),
        ("at length", f"at length: {DISTANCE}"),
    ],
    fields.date: [
        ("", f"Nothing typed: {DATE}"),
        ("3.4.26", f"3.4.26: {DATE}"),
        ("3.4", f"3.4: {DATE}"),
        ("3/4/2026", f"3/4/2026: {DATE}"),
        ("2026-04-03", f"2026-04-03: {DATE}"),
        ("03042026", f"03042026: {DATE}"),
        ("3.4.2026.", f"3.4.2026.: {DATE}"),
        ("31.4.2026", "31.4.2026: no day 31; month 4 of 2026 has days 1 to 30"),
        ("29.2.2026", "29.2.2026: no day 29; month 2 of 2026 has days 1 to 28"),
        ("0.4.2026", "0.4.2026: no day 0; month 4 of 2026 has days 1 to 30"),
        ("4.13.2026", "4.13.2026: no month 13; day first, then month 1 to 12, as in 3.4.2026"),
        ("3.4.0000", "3.4.0000: the year is from 1900 to 2099"),
        ("3.4.2206", "3.4.2206: the year is from 1900 to 2099"),
        ("today", f"today: {DATE}"),
    ],
    fields.expiry: [
        ("", f"Nothing typed: {EXPIRY}"),
        ("4.27", f"4.27: {EXPIRY}"),
        ("30.4.2027", f"30.4.2027: {EXPIRY}"),
        ("2027.4", f"2027.4: {EXPIRY}"),
        ("2027", f"2027: {EXPIRY}"),
        ("4/2027", f"4/2027: {EXPIRY}"),
        ("42027", f"42027: {EXPIRY}"),
        ("-4.2027", f"-4.2027: {EXPIRY}"),
        ("0.2027", "0.2027: no month 0; month 1 to 12 comes first, as in 4.2027"),
        ("13.2027", "13.2027: no month 13; month 1 to 12 comes first, as in 4.2027"),
        ("4.1999", "4.1999: the year of an expiry is from 2000 to 2099"),
        ("April", f"April: {EXPIRY}"),
    ],
    fields.time: [
        ("", f"Nothing typed: {TIME}"),
        ("9", f"9: {TIME}"),
        ("9.5", f"9.5: {TIME}"),
        ("0905", f"0905: {TIME}"),
        ("9:05", f"9:05: {TIME}"),
        ("9.055", f"9.055: {TIME}"),
        ("-9.05", f"-9.05: {TIME}"),
        ("9.05.00", f"9.05.00: {TIME}"),
        ("24.00", "24.00: no hour 24; hours are 0 to 23, as in 14.30"),
        ("9.60", "9.60: no minute 60; minutes are 00 to 59, as in 14.30"),
        ("noon", f"noon: {TIME}"),
    ],
    fields.span: [
        ("", f"Nothing typed: {SPAN}"),
        ("1.75", f"1.75: seconds after the point are 00 to 59; {SPAN}"),
        ("1.5", f"1.5: seconds after the point are two digits; {SPAN}"),
        ("1.300", f"1.300: seconds after the point are two digits; {SPAN}"),
        ("1.", f"1.: {SPAN}"),
        (".30", f".30: {SPAN}"),
        ("-90", f"-90: {SPAN}"),
        ("1.30.00", f"1.30.00: {SPAN}"),
        ("90s", f"90s: {SPAN}"),
        ("1:30", f"1:30: {SPAN}"),
        ("1 30", f"1 30: {SPAN}"),
        ("86401", "86401: longer than a day; at most 86400 seconds"),
    ],
    patient: [
        ("", "Nothing typed: digits only; type 4 to 8 digits"),
        ("123", "123: 3 digits typed; type 4 to 8 digits"),
        ("123456789", "123456789: 9 digits typed; type 4 to 8 digits"),
        ("12a4", "12a4: digits only; type 4 to 8 digits"),
        ("12 34", "12 34: digits only; type 4 to 8 digits"),
        ("12.34", "12.34: digits only; type 4 to 8 digits"),
        ("12,34", "12,34: digits only; type 4 to 8 digits"),
        ("-1234", "-1234: digits only; type 4 to 8 digits"),
        ("12/34", "12/34: digits only; type 4 to 8 digits"),
        ("١٢٣٤", "١٢٣٤: digits only; type 4 to 8 digits"),
        ("1234\n", "1234<U+000A>: digits only; type 4 to 8 digits"),
    ],
    fields.text: [
        ("", "Nothing typed: type at least one character"),
        (" \t ", "Nothing typed: type at least one character"),
        ("x" * 501, f"{'x' * 40}...: 501 characters typed; at most 500"),
        ("a\x1db", "a<U+001D>b: <U+001D> at place 2 has no shape to show; type the text without it"),
        ("a\nb", "a<U+000A>b: <U+000A> at place 2 has no shape to show; type the text without it"),
        ("\x1b[2J", "<U+001B>[2J: <U+001B> at place 1 has no shape to show; type the text without it"),
        ("a\x00", "a<U+0000>: <U+0000> at place 2 has no shape to show; type the text without it"),
        ("a\x85b", "a<U+0085>b: <U+0085> at place 2 has no shape to show; type the text without it"),
        ("\ud800", "<U+D800>: <U+D800> at place 1 has no shape to show; type the text without it"),
        ("ab\u202ecd", "ab<U+202E>cd: <U+202E> at place 3 has no shape to show; type the text without it"),
        ("\u2066x", "<U+2066>x: <U+2066> at place 1 has no shape to show; type the text without it"),
        ("a\u200fb", "a<U+200F>b: <U+200F> at place 2 has no shape to show; type the text without it"),
        ("a\u2028b", "a<U+2028>b: <U+2028> at place 2 has no shape to show; type the text without it"),
        ("a\ue053", "a<U+E053>: <U+E053> at place 2 has no shape to show; type the text without it"),
        ("a\uffff", "a<U+FFFF>: <U+FFFF> at place 2 has no shape to show; type the text without it"),
    ],
}
