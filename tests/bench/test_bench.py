"""The arithmetic of the benchmarks, by clocks that are made up: nothing here is timed."""

from __future__ import annotations

import gc
import importlib
import inspect
import json
import pkgutil
import textwrap
from collections.abc import Callable
from pathlib import Path

import pytest

import stepper.sums
from tests.bench import keys, sums
from tests.bench.__main__ import main
from tests.bench.outcome import Asked, CannotMeasureError, Outcome
from tests.bench.timing import (
    SAMPLE_NS,
    Figures,
    pooled,
    ranked,
    ratios,
    sampler,
    take_turns,
    time_in_turns,
    uncollected,
)

MS = 1_000_000


class FakeClock:
    """Stands still but for the work that is done under it."""

    def __init__(self) -> None:
        self.now_ns = 0

    def __call__(self) -> int:
        return self.now_ns

    def work(self, *ns: int) -> Callable[[], None]:
        """Give a thunk that takes these times in turn, the last for ever after."""
        left = list(ns)

        def thunk() -> None:
            self.now_ns += left.pop(0) if len(left) > 1 else left[0]

        return thunk


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> FakeClock:
    """A clock under which the baseline loop takes a quarter of a millisecond."""
    clock = FakeClock()
    monkeypatch.setattr(sums, "baseline", clock.work(MS // 4))
    return clock


def test_medians_p95_and_ratios():
    assert Figures((5, 1, 9)).median_ns == 5
    assert Figures((1, 2, 4, 100)).median_ns == 3
    assert Figures((10, 20)).ratio_to(Figures((5, 5, 90))) == 3


@pytest.mark.parametrize(
    ("count", "p95", "lower_quarter"), [(1, 1, 1), (2, 2, 1), (19, 19, 5), (20, 19, 5), (21, 20, 6), (100, 95, 25)]
)
def test_the_ranks_are_the_nearest_ones(count: int, p95: int, lower_quarter: int):
    """Nearest rank, as textbooks have it: the ceiling of the share of the count (derived)."""
    samples = tuple(float(number) for number in range(count, 0, -1))
    assert Figures(samples).p95_ns == p95
    assert ranked(samples, 25) == lower_quarter


def test_contenders_take_turns():
    order: list[str] = []
    measures = {name: lambda name=name: order.append(name) or len(order) for name in "ABC"}
    taken = take_turns(measures, 3)
    assert "".join(order) == "ABCABCABC"
    assert taken == {"A": [1, 4, 7], "B": [2, 5, 8], "C": [3, 6, 9]}


def test_a_sample_is_as_many_calls_as_it_takes_and_told_for_one():
    clock, calls = FakeClock(), []
    work = clock.work(SAMPLE_NS // 5)
    sample = sampler(lambda: (calls.append(1), work()), clock)
    calls.clear()
    assert sample() == SAMPLE_NS / 5
    assert len(calls) == 8, "1, 2 and 4 calls are too short"


def test_a_long_one_is_called_once_a_sample():
    clock = FakeClock()
    # the first call finds out how many it takes; the others are samples
    figures = time_in_turns({"long": clock.work(7 * MS, MS, 3 * MS, 2 * MS)}, 3, clock)
    assert figures["long"].samples_ns == (MS, 3 * MS, 2 * MS)


def test_the_collector_is_out_of_a_sample_and_back_after_it():
    clock, seen = FakeClock(), []
    work = clock.work(SAMPLE_NS)
    sample = sampler(lambda: (seen.append(gc.isenabled()), work()), clock)
    seen.clear()
    sample()
    assert seen == [False]
    assert gc.isenabled()


def test_a_collector_that_was_off_stays_off():
    gc.disable()
    try:
        with uncollected():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()


def test_turns_are_pooled_and_compared_one_by_one():
    ours, theirs = [[1.0, 2.0, 30.0], [4.0]], [[4.0, 4.0, 4.0], [2.0]]
    assert pooled(ours).samples_ns == (1, 2, 30, 4)
    assert ratios(ours, theirs) == [0.5, 2.0]


def test_the_limit_of_the_sums_is_kept_below_a_millisecond_only(clock: FakeClock):
    kept = sums.run({"a": clock.work(MS - 1), "b": clock.work(MS // 10)}, 5, clock)
    assert kept.kept
    assert kept.lines[-1] == "under 1 ms at the median: all 2"
    slow = sums.run({"a": clock.work(MS - 1), "b": clock.work(MS)}, 5, clock)
    assert not slow.kept
    assert slow.lines[-1] == "NOT under 1 ms at the median: b"


def test_a_single_slow_turn_does_not_break_the_limit(clock: FakeClock):
    assert sums.run({"a": clock.work(MS // 2, MS // 2, 90 * MS, MS // 2)}, 3, clock).kept


def test_sums_are_told_beside_the_loop(clock: FakeClock):
    told = sums.run({"a": clock.work(MS // 2)}, 3, clock)
    assert told.members["a"] == {"median_us": 500, "p95_us": 500, "ratio_to_loop": 2}
    assert told.lines[-2].split() == ["a", "500.00", "500.00", "2.000"]


def test_the_exit_code_says_whether_every_limit_was_kept(
    clock: FakeClock, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    asked: list[Asked] = []

    def timed(ns: int) -> Callable[[Asked], Outcome]:
        return lambda one: asked.append(one) or sums.run({"a sum": clock.work(ns)}, 3, clock)

    benchmarks = {"slow": timed(2 * MS), "fast": timed(MS // 2)}
    assert main(["fast"], benchmarks) == 0
    assert main([], benchmarks) == 1
    assert "NOT under 1 ms at the median: a sum" in capsys.readouterr().out
    written = tmp_path / "figures.json"
    assert main(["slow", "fast", "--turns", "7", "--against", "abc", "--json", str(written)], benchmarks) == 1
    assert asked[-1] == Asked(7, "abc")
    figures = json.loads(written.read_text(encoding="utf-8"))
    assert {name: of["a sum"]["median_us"] for name, of in figures.items()} == {"slow": 2000, "fast": 500}


@pytest.mark.parametrize("arguments", [["quick"], ["fast", "--turns", "0"], ["--turns", "few"]])
def test_what_cannot_be_asked_is_refused(arguments: list[str], capsys: pytest.CaptureFixture[str]):
    with pytest.raises(SystemExit, match="2"):
        main(arguments, {"fast": lambda _: pytest.fail("measured all the same")})
    assert "Traceback" not in capsys.readouterr().err


def test_a_revision_that_is_not_there_is_said_in_a_sentence(capsys: pytest.CaptureFixture[str]):
    assert main(["keys", "--against", "no-such-revision"]) == 2
    assert capsys.readouterr().err.startswith("no-such-revision cannot be checked out to compare with: ")


def test_the_key_path_is_told_by_parts():
    here = [[(1 * MS, 4 * MS, MS), (3 * MS, 5 * MS, 9 * MS), (2 * MS, 9 * MS, 3 * MS)]]
    there = [[(2 * MS, 4 * MS, MS), (8 * MS, 1 * MS, 9 * MS), (4 * MS, 8 * MS, 2 * MS)]]
    told = keys.report("title", "e39a1d4", {"loop": [[(MS // 20,)]], "here": here, "there": there})
    ratio = {part: told.members[part]["ratio_of_medians"] for part in keys.PARTS}
    assert ratio == {"enter": 2 / 4, "view": 5 / 4, "both": 8 / 9, "processor": 3 / 2}
    assert told.members["enter"]["here"] == {"median_us": 2000, "p95_us": 3000, "ratio_to_loop": 40}
    words = " ".join(told.lines[2].split())
    assert words == "enter 2.000, p95 3.000 4.000, p95 8.000 0.500 0.500 to 0.500"


def test_scripts_that_differ_are_said_to():
    one, two = [[(MS, MS, MS)]], [[(MS, MS, MS)] * 2]
    told = keys.report("title", "e39a1d4", {"loop": one, "here": one, "there": two})
    assert told.lines[-1] == "The scripts differ: the other has 2 lines."
    assert told.members["lines"] == [1, 2]


def test_a_tree_is_keyed_by_its_own_code(tmp_path: Path):
    """Another tree's package comes before the one that is installed, and its script is the one that is keyed."""
    drive = """
        class Chair:
            session = "open"
            def __init__(self, folder): self.lobby = self
            def enter(self, line): pass
            def view(self): pass

        def script(path): return ["one", "two", "three"]
    """
    for file, text in {"stepper/__init__.py": "", "tests/__init__.py": "", "tests/drive.py": drive}.items():
        (tmp_path / file).parent.mkdir(exist_ok=True)
        (tmp_path / file).write_text(textwrap.dedent(text), encoding="utf-8")
    with keys.keying(tmp_path, str(tmp_path)) as once:
        assert [len(line) for line in once()] == [3, 3, 3]


def test_a_tree_that_is_not_keyed_by_its_own_code_is_refused(tmp_path: Path):
    why = "compares nothing|ended early"  # the latter where nothing is installed either
    with pytest.raises(CannotMeasureError, match=why), keys.keying(tmp_path, str(tmp_path)):
        pytest.fail("keyed a tree that has no code")


def test_this_tree_can_be_keyed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(keys, "SCRIPT", "visit_two.keys")
    with keys.keying(keys.ROOT, str(tmp_path)) as once:
        assert all(len(line) == 3 and min(line) > 0 for line in once())


def public_sums() -> set[str]:
    found: set[str] = set()
    prefix = f"{stepper.sums.__name__}."
    for info in pkgutil.walk_packages(stepper.sums.__path__, prefix):
        module, name = importlib.import_module(info.name), info.name.removeprefix(prefix)
        kept = [inspect.unwrap(one) for one in vars(module).values() if callable(one)]  # some keep what they found
        own = [one for one in kept if inspect.isfunction(one) and one.__module__ == info.name]
        found |= {f"{name}.{one.__name__}" for one in own if one.__name__[0] != "_" and name not in sums.STEPS}
    return found


def test_every_public_sum_is_timed():
    timed = {name.partition(",")[0] for name in sums.SUMS}
    assert public_sums() - timed == set(), "add a line for each to SUMS in tests/bench/sums.py"
    assert timed - public_sums() == {"gauging"}, "a line for a sum that is no more"


def test_every_line_of_the_table_reckons():
    for name, thunk in sums.SUMS.items():
        assert thunk() is not None or "," in name, f"{name} has nothing to reckon"


def test_the_contradiction_is_as_long_a_search_as_is_said():
    found = sums.SUMS["gauging.contradiction.smallest_contradiction"]()
    assert len(found) == 3
    assert sums.SUMS["gauging.bounds.bounds"]().contradiction == ()
