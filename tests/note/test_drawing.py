"""The drawing of a canal: what certain canals look like, and what cannot be drawn."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import replace

import pytest
from rich.cells import cell_len

from stepper.note.drawing import HEIGHT, WIDTH, draw
from stepper.note.legend import cells, in_pairs
from stepper.note.scene import Line, Profile, Scene, Stop
from tests.note.scenes import CAVEAT, LOWER, NEAR, STOPS, UPPER, D, file, legend, read, scene, tapered


def test_every_sign_is_one_cell_wide_in_every_terminal() -> None:
    # Signs of ambiguous width (Unicode's East Asian Width "A") take two cells in some terminals.
    narrow = {unicodedata.east_asian_width(sign) for row in draw(scene()) for sign in row}
    assert narrow <= {"N", "Na"}


def test_a_drawing_as_it_is_read() -> None:
    assert draw(scene("4")) == (
        "MB, working length 20.5 mm. To scale: a row 0.5 mm, a column 0.01 mm",
        "mm short  |0        |0.1      |0.2      |0.3      |0.4      |0.5       mm wide",
        "crown   4 |                                               [- M - -C- - - - - >",
        "      3.5 |                                             [- M - -C- - - - - - >",
        "        3 |                                          [ - M - -C- - - - - - - >",
        "      2.5 |                                        [ - M - -C- - - - - - - - >",
        "        2 |                                     [░░░░M░░░░C░]",
        "      1.5 |                                   [░░░2M░░░░C░░░]",
        "        1 |                                [░░░░░M░░░░C",
        "      0.5 |                              [░░░1░M░░░░C░]",
        "tip     0 |                           [░░░░░░M░T░░C░░░]",
        "1 35/.02 stopped 0.5 mm short           2 40/.02 stopped 1.5 mm short",
        "T at most 0.37 mm if held at the tip    M MAF 35/.04, tip at length",
        "C cone 40/.04, tip at length            [░░] narrowest width lies in here",
        "[- - > this or wider, NO UPPER BOUND    Narrowest at length: 0.28-0.44 mm",
        "Same cell: the first listed shows",
        "Round, straight canal assumed. A ledge, a curve, debris or an oval canal make",
        "both wrong.",
    )


@pytest.mark.parametrize("span", ["3", "4", "6", "16"])
def test_two_files_one_size_apart_are_seen_apart_in_every_row(span: str) -> None:
    seen = read(draw(scene(span, stops=(), tip_held_mm=None)))
    for row in seen.rows.values():
        assert row.index("C") - row.index("M") == D("0.05") / seen.per_column or D("0.05") % seen.per_column
        assert row.index("M") < row.index("C")


@pytest.mark.parametrize("span", ["3", "4", "6", "16"])
def test_a_larger_screen_shows_the_canal_more_closely(span: str) -> None:
    small, large = read(draw(scene(span))), read(draw(scene(span), 118, 34))
    assert len(large.rows) > len(small.rows)
    assert max(map(len, large.rows.values())) > max(map(len, small.rows.values()))


def test_in_one_cell_a_stop_is_seen_before_an_instrument_and_that_before_a_bound() -> None:
    stop, profile = Stop("30/.02", D(2), D("0.3")), file("MAF 30/.02", "M", 30, "0.02", "2")
    at_two = {"lower": ((D(2), D("0.3")), (D(4), D("0.6"))), "upper": (), "tip_held_mm": None}
    for found, first in (
        (read(draw(scene("4", stops=(stop,), profiles=(profile,), **at_two))), "1"),
        (read(draw(scene("4", stops=(), profiles=(profile,), **at_two))), "M"),
        (read(draw(scene("4", stops=(), profiles=(), **at_two))), "["),
    ):
        assert found.rows[D(2)][int(D("0.3") / found.per_column)] == first
        assert ("Same cell: the first listed shows" in legend(found.beneath)) == (first != "[")


def test_of_two_widths_at_a_step_bounds_take_the_sure_one() -> None:
    lower = ((D(0), D("0.2")), (D(1), D("0.2")), (D(1), D("0.3")), (D(4), D("0.3")))
    upper = ((D(0), D("0.4")), (D(2), D("0.4")), (D(2), D("0.5")), (D(4), D("0.5")))
    seen = read(draw(scene("4", lower, upper, stops=(), profiles=(), tip_held_mm=None)))
    assert seen.rows[D(1)].index("[") * seen.per_column == D("0.3")
    assert seen.rows[D(2)].index("]") * seen.per_column == D("0.4")


@pytest.mark.parametrize(
    ("lower", "upper", "words"),
    [
        (LOWER, UPPER, "0.28-0.44 mm"),
        (((D(0), D("0.2871")), (D(6), D("0.3"))), ((D(0), D("0.4301")), (D(6), D("0.5"))), "0.28-0.44 mm"),
        (LOWER, (), "0.28 mm or more"),
        ((), UPPER, "0.44 mm or less"),
        (((D(2), D("0.4")), (D(6), D("0.5"))), (), "not known"),
    ],
)
def test_the_width_at_length_is_said_rounded_outward(lower: Line, upper: Line, words: str) -> None:
    assert f"Narrowest at length: {words}" in legend(draw(scene("6", lower, upper)))


def test_the_width_if_held_at_the_tip_is_rounded_outward() -> None:
    assert "T at most 0.37 mm if held at the tip" in legend(draw(scene(tip_held_mm=D("0.3612"))))


def test_where_nothing_is_proved_the_row_is_filled_from_the_axis_on() -> None:
    seen = read(draw(scene("4", ((D(2), D("0.4")), (D(4), D("0.5"))), UPPER, stops=(), profiles=(), tip_held_mm=None)))
    assert seen.rows[D(1)].startswith("|░") and seen.rows[D(4)].startswith("| ")
    assert "From the axis on: nothing proved" in legend(seen.beneath)
    assert "From the axis on" not in legend(draw(scene("4")))


def test_nothing_to_draw_is_said_in_a_sentence_without_a_frame() -> None:
    assert draw(Scene("MB", D("20.5"))) == ("MB: there is nothing to draw yet: no gauging, no file and no cone.",)
    nothing_proved = Scene("MB", None, lower=((D(0), D(0)), (D(16), D(0))), caveat=CAVEAT)
    assert draw(nothing_proved) == draw(Scene("MB", None))


def test_readings_that_contradict_one_another_leave_a_sentence_and_no_bounds() -> None:
    why = "In a round, straight canal these cannot all be true: 40/.06 cut and 30/.02-2 held."
    rows = draw(scene(no_bounds=why))
    seen = read(rows)
    assert set("".join(seen.rows.values())) <= set("|12MC ")
    assert why in legend(rows) and "T at most" not in legend(rows) and "Narrowest" not in legend(rows)
    crossing = ((D(0), D("0.9")), (D(16), D("1.2")))
    assert draw(scene(lower=crossing, no_bounds=why)) == rows
    assert legend(draw(Scene("MB", None, no_bounds=why))).endswith(f"no file and no cone. {why}")


def test_what_lies_elsewhere_is_said_to() -> None:
    far = scene("3", (), (), tip_held_mm=None, stops=(), profiles=(file("40/.08", "F", 40, "0.08", "5"),))
    assert draw(far)[:2] == ("MB: nothing lies within 3 mm of length.", "F 40/.08, tip 5 mm short (not on these rows)")
    seen = read(draw(scene("3", profiles=(*far.profiles, file("30/.02", "P", 30, "0.02", "-1")))))
    told = legend(seen.beneath)
    assert "F 40/.08, tip 5 mm short (not on these rows)" in told and "P 30/.02, tip 1 mm beyond" in told
    hidden = scene("4", profiles=(file("MAF 35/.04", "M", 35, "0.04"), file("last file 35/.04", "F", 35, "0.04")))
    assert "F last file 35/.04, tip at length (behind M)" in legend(draw(hidden))
    assert "Same cell: the first listed shows" in legend(draw(replace(hidden, lower=(), upper=())))


def test_a_stop_further_up_than_what_is_drawn_is_not_moved_into_it() -> None:
    told = legend(draw(scene("4", stops=(Stop("90/.02", D("4.1"), D("0.9")),))))
    assert "1 90/.02 stopped 4.1 mm short (not on these rows)" in told


def test_a_file_beyond_length_has_room_for_its_width() -> None:
    beyond = file("10/.12", "F", 10, "0.12", "-2")
    seen = read(draw(scene("4", (), (), stops=(), tip_held_mm=None, profiles=(beyond,))))
    assert seen.rows[D(4)].index("F") * seen.per_column == D("0.82")


def test_a_stop_short_of_length_by_half_a_row_is_not_drawn_at_length() -> None:
    seen = read(draw(scene("6", stops=(STOPS[0],))))
    assert sorted(seen.rows)[1] == 1
    assert "1" in seen.rows[D(1)] and "1" not in seen.rows[D(0)]


def test_what_leaves_no_room_makes_the_drawing_higher_and_is_never_cut() -> None:
    caveat = "A caveat of many words. " * 50
    rows = draw(scene(caveat=caveat))
    assert len(rows) > HEIGHT and len(read(rows).rows) >= 4
    assert legend(rows).endswith(caveat.strip())


def test_a_stop_at_length_was_held_there_and_one_short_of_it_stopped() -> None:
    stops = (Stop("35/.02", D(0), D("0.35")), Stop("40/.02", D("0.5"), D("0.4")))
    told = legend(draw(scene(stops=stops)))
    assert "1 35/.02 held at length" in told
    assert "2 40/.02 stopped 0.5 mm short" in told


@pytest.mark.parametrize(("sign", "takes"), [("近", 2), ("Ｍ", 2), ("e\u0301", 1)])
def test_names_keep_to_the_width_in_letters_of_any_width(sign: str, takes: int) -> None:
    fits = WIDTH // takes
    rows = draw(replace(scene(), canal=sign * 100, stops=(Stop(sign * (40 // takes), D(1), D("0.3")), STOPS[1])))
    assert rows[0] == sign * fits
    assert f"1 {sign * (40 // takes)} stopped 1 mm short" in rows  # 58 cells: no second one fits beside it
    assert all(cell_len(row) == cells(row) <= WIDTH for row in rows)


def test_a_name_in_ascii_loses_what_ascii_lacks_and_gets_no_wider() -> None:
    # A mark that stands over the letter before it takes no cell, a question mark in its place would.
    assert draw(Scene("Pe\u0301\u00e9近", None), ascii_only=True)[0].startswith("Pe??: there is nothing")


def test_nothing_is_put_beside_the_end_of_a_folded_entry() -> None:
    assert in_pairs(["many words " * 7, "M", "C"], 60)[1:] == ["  words many words", f"M{' ' * 30}C"]


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: draw(scene(), 59, 18), "59 x 18 is too small"),
        (lambda: draw(scene(), 78, 13), "at least 60 cells by 14 rows"),
        (lambda: scene("0.5"), "1 to 40 mm are allowed"),
        (lambda: scene("NaN"), "1 to 40 mm are allowed"),
        (lambda: file("MAF", "T", 35, "0.04"), "one of A to Z, but not T"),
        (lambda: file("MAF", "m", 35, "0.04"), "one of A to Z, but not T"),
        (lambda: file("MAF", "MA", 35, "0.04"), "one of A to Z, but not T"),
        (lambda: file("MAF", "", 35, "0.04"), "one of A to Z, but not T"),
        (lambda: Profile("MAF", "M", D(0), ()), "at least one place and width"),
        (lambda: Profile("MAF", "M", D("Infinity"), tapered(D("0.3"), D("0.04"))), "is no place in a canal"),
        (lambda: Profile("MAF", "M", D(0), ((D(2), D("0.3")), (D(0), D("0.4")))), "from the tip coronally"),
        (lambda: Stop("35/.02", D(0), D("-0.35")), "is no width of a canal"),
        (lambda: Stop("35/.02", D(0), D(35)), "0 to 10 mm are allowed"),
        (lambda: scene(profiles=(file("a", "M", 35, "0.04"), file("b", "M", 35, "0.04"))), "M is given to two"),
        (lambda: scene(stops=STOPS * 18), "36 stops are too many to draw: 35 at most"),
        (lambda: scene(tip_held_mm=D("NaN")), "MB, tip held: NaN mm"),
        (lambda: scene(lower=((D(0), D("0.4")), (D(16), D("0.3")))), "lower bound: the width may not decrease"),
        (lambda: scene(upper=((D(0), D("0.5")), (D(2), D("0.4")))), "upper bound: the width may not decrease"),
        (lambda: scene(upper=((D(0), D("0.44")), (D(8), D("0.44")))), "contradict each other"),
    ],
)
def test_what_cannot_be_drawn_is_refused_in_a_sentence(make: Callable[[], object], words: str) -> None:
    with pytest.raises(ValueError, match=re.escape(words)):
        make()


def test_bounds_that_cross_by_what_division_leaves_over_are_drawn() -> None:
    touching = ((D(0), D("0.3")), (D(4), D("0.3")))
    over = ((D(0), D("0.3") + NEAR), (D(4), D("0.3") + NEAR))
    seen = read(draw(scene("4", over, touching, stops=(), profiles=(), tip_held_mm=None)))
    assert {row.strip("| ") for row in seen.rows.values()} == {"="}
    assert "= narrowest width, bounds in one cell" in legend(seen.beneath)
