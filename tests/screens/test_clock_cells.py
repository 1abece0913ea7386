"""Where the clocks stand: each in cells of its own, the one needed least goes first, and a tick moves nothing else."""

from __future__ import annotations

from dataclasses import replace

import pytest
from rich.cells import cell_len

from stepper.screens.clock_cells import Foot, clock_cells
from stepper.screens.page import page_clocks, page_rows
from stepper.screens.palette import DARK, Look
from stepper.screens.paper import Paper
from stepper.session.view import Band, ChairView, Clocks, RunningClock, Tone
from tests.screens.desks import FakeDesk
from tests.screens.test_app import app_with, settled, shown
from tests.screens.views import CLOCKS, SHAPING, TIME_OUT

LOOK = Look(DARK)
TOOTH = replace(SHAPING, title="45 lower right second premolar")
SEALER = RunningClock("sealer", "16:20", "! over", "", Tone.WARN)
FIVE = Clocks("14:31", (SEALER, *CLOCKS.running))
LONGEST = Clocks(
    "14:31",
    (
        replace(SEALER, time="1:16:20"),
        RunningClock("chlorhexidine", "1:02:05", "", ""),
        *(replace(one, time="9:59:59") for one in CLOCKS.running[1:]),
    ),
)


def rows(view: ChairView, clocks: Clocks, size: tuple[int, int] = (80, 24)) -> list[str]:
    return [row.text for row in page_rows(view, clocks, "", None, size, LOOK)]


def words(view: ChairView, clocks: Clocks, size: tuple[int, int] = (80, 24)) -> list[str]:
    return [" ".join(one.piece.text.split()) for one in page_clocks(view, clocks, None, size, LOOK)]


@pytest.mark.parametrize("clocks", [FIVE, LONGEST])
def test_five_clocks_stand_on_the_least_screen_and_push_nothing(clocks: Clocks) -> None:
    bare = rows(TOOTH, Clocks("14:31"))
    for row, (with_clocks, without) in enumerate(zip(rows(TOOTH, clocks), bare, strict=True)):
        cells = [one for one in page_clocks(TOOTH, clocks, None, (80, 24), LOOK) if one.row == row]
        kept = list(with_clocks)
        for one in cells:
            at = slice(one.x, one.x + one.piece.cell_length)
            assert row == 0 or not without[at].strip(), "it stands where nothing stood"
            kept[at] = without[at]
        assert "".join(kept) == without
    found = words(TOOTH, clocks)
    assert len(found) == 6
    for one in clocks.running:
        assert f"{one.word} {one.time} {one.mark}".strip() in found


def test_no_two_clocks_share_a_cell_and_all_lie_on_the_screen() -> None:
    for width in range(80, 161):
        taken: set[tuple[int, int]] = set()
        for one in clock_cells(LONGEST, 30, width, Foot(18, 3, 22), LOOK):
            mine = {(one.row, x) for x in range(one.x, one.x + one.piece.cell_length)}
            assert not mine & taken
            assert all(0 <= x < width for _, x in mine)
            taken |= mine
        assert all(x > 30 for row, x in taken if row == 0), "the title is left alone"


def test_where_room_lacks_the_clock_needed_least_goes_first() -> None:
    gone = []
    for free in (3, 2, 1, 0):
        gone.append([" ".join(one.piece.text.split()) for one in clock_cells(FIVE, 31, 80, Foot(18, free, 22), LOOK)])
    lost = [set(gone[0]) - set(one) for one in gone]
    assert lost == [
        set(),
        {"visit 1:07:12"},
        {"visit 1:07:12", "step 0:12"},
        {"visit 1:07:12", "step 0:12", "dam 58:10"},
    ]
    assert [" ".join(one.piece.text.split()) for one in clock_cells(FIVE, 70, 80, Foot(), LOOK)] == ["14:31"]


def test_an_alarm_leaves_the_sealer_and_the_solution() -> None:
    band = Band("!!", "STOP", "Much to say, " * 20, Tone.STOP)
    found = words(replace(TOOTH, band=band, saying="More to say, " * 20, banner="PRACTICE"), FIVE)
    assert {"14:31", "sealer 16:20 ! over", "hypochlorite 0:09"} <= set(found)


def test_a_blind_question_leaves_the_time_of_day_alone() -> None:
    assert words(TIME_OUT, FIVE) == ["14:31"]
    assert not any(word in "\n".join(rows(TIME_OUT, FIVE)) for word in ("sealer", "hypochlorite", "1:07:12", "58:10"))


def test_the_sign_and_the_word_stand_beside_the_figures_without_a_colour() -> None:
    assert "sealer 16:20 ! over" in rows(TOOTH, FIVE)[0]
    assert cell_len(rows(TOOTH, FIVE)[0]) == 80


def regions_of(paper: Paper) -> list[tuple[int, int, int, int]]:
    """Keep every region that the sheet asks to be painted anew."""
    asked: list[tuple[int, int, int, int]] = []
    refresh = paper.refresh

    def watched(*regions, layout: bool = False, **rest) -> Paper:
        assert not layout
        asked.extend(regions or [(0, 0, *paper.size)])
        return refresh(*regions, layout=layout, **rest)

    paper.refresh = watched  # type: ignore[method-assign]
    return asked


async def test_a_tick_paints_the_cells_of_the_clocks_that_moved_and_no_other() -> None:
    desk = FakeDesk(TOOTH)
    desk.time = FIVE
    app = app_with(desk)
    async with app.run_test() as pilot:
        stood = {one.piece.text.split()[0]: one.place for one in page_clocks(TOOTH, FIVE, None, (80, 24), LOOK)}
        asked = regions_of(app.query_one(Paper))
        app._tick()
        assert asked == [], "nothing moved"
        sealer, solution, dam, step, visit = FIVE.running
        desk.time = Clocks("14:31", (replace(sealer, time="16:21"), solution, dam, replace(step, time="0:13"), visit))
        app._tick()
        want = [(x, row, width, 1) for row, x, width in (stood["sealer"], stood["step"])]
        assert sorted(asked) == sorted(want)
        asked.clear()
        desk.time = replace(desk.time, now="14:32")
        app._tick()
        assert asked == [(74, 0, 5, 1)]
        asked.clear()
        desk.time = replace(
            FIVE, running=(replace(sealer, time="16:22"), replace(solution, time="0:11"), dam, step, visit)
        )
        app._tick()
        (x, row, width, _), *foot = asked
        assert (row, x, x + width) == (0, stood["sealer"][1], 79), "one region, from the first to the last that moved"
        assert [region[1] for region in foot] == [stood["step"][0]]
        await settled(pilot)
        assert "16:22" in shown(app)
        assert "hypochlorite 0:11" in shown(app)
        assert "step 0:12" in shown(app)
        assert "14:31" in shown(app)


async def test_a_clock_that_ends_or_grows_a_sign_is_painted_with_all_that_moves() -> None:
    desk = FakeDesk(TOOTH)
    desk.time = Clocks("14:31", (replace(SEALER, mark=""), *CLOCKS.running))
    app = app_with(desk)
    async with app.run_test() as pilot:
        desk.time = FIVE
        app._tick()
        await settled(pilot)
        assert "sealer 16:20 ! over" in shown(app).split("\n")[0]
        desk.time = CLOCKS
        app._tick()
        await settled(pilot)
        assert "sealer" not in shown(app)
        assert shown(app) == "\n".join(rows(TOOTH, CLOCKS)[:22] + shown(app).split("\n")[22:])
