"""What is said to be proved of a canal is true of it: canals and files simulated, by code that shares nothing.

The full run is `python -m tests.gauging`.
"""

from __future__ import annotations

from decimal import Decimal
from random import Random

import pytest

from stepper.sums.gauging.model import Model as Assumed
from tests.gauging.__main__ import main
from tests.gauging.canals import Model, canal, real, stock
from tests.gauging.claims import violations
from tests.gauging.proofs import Case
from tests.gauging.run import PROOFS, cells, proved, tallied
from tests.gauging.tables import DEPARTURES
from tests.gauging.visits import mixed_plan, plain_plan, visit
from tests.gauging.walls import FAR_MM, RealFile, Wall

PARALLEL = Wall(((0.0, 10.0, 0.5, 0.5), (10.0, FAR_MM, 6.0, 6.0)))
SERIES_02 = RealFile(((0.0, 0.45), (16.0, 0.77)))


def test_nothing_untrue_is_said_of_a_thousand_and_a_half_canals_gauged_in_any_way() -> None:
    score = proved("truth", 1500, 7, 1)
    assert score.wrong == []
    assert score.kinds["held"] > 1400


def test_nothing_untrue_is_said_in_the_cells_of_the_table() -> None:
    found, wrong = tallied(cells("none"), 190, 7, 1)
    assert wrong == []
    assert sum(one.canals for one in found.values()) == 1520
    assert all(one.too_low == one.too_high == one.contradictions == 0 for one in found.values())
    # The more was cut before, the more seldom is the tip-held reading wrong; else the table says nothing.
    wrong_of = {cell[1:]: one.tip_wrong / one.tip_bound for cell, one in found.items()}
    assert wrong_of[None, 0.02] > wrong_of[0.08, 0.02]
    assert wrong_of[None, 0.04] > 0.5


@pytest.mark.parametrize("model", [Model(stop_off_mm=0.25), Model(conical_tip=True), Model(tolerances=2)])
def test_a_canal_that_departs_from_the_model_is_noticed(model: Model) -> None:
    draw = Random(3)
    seen = [visit(plain_plan(0.06, 0.02, draw), model, draw) for _ in range(200)]
    assert sum(bool(violations(one, draw)) for one in seen) > 5


def test_a_canal_narrow_further_out_than_is_reckoned_is_noticed_and_a_longer_span_is_true_of_it() -> None:
    draw, long = Random(3), Model(orifice_mm=(16.0, 24.0))
    seen = [visit(mixed_plan(draw), long, draw) for _ in range(200)]
    within = [one for one in seen if all(reading.short_mm <= 16 for reading in one.readings)]
    assert sum(bool(violations(one, draw)) for one in within) > 5
    assert not [wrong for one in seen for wrong in violations(one, draw, Assumed(span_mm=Decimal(30)))]


def test_a_file_touches_at_the_orifice_of_a_parallel_canal() -> None:
    # 0.45 + 0.02 u = 0.5 at u = 2.5; the orifice is at 10 mm, so the tip rests 7.5 mm from length.
    assert PARALLEL.stop_of(SERIES_02) == (pytest.approx(7.5), (10.0,))


def test_a_file_that_is_loose_all_along_stops_nowhere() -> None:
    assert PARALLEL.stop_of(RealFile(((0.0, 0.1), (16.0, 0.42))))[0] < 0


def test_a_file_touches_at_its_tip_where_the_canal_widens_faster() -> None:
    wall = Wall(((0.0, 10.0, 0.3, 0.9), (10.0, FAR_MM, 6.0, 6.0)))  # taper .06
    assert wall.stop_of(SERIES_02) == (pytest.approx(2.5), (pytest.approx(2.5),))  # 0.3 + 0.06 x = 0.45


def test_a_file_rests_on_a_step() -> None:
    wall = Wall(((0.0, 4.0, 0.3, 0.3), (4.0, 10.0, 0.8, 0.8), (10.0, FAR_MM, 6.0, 6.0)))
    assert wall.stop_of(SERIES_02) == (4.0, (4.0,))


def test_a_file_that_has_cut_touches_all_along_where_it_has_cut() -> None:
    cut = PARALLEL.cut_by(SERIES_02, 2.0)
    stop, touched = cut.stop_of(SERIES_02)
    assert stop == pytest.approx(2.0)
    assert len(touched) >= 2
    assert cut.width(3.0) == 0.5
    assert cut.width(8.0) == pytest.approx(0.45 + 0.02 * 6)


def test_a_stop_is_where_a_slow_search_finds_it() -> None:
    draw = Random(11)
    for _ in range(60):
        wall = canal(Model(), draw).wall
        file = RealFile(stock(draw.choice((20, 35, 50, 70)), draw.choice((0.02, 0.04)), 16.0).corners)
        stop = max(wall.stop_of(file)[0], 0.0)
        assert fits(wall, file, stop + 1e-6)
        assert stop == 0.0 or not fits(wall, file, stop - 1e-2)


def fits(wall: Wall, file: RealFile, tip_at: float) -> bool:
    places = [tip_at + 16 * at / 8000 for at in range(8001)] + [a for a, _, _, _ in wall.pieces if a >= tip_at]
    return all(wall.before(x) >= file.width(x - tip_at) - 1e-12 for x in places if x - tip_at <= 16)


def test_a_real_tip_is_a_cone_within_the_projected_one() -> None:
    # Angle 75 +/- 15 degrees (seen). 0.35 / (2 tan 37.5 degrees - 0.02) = 0.231 mm from its point it is as wide as the
    # projected file, 0.02 mm more or less in diameter.
    file = real(stock(35, 0.02), Model(conical_tip=True), Random(5))
    (point, (shoulder, width), _) = file.corners
    assert point == (0.0, 0.0)
    assert width == pytest.approx(1.5347 * shoulder, abs=1e-4)
    assert shoulder == pytest.approx(0.231, abs=0.014)


SHORT = ["--canals", "160", "--programs", "1", "--further", "1", "--contradictions", "5"]


def test_the_command_prints_both_tables_and_what_came_of_each_proof(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(SHORT) == 0
    said = capsys.readouterr().out
    assert all(f"| {name} |" in said for name in (*DEPARTURES, "nothing", "25/.08 to length"))
    assert [line.split(":")[0] for line in said.splitlines()[-5:-1]] == ["truth", "waste", "further", "contradiction"]
    assert said.endswith("violations 0\n")


def test_the_command_fails_if_anything_is_untrue(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(PROOFS, "contradiction", lambda _: Case("planted", "none"))
    assert main(SHORT) == 1
    assert "violations 5\n  contradiction: planted\n" in capsys.readouterr().out
