"""The drawing of the canals at the chair: opened by menu 10, two pages for each canal, read only, on any screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepper.screens.page_size import text_height
from stepper.session.modes.drawing import Drawing
from stepper.session.view import Page, Tone
from tests.drive import Chair
from tests.note.scenes import legend
from tests.session.chairside import CUT, DESIGNED, page
from tests.session.plausible import asking, mode
from tests.session.stations import seated

FITTED = ("40/4", "1**4**-2**31", "2**2**-2", "1**4**-2", "", "0**1", "", "1**11", "40/4")
MANY = ("30-0", "35-0.5", "40-1", "45-2", "50-3", "55-4", "60-5", "70-6", "80-7")
CROWDED = ("20/4-3", "25/6-0", "30/8-6", "", *MANY, "", "25/4-0", "40/4-0", "45/4-1", "", *FITTED)
SIZES = ((80, 24), (100, 30), (120, 40), (200, 60))


def shown(chair: Chair) -> Page:
    drawn = chair.session.view().page
    assert drawn is not None
    return drawn


@pytest.fixture
def several(tmp_path: Path) -> Chair:
    """Two canals; P is gauged as the design's example, B is not, and P is the one worked in."""
    chair = seated(tmp_path / "sessions", "both measured")
    chair.key("8/", "2*25/6-0", "9/", "2*30-0", "2*35-0.5", "2*")
    return chair


def test_it_is_in_the_menu_once_there_are_canals(tmp_path: Path) -> None:
    chair = seated(tmp_path / "one", "isolation")
    assert not any(one.number == "10" for one in chair.key("/").prompt.choices)
    chair = seated(tmp_path / "other", "length")
    assert [one.text for one in chair.key("/").prompt.choices if one.number == "10"] == ["draw the canals"]


def test_it_opens_at_the_canal_that_is_worked_in_close_to_length(several: Chair) -> None:
    several.key("/", "10")
    drawn = shown(several)
    assert drawn.title == "Canal drawing: 2 P, the last 4 mm"
    assert (drawn.number, drawn.of) == (3, 4)
    assert "0.28-0.44 mm" in legend(drawn.rows)
    assert "35/.02 stopped 0.5 mm short" in legend(drawn.rows)
    assert "make both wrong." in legend(drawn.rows)


@pytest.mark.parametrize(
    ("lines", "titles"),
    [
        (("+",), "2 P, whole"),
        (("+", "+"), "1 B, the last 4 mm"),
        (("+", "+", "+"), "1 B, whole"),
        (("+", "+", "+", "+"), "2 P, the last 4 mm"),
        (("-",), "1 B, whole"),
        (("-", "-", "-", "-"), "2 P, the last 4 mm"),
        (("1",), "1 B, the last 4 mm"),
        (("1", "+", "2"), "2 P, the last 4 mm"),
        (("2", "-", "-"), "1 B, the last 4 mm"),
        (("..",), "2 P, the last 4 mm"),
    ],
)
def test_pages_are_turned_by_plus_minus_and_the_canals_number(
    several: Chair, lines: tuple[str, ...], titles: str
) -> None:
    several.key("/", "10", *lines)
    assert shown(several).title == f"Canal drawing: {titles}"


@pytest.mark.parametrize("line", ["", "0"])
def test_enter_and_0_go_back_to_the_question(several: Chair, line: str) -> None:
    asked = several.session.view().prompt
    several.key("/", "10", "+", line)
    assert asking(several)
    assert several.session.view().prompt == asked
    assert several.session.view().page is None


@pytest.mark.parametrize("line", ["3", "9", "word", "30-0", "1**1", "--", "-/", "35/4"])
def test_anything_else_is_told_what_there_is(several: Chair, line: str) -> None:
    several.key("/", "10")
    entries, drawn = len(several.case.entries), shown(several)
    view = several.key(line)
    assert (view.page, len(several.case.entries)) == (drawn, entries)
    assert view.saying_tone is Tone.WARN
    assert view.saying


@pytest.mark.parametrize("line", ["2*", "8/", "5--", "3/--"])
def test_nothing_else_is_gone_to_from_it(several: Chair, line: str) -> None:
    several.key("/", "10")
    cursor = several.session.room.cursor
    several.key(line)
    assert isinstance(mode(several), Drawing)
    assert several.session.room.cursor == cursor


def test_at_a_step_of_the_tooth_the_first_canal_is_drawn(several: Chair) -> None:
    several.key("6/", "/", "10")
    assert shown(several).title.startswith("Canal drawing: 1 B")


def test_a_canal_with_nothing_in_it_says_so(several: Chair) -> None:
    several.key("/", "10", "1")
    assert legend(shown(several).rows) == "B: there is nothing to draw yet: no gauging, no file and no cone."


def test_after_a_cut_it_says_that_the_bounds_are_as_gauged(tmp_path: Path) -> None:
    chair = seated(tmp_path / "sessions", "flare")
    chair.key(*DESIGNED, *CUT, "/", "10")
    said = legend(shown(chair).rows)
    assert "Bounds as gauged; files have cut since." in said
    assert "A cut 25/.06, tip at length" in said
    assert "D cut 40/.04, tip at length" in said


def test_a_contradiction_and_an_open_apex_are_said_in_words(tmp_path: Path) -> None:
    chair = seated(tmp_path / "sessions", "flare")
    chair.key("40/4-0", "", "30-0**1", "/", "10")
    assert "these cannot all be true: 40/.04 cut and 30/.02-0 held." in legend(shown(chair).rows)
    chair.key("", "7/", "22**22**22**1**1**1**3", "9/", "30-0", "/", "10")
    assert "the apex is resorbed" in legend(shown(chair).rows)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("keyed", ["designed", "shaped and fitted", "contradicting", "two canals", "crowded"])
def test_the_whole_page_is_on_the_screen(tmp_path: Path, size: tuple[int, int], keyed: str) -> None:
    station = "both measured" if keyed == "two canals" else "flare"
    chair = seated(tmp_path / "sessions", station)
    lines = {
        "designed": DESIGNED,
        "shaped and fitted": (*DESIGNED, *CUT, *FITTED),
        "contradicting": ("40/4-0", "", "30-0**1", "25-1", "20-3"),
        "crowded": CROWDED,
        "two canals": ("8/", "12*25/6-0", "9/", "12*30-0", "12*35-0.5"),
    }  # fmt: skip
    chair.session.fit(text_height(size[1]))
    chair.key(*lines[keyed], "/", "10")
    for _ in range(shown(chair).of):
        rows = page(chair, size)
        drawn = shown(chair)
        at = next(number for number, row in enumerate(rows) if row.strip().startswith("Canal drawing"))
        for row, text in zip(rows[at + 1 :], drawn.rows, strict=False):
            assert row.rstrip() == text.rstrip()
        assert len(drawn.rows) <= text_height(size[1])
        assert "> _" in rows[-2]
        assert ("Narrowest at length:" in legend(drawn.rows)) == (keyed != "contradicting")
        assert ("make both wrong." in legend(drawn.rows)) == (keyed != "contradicting")
        chair.key("+")


def test_on_a_small_screen_the_last_stops_are_drawn_that_have_room(tmp_path: Path) -> None:
    chair = seated(tmp_path / "sessions", "flare")
    chair.key(*CROWDED, "/", "10")
    assert "60/.02" not in legend(shown(chair).rows), "it is not on these rows"
    chair.key("+")
    assert "1 40/.02 stopped 1 mm short" in legend(shown(chair).rows)
    chair.session.fit(text_height(60))
    assert "1 35/.02 stopped 0.5 mm short" in legend(shown(chair).rows)
