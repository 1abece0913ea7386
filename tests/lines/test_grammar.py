"""The line grammar: every example and slip of the contract, and any text at all."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from stepper.facts.values import Why
from stepper.lines.grammar import (
    AbsentAnswer,
    Answer,
    Command,
    CommandName,
    Empty,
    GoCanal,
    GoStep,
    Line,
    MinutesAgo,
    Refused,
    Scan,
    WholeStep,
    Wipe,
    read_line,
)

LINES: list[tuple[str, Line]] = [
    ("", Empty()),
    ("  \t", Empty()),
    ("]d2010400\x1d10AB", Scan("]d2010400\x1d10AB")),
    ("]", Scan("]")),
    ("]d2..", Scan("]d2..")),
    ("]C1 10,5*2 ", Scan("]C1 10,5*2 ")),
    ("..", Wipe()),
    ("2*20.5..", Wipe()),
    ("2*20,5,,", Wipe()),
    ("/..", Wipe()),
    ("-..", Wipe()),
    ("fell down ..", Wipe()),
    ("/", Command(CommandName.MENU)),
    ("//", Command(CommandName.INCIDENT)),
    ("+", Command(CommandName.FINISH)),
    ("++", Command(CommandName.CLOCK)),
    ("-", Command(CommandName.LOOK_BACK)),
    ("--", Command(CommandName.NOT_DONE)),
    ("-/", Command(CommandName.NOT_MEASURED)),
    ("-.", Command(CommandName.OWED)),
    ("-,", Command(CommandName.OWED)),
    (".", Command(CommandName.CORRECT)),
    ("*", Command(CommandName.REPEAT)),
    (" / ", Command(CommandName.MENU)),
    ("2*", GoCanal(2)),
    ("9*", GoCanal(9)),
    ("7/", GoStep(7)),
    ("17/", GoStep(17)),
    ("5--", MinutesAgo(5)),
    ("0--", MinutesAgo(0)),
    ("120--", MinutesAgo(120)),
    ("7/--", WholeStep(7, Why.NOT_DONE)),
    ("12/-.", WholeStep(12, Why.OWED)),
    ("2*20.5", Answer((2,), ("20.5",))),
    ("2*20,5", Answer((2,), ("20.5",))),
    ("12*25/4-0", Answer((1, 2), ("25/4-0",))),
    ("31*1", Answer((3, 1), ("1",))),
    ("0*1", Answer("all", ("1",))),
    ("2*0", Answer((2,), ("0",))),
    ("1+3", Answer(None, ("1+3",))),
    ("30/2-0", Answer(None, ("30/2-0",))),
    ("35/2-0**1", Answer(None, ("35/2-0", "1"))),
    ("12*35/.04+0.5**3", Answer((1, 2), ("35/.04+0.5", "3"))),
    ("2**3", Answer(None, ("2", "3"))),
    ("1**1**--", Answer(None, ("1", "1", "--"))),
    ("2*1**-/", Answer((2,), ("1", "-/"))),
    ("2*1**2**3", Answer((2,), ("1", "2", "3"))),
    ("0/12-0.5", Answer(None, ("0/12-0.5",))),
    ("35/4-", Answer(None, ("35/4-",))),
    ("35/4", Answer(None, ("35/4",))),
    ("-0", Answer(None, ("-0",))),
    ("+1", Answer(None, ("+1",))),
    ("3.4.2026", Answer(None, ("3.4.2026",))),
    ("2*--", AbsentAnswer((2,), Why.NOT_DONE)),
    ("12*-/", AbsentAnswer((1, 2), Why.NOT_MEASURED)),
    ("0*-.", AbsentAnswer("all", Why.OWED)),
    ("pain, on biting", Answer(None, ("pain, on biting",))),
    ("worse**at night", Answer(None, ("worse**at night",))),
    ("2*crack seen", Answer((2,), ("crack seen",))),
    ("2*a\nb", Answer((2,), ("a\nb",))),
    ("12*wide, oval", Answer((1, 2), ("wide, oval",))),
    ("seen [left] side", Answer(None, ("seen [left] side",))),
    ("20 5", Answer(None, ("20 5",))),
]

REFUSED = [
    ("12*", "12*: answer missing; type 12*20.5 for several canals, or 2* alone to go to canal 2"),
    ("0*", "0*: answer missing; type 0*20.5 for several canals, or 2* alone to go to canal 2"),
    ("35-", "35-: distance missing; type 35-0 at length or 35-1.5 for 1.5 mm short"),
    ("44-", "44-: distance missing; type 44-0 at length or 44-1.5 for 1.5 mm short"),
    ("2*35-", "2*35-: distance missing; type 35-0 at length or 35-1.5 for 1.5 mm short"),
    ("11*5", "11*5: canal 1 is named twice before *; name each canal once, as in 12*"),
    ("22*", "22*: canal 2 is named twice before *; name each canal once, as in 12*"),
    ("2**", "2**: nothing stands before or after **; type both answers, as in 35/2-0**1, or leave ** out"),
    ("**2", "**2: nothing stands before or after **; type both answers, as in 35/2-0**1, or leave ** out"),
    ("1****2", "1****2: nothing stands before or after **; type both answers, as in 35/2-0**1, or leave ** out"),
    ("102*3", "102*3: 0 before * means all open canals and stands alone; type 0* or the canals, as in 12*"),
    ("01*3", "01*3: 0 before * means all open canals and stands alone; type 0* or the canals, as in 12*"),
    ("00*3", "00*3: 0 before * means all open canals and stands alone; type 0* or the canals, as in 12*"),
    ("3.5*4", "3.5*4: a single * follows canal digits only, as in 12*20.5; two answers are parted by **"),
    ("2*3*4", "2*3*4: a single * follows canal digits only, as in 12*20.5; two answers are parted by **"),
    ("2***3", "2***3: a single * follows canal digits only, as in 12*20.5; two answers are parted by **"),
    ("*5", "*5: a single * follows canal digits only, as in 12*20.5; two answers are parted by **"),
    ("/--", "/--: no such command; type / to see what the keys do"),
    ("/-", "/-: no such command; type / to see what the keys do"),
    ("---", "---: no such command; type / to see what the keys do"),
    ("+-", "+-: no such command; type / to see what the keys do"),
    ("0/", "0/: steps are numbered from 1; type 1/ for the first, or 0/12-0 for stock 12"),
    ("0/--", "0/--: steps are numbered from 1; type 1/-- for the first, or 0/12-0 for stock 12"),
    ("1234/", "1234/: the number before / has at most 3 digits"),
    ("7/-/", "7/-/: a whole step is 7/-- not done or 7/-. owed; type -/ at each question"),
    ("2*5--", "2*5--: 5-- stands alone; type it on a line of its own, without 2*"),
    ("2*7/--", "2*7/--: 7/-- stands alone; type it on a line of its own, without 2*"),
    ("2*+", "2*+: + stands alone; type it on a line of its own, without 2*"),
    ("2*.", "2*.: . stands alone; type it on a line of its own, without 2*"),
    ("11*crack", "11*crack: canal 1 is named twice before *; name each canal once, as in 12*"),
    ("12]d20104", "12: typed before the scan, so it was not taken; scan again on an empty line"),
    ("0104\x1d", "0104<U+001D>: a scan must open with ]; let the scanner send its symbology identifier"),
    ("0104\x1d10AB", "0104<U+001D>10AB: a scan must open with ]; let the scanner send its symbology identifier"),
]


@pytest.mark.parametrize(("text", "line"), LINES)
def test_each_form_of_a_line_is_read_as_the_contract_says(text: str, line: Line) -> None:
    assert read_line(text) == line


@pytest.mark.parametrize(("text", "sentence"), REFUSED)
def test_each_slip_is_refused_in_words(text: str, sentence: str) -> None:
    assert read_line(text) == Refused(sentence)


def test_every_command_is_typed_as_its_own_sign() -> None:
    assert {name: read_line(name.value) for name in CommandName} == {name: Command(name) for name in CommandName}


def test_a_number_too_long_for_an_integer_is_refused_not_raised() -> None:
    assert read_line("9" * 5000 + "/") == Refused(f"{'9' * 40}...: the number before / has at most 3 digits")


KEYPAD_TEXT = st.text(alphabet="0123456789.+-*/,", max_size=14)


@given(st.one_of(st.text(), KEYPAD_TEXT, st.text(st.characters(exclude_categories=()))))
@example("\ud800")
@example("\u2066x")
def test_any_text_is_some_line_and_any_refusal_is_one_printable_sentence(text: str) -> None:
    line = read_line(text)
    if isinstance(line, Refused):
        assert line.sentence.isprintable()
        assert len(line.sentence) <= 200
    if isinstance(line, Answer):
        assert line.fields
        assert all(line.fields)


@given(KEYPAD_TEXT)
def test_an_answer_read_from_keypad_signs_loses_none_of_them(text: str) -> None:
    line = read_line(text)
    if isinstance(line, Answer):
        prefix = "" if line.canals is None else "0*" if line.canals == "all" else "".join(map(str, line.canals)) + "*"
        assert prefix + "**".join(line.fields) == text.replace(",", ".")


@given(st.text(alphabet="0123456789.+-*/,", max_size=14), st.sampled_from(["..", ",,", ".,"]))
def test_a_line_that_ends_in_two_points_is_wiped_whatever_stands_before(text: str, points: str) -> None:
    assert read_line(text + points) == Wipe()


@given(st.text(max_size=60))
def test_a_scan_is_kept_as_sent(text: str) -> None:
    assert read_line(f"]{text}") == Scan(f"]{text}")
