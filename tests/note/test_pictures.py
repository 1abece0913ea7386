"""The drawing of a canal, read back from its SVG: to scale, everything named, all of it on the sheet."""

from __future__ import annotations

import unicodedata
from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stepper.lines.refusal import visible
from stepper.note.canal_frame import BEYOND_MM, SHORT_MM, clipped, frame_for, shown
from stepper.note.canal_legend import told
from stepper.note.canal_picture import canal_svg
from stepper.note.pictures import TIMELINE, pictures
from stepper.note.scene import Scene, widths_at
from stepper.note.shape import Picture
from stepper.note.vector import LETTER
from tests.case.visit import Visit
from tests.kinds.values import visit
from tests.kinds.values_gauged import as_designed, gauge
from tests.note.reading import filled
from tests.note.scenes import scene, scenes
from tests.note.svg import Canal, Part, Sheet, read, scales
from tests.note.test_markdown import WORDS

D = Decimal
HUNDREDTH = D("0.01")
"""To so much of a mm of the sheet figures are written."""


def drawn(one: Scene, fill: Decimal | None = None) -> Sheet:
    return read(canal_svg(one, fill, frame_for([one]), one.canal, told(one, fill, shown(one))))


def canal_of(log: Visit, place: int = 0) -> Picture:
    return [one for one in pictures(log.case()) if one.title != TIMELINE][place]


def is_at(axes: Canal, point: tuple[Decimal, Decimal], short_mm: Decimal, wide_mm: Decimal) -> bool:
    """Whether a wall is drawn where it should be, to a hundredth of a mm on the sheet."""
    off_down = abs(axes.place(point) - short_mm) * axes.per_mm
    off_across = abs(axes.width(point) - wide_mm) * axes.per_wide_mm / 2
    return off_down <= HUNDREDTH and off_across <= HUNDREDTH


def bar(part: Part) -> tuple[Decimal, Decimal]:
    """The first line of a part, by its ends."""
    (left, _), (right, _) = part.paths[0]
    return left, right


# By hand.


def test_a_file_is_drawn_as_wide_as_iso_3630_1_has_it() -> None:
    """D(x) = D0 + taper x (ISO 3630-1, derived): a 35/.04 is 0.35 mm wide at its tip and 0.67 mm 8 mm up."""
    log = visit()
    log.file("35/4-0")
    log.master("35/4")
    sheet = read(canal_of(log).svg)
    axes, (path, *_) = scales(sheet), sheet.parts["outline-M"].paths
    assert len(path) == 4
    ends = [(path[0], 8, "0.67"), (path[1], 0, "0.35"), (path[2], 0, "0.35"), (path[3], 8, "0.67")]
    assert all(is_at(axes, point, D(short), D(wide)) for point, short, wide in ends)
    assert axes.per_wide_mm == 10 * axes.per_mm
    assert "To scale. Left mm from length, below mm wide (10 times wider)." in sheet.words()


def test_bounds_are_those_of_the_sums() -> None:
    """The design example of the sums: 0.28 to 0.44 mm, 0.37 mm if the 35 was held at its tip; no more than hundredths
    are told, and those rounded outward."""
    log = visit()
    as_designed(log)
    sheet = read(canal_of(log).svg)
    axes = scales(sheet)
    for part, wide, words in (
        ("least", "0.28", "at length, at least 0.28 mm"),
        ("most", "0.434", "at length, at most 0.44 mm"),
        ("tip-held", "0.37", "at most 0.37 mm if held at the tip"),
    ):
        left, right = bar(sheet.parts[f"caliper-{part}"])
        assert abs((right - left) / axes.per_wide_mm - D(wide)) <= 2 * HUNDREDTH / axes.per_wide_mm
        assert sheet.parts[f"caliper-{part}"].text() == [words]
    assert {"at least so wide", "at most so wide", "narrowest width in here"} <= set(sheet.words())
    stop = sheet.parts["stop-1"]
    left, right = bar(stop)
    assert abs((right - left) / axes.per_wide_mm - D("0.35")) <= 2 * HUNDREDTH / axes.per_wide_mm
    assert axes.place(stop.paths[0][0]) == D("0.5")
    assert sheet.parts["number-1"].text() == ["1"]
    assert "35/.02 stopped 0.5 mm short" in " ".join(sheet.words())


def test_where_nothing_was_held_the_calipers_are_open() -> None:
    log = visit()
    gauge(log, "30-0")
    sheet = read(canal_of(log).svg)
    assert sheet.parts["caliper-least"].text() == ["at length, 0.28 mm or wider"]  # less the tolerance of 0.02 mm
    assert len(sheet.parts["caliper-least"].paths) == 7
    assert "caliper-most" not in sheet.parts
    assert "at most so wide" not in sheet.words()


def test_what_gauging_contradicts_is_said_and_not_drawn() -> None:
    log = visit()
    log.file("40/4-0")
    gauge(log, "30-0*")
    picture = canal_of(log)
    sheet = read(picture.svg)
    assert not any(name.startswith(("caliper", "at-", "between")) for name in sheet.parts)
    assert "cannot all be true" in " ".join(sheet.words())
    assert "cannot all be true" in picture.told.text


def test_the_fill_is_drawn_where_it_ends_and_only_if_it_was_logged() -> None:
    log, seq = filled()
    sheet = read(canal_of(log).svg)
    assert scales(sheet).place(sheet.parts["fill"].paths[0][0]) == 0
    assert "fill ends at length" in sheet.words()
    picture = canal_of(log)
    assert "The fill ends at length." in picture.told.text
    assert seq + 1 in picture.told.entries
    level = Visit(tooth="11")
    level.entries = log.entries[:seq]
    without = canal_of(level)
    assert "fill" not in read(without.svg).parts
    assert "fill" not in without.told.text


@pytest.mark.parametrize(("short", "words"), [("2.5", "2.5 mm short"), ("-0.5", "0.5 mm beyond")])
def test_a_fill_short_or_beyond_is_drawn_there(short: str, words: str) -> None:
    sheet = drawn(scene(), D(short))
    assert scales(sheet).place(sheet.parts["fill"].paths[0][0]) == D(short)
    assert f"fill ends {words}" in sheet.words()


def test_what_lies_outside_of_the_part_is_said_to() -> None:
    sheet = drawn(scene(), D(9))
    assert "fill" not in sheet.parts
    assert "fill ends 9 mm short (not in this part)" in " ".join(sheet.words())


def test_a_canal_with_nothing_to_draw_has_no_picture() -> None:
    log = visit()
    log.file("35/4-0")
    titles = [one.title for one in pictures(log.case())]
    assert [one.split(",")[0] for one in titles] == ["MB", TIMELINE]


def test_all_canals_of_a_note_are_drawn_to_one_scale() -> None:
    log = visit()
    log.agree("20", canal=2)
    log.file("35/4-0")
    log.file("100/8-0", canal=2)
    found = [scales(read(one.svg)) for one in pictures(log.case()) if one.title != TIMELINE]
    assert len(found) == 2
    assert found[0] == found[1]
    assert found[0].per_wide_mm < 10 * found[0].per_mm


def test_a_picture_rests_on_the_entries_of_what_it_shows() -> None:
    log = visit()
    length = log.case().told.canals[1].length
    cut, master = log.file("35/4-0"), log.master("35/4")
    assert length is not None
    assert canal_of(log).told.entries == (length.seq, cut, master)


def test_bounds_are_told_rounded_outward() -> None:
    line = scene(lower=((D(0), D("0.286")), (D(16), D("1.2"))), upper=((D(0), D("0.434")), (D(1), D("0.434"))))
    found = [sheet_part.text() for name, sheet_part in drawn(line).parts.items() if name.startswith("caliper")]
    assert found == [
        ["at length, at least 0.28 mm"],
        ["at length, at most 0.44 mm"],
        ["at most 0.37 mm if held at the tip"],
    ]
    told_of = told(line, None, shown(line))
    assert "Narrowest width at length, at least 0.28 mm. Narrowest width at length, at most 0.44 mm." in told_of


def test_files_that_cut_are_drawn_only_while_there_is_no_master_apical_file() -> None:
    log = visit()
    log.file("25/4-0")
    log.file("35/4-1")
    before = read(canal_of(log).svg)
    assert {"outline-A", "outline-B"} <= set(before.parts)
    log.master("35/4")
    after = canal_of(log)
    assert [name for name in read(after.svg).parts if name.startswith("outline")] == ["outline-M"]
    assert "cut 25/.04" not in after.told.text


def test_a_step_at_the_edge_of_the_part_is_drawn_once() -> None:
    step = ((D(0), D("0.3")), (D(8), D("0.5")), (D(8), D("0.6")), (D(16), D(1)))
    assert clipped(step) == step[:3]
    assert clipped(((D(-2), D("0.2")), (D(10), D("0.8")))) == ((D(-1), D("0.25")), (D(8), D("0.7")))


# Any scene.


@settings(deadline=None, max_examples=60)
@given(scenes(), st.none() | st.integers(-15, 95).map(lambda tenth: D(tenth) / 10))
def test_walls_stops_and_calipers_are_where_the_scene_has_them(one: Scene, fill: Decimal | None) -> None:
    sheet = drawn(one, fill)
    axes = scales(sheet)
    for profile in shown(one):
        part = sheet.parts.get(f"outline-{profile.sign}")
        visible_part = [x + profile.tip_short_mm for x, _ in profile.points]
        assert (part is not None) == (visible_part[0] <= SHORT_MM and visible_part[-1] >= -BEYOND_MM)
        for point in part.paths[0] if part is not None else ():
            short = axes.place(point)
            assert -BEYOND_MM <= short <= SHORT_MM
            near = [short + off / axes.per_mm for off in (-HUNDREDTH, D(0), HUNDREDTH)]
            widths = [width for x in near for width in widths_at(profile.points, x - profile.tip_short_mm)]
            assert min(abs(axes.width(point) - width) for width in widths) <= D("0.01")
    for name, line in (("at-least", one.lower), ("at-most", one.upper)):
        for path in sheet.parts[name].paths if name in sheet.parts else ():
            for point in path:
                near = [axes.place(point) + off / axes.per_mm for off in (-HUNDREDTH, D(0), HUNDREDTH)]
                widths = [width for x in near for width in widths_at(line, x)]
                assert min(abs(axes.width(point) - width) for width in widths) <= D("0.01")
    for number, stop in enumerate(one.stops, start=1):
        part = sheet.parts.get(f"stop-{number}")
        assert (part is not None) == (-BEYOND_MM <= stop.short_mm <= SHORT_MM)
        if part is not None:
            assert is_at(axes, part.paths[0][0], stop.short_mm, stop.diameter_mm)
            assert sheet.parts[f"number-{number}"].rings[0][1] == part.paths[0][0][1]
    rings = [part.rings[0] for name, part in sheet.parts.items() if name.startswith("number")]
    for (x, y), (a, b) in combinations(rings, 2):
        assert abs(x - a) >= D("2.8") or abs(y - b) >= D("2.79")
    for path in sheet.parts["between"].paths if "between" in sheet.parts else ():
        short, widths = axes.place(path[0]), sorted(map(axes.width, path))
        most, least = one.most_mm(short), one.least_mm(short)
        assert most is not None
        assert abs(widths[1] - max(most, least or 0)) <= D("0.01")
        assert abs(widths[0] - (least or 0)) <= D("0.01")


@settings(deadline=None, max_examples=60)
@given(scenes(WORDS), st.none() | st.integers(-15, 95).map(lambda tenth: D(tenth) / 10))
def test_nothing_hangs_over_the_sheet_and_nothing_is_left_out(one: Scene, fill: Decimal | None) -> None:
    sheet = drawn(one, fill)
    assert all(0 <= x <= sheet.width and 0 <= y <= sheet.height for x, y in sheet.corners())
    for part in sheet.parts.values():
        for (x, y), text in part.texts:
            assert 0 <= y <= sheet.height
            assert x >= 0
            wide = sum(not unicodedata.combining(sign) for sign in text)
            assert x + wide * LETTER * D("2.2") <= sheet.width or wide <= 2 or x == 0
    assert len([name for name in sheet.parts if name.startswith("outline")]) <= len(shown(one))
    legend = "".join("".join(sheet.words()).split())
    for name in (*(p.name for p in shown(one)), *(s.name for s in one.stops)):
        assert "".join(visible(name).split()) in legend
    assert sheet.title == visible(one.canal)
    assert all(sign.isprintable() for sign in sheet.told)


def test_the_same_scene_gives_the_same_bytes() -> None:
    one = scene()
    assert canal_svg(one, None, frame_for([one]), "a", "b") == canal_svg(one, None, frame_for([one]), "a", "b")
