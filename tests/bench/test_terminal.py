"""The pure parts of what is measured at the terminal, and a few bursts and endings for real."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from stepper.session.store import read_case
from tests.bench import bursts, endings, holding, latency, terminal
from tests.bench.__main__ import main
from tests.bench.bars import Bar, is_quiet, quiet_blocks
from tests.bench.bursts import Burst, random_burst, wrong
from tests.bench.contenders import Contender
from tests.bench.endings import Ended, Ending
from tests.bench.outcome import Asked, Outcome
from tests.bench.sessions import write_session
from tests.bench.timing import Figures

MS = 1_000_000


def test_a_bar_is_kept_up_to_the_bar_itself():
    assert Bar("a", 0.95, 0.95).kept
    broken = Bar("b", 0.951, 0.95)
    assert not broken.kept
    assert broken.line.split() == ["b", "0.951", "bar", "0.95", "BROKEN"]


def test_a_block_is_quiet_while_its_p95_is_at_most_twice_its_median():
    assert is_quiet([1.0] * 19 + [2.0, 2.0])
    assert not is_quiet([1.0] * 18 + [2.1, 2.1])
    assert is_quiet([1.0] * 20 + [50.0]), "one disturbed key in twenty-one is left out of the 95th percentile"


def test_a_noisy_block_is_taken_again():
    blocks = iter([[1.0, 1.0, 9.0], [1.0, 1.1], [1.0, 1.0, 5.0], [1.0, 1.2]])
    assert quiet_blocks(lambda: next(blocks), lambda block: block, 2) == ([[1.0, 1.1], [1.0, 1.2]], 2)


def test_it_ends_where_it_never_gets_quiet():
    assert quiet_blocks(lambda: [1.0, 1.0, 9.0], lambda block: block, 3) == ([], 9)


def figures(*ms: float) -> Figures:
    return Figures(tuple(one * MS for one in ms))


def test_what_was_never_quiet_is_said_to_be_and_judged_by_nobody():
    made = {"minimal": figures(3, 3), "10 entries": figures(2, 2)}
    bars = [Bar("key", 0.7, 0.95)]
    good = latency.outcome("Keys", made, bars, noisy=1, enough=True)
    assert good.kept and any("1 noisy block" in line for line in good.lines)
    bad = latency.outcome("Keys", made, bars, noisy=9, enough=False)
    assert not bad.kept and any("NEVER QUIET" in line for line in bad.lines)
    assert good.members["figures"]["10 entries"] == {"median_ms": 2, "p95_ms": 2}


def test_memory_and_idle_are_held_to_their_bars():
    found = [Contender("minimal", None), Contender("10", None, 10), Contender("10,010", None, 10_010)]  # type: ignore[arg-type]
    assert holding.told(found, [30, 40, 55], [0.1, 0.2, 0.5]).kept
    assert not holding.told(found, [30, 40, 55.1], [0.1, 0.2, 0.5]).kept, "25 MB above, and no more"
    assert not holding.told(found, [30, 31, 51.1], [0.1, 0.2, 0.5]).kept, "2 MB per 1,000, and no more"
    assert not holding.told(found, [30, 40, 55], [0.6, 0.2, 0.51]).kept, (
        "the bar is the program's, not the minimal app's"
    )


def test_a_burst_comes_out_as_a_person_would_reckon():
    rest = random.Random(1)
    made = [random_burst(rest) for _ in range(400)]
    keys = "".join(burst.keys for burst in made)
    assert all(key in keys for key in bursts.DIGITS + bursts.SIGNS + bursts.GS + bursts.BACKSPACE + bursts.ENTER)
    assert all(line for burst in made for line in burst.lines), "an empty Enter is taken for a bounce"
    for burst in made:
        lines, line = [], ""
        for key in burst.keys:
            if key == "\r":
                lines, line = [*lines, line], ""
            else:
                line = line[:-1] if key == "\x7f" else line + key
        assert (tuple(lines), line) == (burst.lines, "")


def test_what_came_otherwise_is_told():
    sent = [Burst("1\r", ("1",)), Burst("23\r4\r", ("23", "4"))]
    assert wrong(sent, ["1", "23", "4"]) == []
    assert wrong(sent, ["1", "4", "23"])[0].startswith("burst 2: ")
    assert wrong(sent, ["1", "23"])[0].startswith("burst 2: ")
    assert wrong(sent, ["1", "23", "4", "4"]) == ["1 lines more than were keyed"]


def test_an_ending_is_wrong_in_each_of_three_ways():
    good = Ended(Ending.HANG_UP, shown=3, kept=4, took_s=0.2, status=129, sane=True)
    assert good.wrong == ""
    assert endings.told([good]).kept
    assert "3 entries were shown as logged, 2" in Ended(Ending.CLOSED, 3, 2, 0.2, 129, True).wrong
    assert "not gone within 1 s" in Ended(Ending.TERMINATION, 3, 3, None, None, True).wrong
    left = Ended(Ending.TERMINATION, 3, 3, 0.2, 143, False)
    assert "terminal" in left.wrong
    assert not endings.told([good, left]).kept


@pytest.mark.parametrize("entries", [10, 300])
def test_a_session_is_as_long_as_asked_and_can_be_read(tmp_path: Path, entries: int):
    path = write_session(tmp_path, entries)
    found, case, fault = read_case(path)
    assert (len(found.entries), found.damage, fault) == (entries, None, "")
    assert case is not None
    assert set(case.told.canals) == {1, 2, 3}
    assert all(case.protocol.by_step[entry.step] for entry in case.entries if entry.kind == "answer")


def test_a_long_session_holds_corrections_and_ways_to_and_fro(tmp_path: Path):
    case = read_case(write_session(tmp_path, 600))[1]
    assert case is not None
    assert {"answer", "go", "correction", "confirm"} <= {entry.kind for entry in case.entries}
    assert case.unconfirmed == ()


def test_a_few_bursts_and_endings_for_real():
    assert bursts.bench(3).kept
    assert endings.bench(3).kept


def test_parts_can_be_asked_for_by_name(monkeypatch: pytest.MonkeyPatch):
    asked: list[int] = []
    monkeypatch.setitem(
        terminal.BY_THEMSELVES, "terminal.start", lambda blocks: asked.append(blocks) or Outcome([""], {})
    )
    assert main(["terminal.start", "--turns", "3"]) == 0
    assert asked == [3]
    assert not terminal.bench(Asked(None, ""), ("terminal.start",)).members["terminal.start"]
