"""The key path: a whole visit keyed without a screen, this tree against a revision, turn by turn.

Each tree has a process of its own; in each turn both key the script once, one after the other, on a folder in memory
where the system has one, so that the disk does not hide what the program takes. The terminal is not in it: `view` makes
all that the screen paints. On a machine that does other work besides, go by the processor's time: waiting is not in it.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

from tests.bench.outcome import Asked, CannotMeasureError, Outcome
from tests.bench.timing import Figures, baseline, members, pooled, ranked, ratios, sampler, take_turns

BEFORE_THE_SUMS = "e39a1d4"
"""The last commit before the sums that nobody does in their head came to the chair."""

TURNS = 40
SCRIPT = "four_canals.keys"
"""The longest of the sample scripts; nothing in it needs a second process."""

ROOT = Path(__file__).parents[2]
MEMORY = Path("/dev/shm")

Line = Sequence[int]
"""Of one entered line, the ns of entering it (judged, written, folded) and of making the view after it; and the
processor's ns for both."""

PARTS: dict[str, Callable[[Line], int]] = {
    "enter": lambda line: line[0],
    "view": lambda line: line[1],
    "both": lambda line: line[0] + line[1],
    "processor": lambda line: line[2],
}


def bench(asked: Asked) -> Outcome:
    """Key the script in both trees, in turns."""
    turns = asked.turns or TURNS
    place = str(MEMORY) if os.access(MEMORY, os.W_OK) else ""
    loop = sampler(baseline)
    with worktree(asked.against) as other, keying(ROOT, place) as here, keying(other, place) as there:
        here(), there()  # the first time warms up and is not counted
        measures: dict[str, Callable[[], list[Line]]] = {
            "loop": lambda: [(round(loop()),)],
            "here": here,
            "there": there,
        }
        taken = take_turns(measures, turns)
    return report(f"Key path: {SCRIPT}, {turns} turns, in {place or 'a temporary folder'}", asked.against, taken)


@contextmanager
def worktree(revision: str) -> Iterator[Path]:
    """Check a revision out beside the tree, for as long as it is needed."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "tree"
        made = _git("worktree", "add", "--detach", "--quiet", str(path), revision)
        if made.returncode:
            raise CannotMeasureError(f"{revision} cannot be checked out to compare with: {made.stderr.strip()}")
        try:
            yield path
        finally:
            _git("worktree", "remove", "--force", str(path))


@contextmanager
def keying(tree: Path, place: str) -> Iterator[Callable[[], list[Line]]]:
    """Start a process that keys the tree's own script by the tree's own package; give what makes it do so once."""
    # -P and the path: neither this folder nor an installed package comes before the tree
    command = [sys.executable, "-P", str(Path(__file__).with_name("keyed.py")), SCRIPT, place]
    env = {**os.environ, "PYTHONPATH": str(tree)}
    pipe = subprocess.PIPE
    with subprocess.Popen(command, cwd=tree, env=env, stdin=pipe, stdout=pipe, text=True, encoding="utf-8") as process:
        assert process.stdin is not None and process.stdout is not None
        told, asking = process.stdout, process.stdin
        strange = [path for path in _answer(told, tree) if not Path(path).resolve().is_relative_to(tree.resolve())]
        if strange:
            raise CannotMeasureError(f"In {tree}, {strange[0]} was taken, which is not in it: that compares nothing.")

        def once() -> list[Line]:
            asking.write("\n")
            asking.flush()
            lines: list[Line] = _answer(told, tree)
            return lines

        yield once


def report(title: str, against: str, taken: Mapping[str, Sequence[Sequence[Line]]]) -> Outcome:
    """Give a row for a part of a line: both trees, the ratio of their medians with that of the middle half of turns."""
    loop = pooled([[line[0] for line in turn] for turn in taken["loop"]])
    rows, found = [f"{'ms':10}{'this tree':>20}{against[:16]:>22}{'ratio':>8}   middle half of the turns"], {}
    for part, of in PARTS.items():
        here, there = ([[of(line) for line in turn] for turn in taken[tree]] for tree in ("here", "there"))
        ours, theirs, by_turn = pooled(here), pooled(there), ratios(here, there)
        ratio, low, high = ours.ratio_to(theirs), ranked(by_turn, 25), ranked(by_turn, 75)
        rows.append(f"{part:10}{_told(ours):>20}{_told(theirs):>22}{ratio:8.3f}   {low:.3f} to {high:.3f}")
        found[part] = {
            "here": members(ours, loop),
            "there": members(theirs, loop),
            "ratio_of_medians": ratio,
            "ratios_by_turn": by_turn,
        }
    lines = [len(taken[tree][0]) for tree in ("here", "there")]
    rows.append(f"Medians over {lines[0]} lines a turn. The baseline loop took {loop.median_ns / 1e6:.4f} ms.")
    if lines[0] != lines[1]:
        rows.append(f"The scripts differ: the other has {lines[1]} lines.")
    return Outcome([title, *rows], {"against": against, "lines": lines, **found})


def _answer(told: IO[str], tree: Path) -> list[Any]:
    line = told.readline()
    if not line:
        raise CannotMeasureError(f"Keying {SCRIPT} in {tree} ended early; what it said stands above.")
    answer: list[Any] = json.loads(line)
    return answer


def _told(figures: Figures) -> str:
    return f"{figures.median_ns / 1e6:.3f}, p95 {figures.p95_ns / 1e6:.3f}"


def _git(*words: str) -> subprocess.CompletedProcess[str]:
    try:
        return subprocess.run(["git", *words], cwd=ROOT, capture_output=True, encoding="utf-8")
    except FileNotFoundError:
        raise CannotMeasureError("There is no git here to check out what to compare with.") from None
