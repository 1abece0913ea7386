"""Any drawing of a canal, read back from its own text: to scale, and nothing left out."""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from stepper.note.drawing import HEIGHT, LEAST_HEIGHT, LEAST_WIDTH, WIDTH, draw
from stepper.note.legend import cells
from stepper.note.scene import STOP_SIGNS, Profile, Scene
from tests.note.scenes import NEAR, D, Seen, file, legend, read, scene, scenes

SIZES = st.sampled_from([(WIDTH, HEIGHT), (118, 34), (LEAST_WIDTH, LEAST_HEIGHT)])


def shown(one: Scene, size: tuple[int, int]) -> Seen:
    rows = draw(one, *size)
    assume(any(row.startswith("mm short") for row in rows))
    return read(rows)


def between(one: tuple[tuple[Decimal, Decimal], ...], x: Decimal) -> list[Decimal]:
    """Reckon the widths of a line at a place, with no thought of cells: both of them at a step."""
    found = [width for place, width in one if place == x]
    for (a, v), (b, w) in pairwise(one):
        if a < x < b:
            found.append((v * (b - x) + w * (x - a)) / (b - a))
    return found


@settings(deadline=None)
@given(scenes(), SIZES)
def test_an_instrument_is_drawn_at_its_width_in_every_row_that_cuts_it(one: Scene, size: tuple[int, int]) -> None:
    seen = shown(one, size)
    drawn = seen.cells
    first = set(STOP_SIGNS) | {"T"}
    for profile in one.profiles:
        first.add(profile.sign)
        (_, tip), (cutting, shank) = profile.points
        for x in seen.rows:
            own = [column for (place, column), sign in drawn.items() if place == x and sign == profile.sign]
            from_tip = x - profile.tip_short_mm
            across = tip_across(profile, x, seen)
            # Each of its cells is there, or something that the legend lists before it is.
            assert all(drawn.get((x, at)) in first for at in across)
            if not 0 <= from_tip <= cutting:
                assert set(own) <= across
                continue
            width = tip + (shank - tip) * from_tip / cutting
            near = {at for at in range(200) if abs(at * seen.per_column - width) <= seen.per_column / 2 + NEAR}
            assert set(own) <= near | across
            assert near & set(own) or any(drawn.get((x, at)) in first - {profile.sign} for at in near)


def tip_across(profile: Profile, x: Decimal, seen: Seen) -> set[int]:
    """The columns of the tip's row in which a tip short of length is drawn: each fourth, within its width."""
    (_, tip), _ = profile.points
    step = sorted(seen.rows)[1]
    off = profile.tip_short_mm - x
    if not 0 < profile.tip_short_mm <= max(seen.rows) or not -step / 2 <= off < step / 2:
        return set()
    wide = int((tip / seen.per_column).to_integral_value(ROUND_HALF_UP))
    return set(range(1, wide, 4))


def test_a_tip_above_the_frame_is_not_drawn_on_its_last_row() -> None:
    far = file("60/.02", "F", 60, "0.02", "4.1")  # rows to 4 mm, a half millimetre each; and no scale is made for it
    seen = read(draw(scene("4", profiles=(far, file("20/.02", "A", 20, "0.02")))))
    assert max(seen.rows) == D(4)
    assert "F" not in seen.cells.values()
    assert "F 60/.02, tip 4.1 mm short (not on these rows)" in legend(seen.beneath)


def test_a_tip_short_of_length_is_drawn_across_and_one_at_length_is_not() -> None:
    """By hand, a row each 0.5 mm and a column each 0.01: a 30/.02 at 1 mm has its tip 0.30 mm wide, 29 columns."""
    for short, columns in ((D(1), [*range(1, 30, 4), 30]), (D(0), [])):
        alone = file("30/.02", "F", 30, "0.02", str(short))
        one = scene("4", (), (), stops=(), tip_held_mm=None, profiles=(alone,))
        seen = read(draw(one))
        assert sorted(seen.rows)[:3] == [D(0), D("0.5"), D(1)]
        assert seen.per_column == D("0.01")
        at_one = sorted(at for (place, at), sign in seen.cells.items() if place == D(1) and sign == "F")
        assert at_one == (columns or [32])  # at length 0.02 mm wider there


@settings(deadline=None)
@given(scenes(), SIZES)
def test_a_stop_is_drawn_in_the_cell_nearest_to_it(one: Scene, size: tuple[int, int]) -> None:
    seen = shown(one, size)
    step = sorted(seen.rows)[1]
    for order, (sign, stop) in enumerate(zip(STOP_SIGNS, one.stops, strict=False)):
        own = [cell for cell, found in seen.cells.items() if found == sign]
        near = [
            (x, at)
            for x in seen.rows
            for at in range(200)
            if abs(x - stop.short_mm) <= step / 2
            and abs(at * seen.per_column - stop.diameter_mm) <= seen.per_column / 2
        ]
        assert set(own) <= set(near)
        if not own and 0 <= stop.short_mm <= min(one.span_mm, max(seen.rows)):
            assert any(seen.cells.get(cell) in tuple(STOP_SIGNS[:order]) for cell in near)


@settings(deadline=None)
@given(scenes(), SIZES)
def test_bounds_are_drawn_to_scale_and_what_has_no_bound_looks_otherwise(one: Scene, size: tuple[int, int]) -> None:
    one = replace(one, stops=(), profiles=(), tip_held_mm=None)
    seen = shown(one, size)
    for x, row in seen.rows.items():
        least, most = max(between(one.lower, x), default=D(0)), min(between(one.upper, x), default=None)
        if most is None:
            assert row.endswith(">") and "░" not in row and "]" not in row
            assert seen.rows and len(row) == max(len(other) for other in seen.rows.values())
        else:
            assert row[-1] in "]=" and "-" not in row and ">" not in row
            assert abs((len(row) - 1) * seen.per_column - most) <= seen.per_column / 2 + NEAR
            start = row.index("[") if "[" in row else 0 if row[-1] == "]" else len(row) - 1
            assert set(row[start + 1 : -1]) <= {"░"}
        if least:
            at = max(row.find("["), row.find("="))
            assert abs(at * seen.per_column - least) <= seen.per_column / 2 + NEAR
            assert row[1:at].strip() == ""
        else:
            assert "[" not in row and row[1:2] in ("░", "-", "]")


@settings(deadline=None)
@given(scenes(), SIZES)
def test_nothing_hides_that_there_is_no_upper_bound(one: Scene, size: tuple[int, int]) -> None:
    assume(one.has_bounds)
    seen = shown(one, size)
    for x, row in seen.rows.items():
        assert row.endswith((" ->", "- >")) == (not between(one.upper, x))


@settings(deadline=None)
@given(scenes(), SIZES)
def test_the_band_never_gets_narrower_from_length_coronally(one: Scene, size: tuple[int, int]) -> None:
    seen = shown(replace(one, stops=(), profiles=(), tip_held_mm=None), size)
    for signs in ("[=", "]="):
        places = [max(map(seen.rows[x].rfind, signs)) for x in sorted(seen.rows)]
        assert sorted(at for at in places if at > 0) == [at for at in places if at > 0]


@settings(deadline=None)
@given(scenes(), SIZES)
def test_everything_is_in_the_legend_and_in_the_picture_or_the_legend_says_why_not(
    one: Scene, size: tuple[int, int]
) -> None:
    assume(not one.empty)
    rows = draw(one, *size)
    picture = set(read(rows).cells.values()) if any(row.startswith("mm short") for row in rows) else set()
    told = legend(read(rows).beneath if picture else rows)
    stops = zip(STOP_SIGNS, one.stops, strict=False)
    wanted = [f"{sign} {stop.name} {'stopped' if stop.short_mm else 'held at length'}" for sign, stop in stops]
    wanted += [f"{profile.sign} {profile.name}, tip" for profile in one.profiles]
    wanted += ["T at most"] if one.tip_held_mm is not None else []
    told_at = [told.index(entry) for entry in wanted]
    for entry, at in zip(wanted, told_at, strict=True):
        after = min([other for other in told_at if other > at], default=len(told))
        says_why = "(behind" in told[at:after] or "(not on these rows)" in told[at:after]
        assert says_why == (entry[0] not in picture)


@settings(deadline=None)
@given(scenes(), SIZES)
def test_the_signs_of_the_bounds_are_explained_where_they_are_seen_and_only_there(
    one: Scene, size: tuple[int, int]
) -> None:
    seen = shown(one, size)
    picture, told = "".join(seen.rows.values()), legend(seen.beneath)
    assert ("NO UPPER BOUND" in told) == (">" in picture)
    assert ("lies in here" in told) >= ("░" in picture)
    assert ("bounds in one cell" in told) >= ("=" in picture)
    assert ("none are drawn" in told) == (not any(sign in picture for sign in "[]=>░"))


@settings(deadline=None)
@given(scenes(st.text(max_size=30)), SIZES)
def test_no_row_is_wider_than_asked_whatever_the_names_are(one: Scene, size: tuple[int, int]) -> None:
    for ascii_only in (False, True):
        rows = draw(one, *size, ascii_only=ascii_only)
        assert all(cells(row) <= size[0] and row.isprintable() for row in rows)
        assert not ascii_only or all(row.isascii() for row in rows)


@settings(deadline=None)
@given(scenes(), st.integers(LEAST_WIDTH, 200), st.integers(16, 60))
def test_a_page_of_at_most_nine_things_is_never_exceeded(one: Scene, width: int, height: int) -> None:
    rows = draw(one, width, height)
    assert len(rows) <= height or width < WIDTH
    assert all(row == row.rstrip() and row for row in rows)


@settings(deadline=None)
@given(scenes(), SIZES)
def test_the_ascii_set_shows_the_same_picture(one: Scene, size: tuple[int, int]) -> None:
    assert [row.replace("░", ":") for row in draw(one, *size)] == list(draw(one, *size, ascii_only=True))
