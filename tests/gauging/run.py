"""Shares of the proofs and of the tables over processes; what is drawn depends on the seed alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from multiprocessing import Pool
from random import Random

from tests.gauging import proofs
from tests.gauging.canals import Model
from tests.gauging.claims import violations
from tests.gauging.tables import CUTS, DEPARTURES, GAUGING, Tally
from tests.gauging.visits import plain_plan, visit

SHARE = 500
PROOFS: dict[str, Callable[[Random], proofs.Case]] = {
    "truth": proofs.truth,
    "waste": proofs.waste,
    "further": proofs.further,
    "contradiction": proofs.contradiction,
}

Cell = tuple[str, float | None, float]
"""A departure, the taper cut before gauging, that of the gauging files."""


@dataclass(frozen=True)
class Task:
    """A share of a proof, or of a cell of the tables."""

    what: str | Cell
    count: int
    seed: str


@dataclass
class Score:
    """What came of shares of a proof."""

    wrong: list[str] = field(default_factory=list)
    kinds: Counter[str] = field(default_factory=Counter)
    apart_mm: float = 0.0


def tasks(what: str | Cell, count: int, seed: int, share: int = SHARE) -> list[Task]:
    """Cut a count of cases into shares."""
    counts = [min(share, count - done) for done in range(0, count, share)]
    return [Task(what, one, f"{seed} {what} {at}") for at, one in enumerate(counts)]


def prove(task: Task) -> Score:
    """Run a share of a proof."""
    draw, score = Random(task.seed), Score()
    assert isinstance(task.what, str)
    for _ in range(task.count):
        case = PROOFS[task.what](draw)
        score.kinds[case.kind] += 1
        score.apart_mm = max(score.apart_mm, case.apart_mm)
        if case.wrong is not None:
            score.wrong.append(f"{task.what}: {case.wrong}")
    return score


def tally(task: Task) -> tuple[Tally, list[str]]:
    """Run a share of a cell; without a departure its canals are held against the truth as well."""
    draw, counted, wrong = Random(task.seed), Tally(), list[str]()
    assert not isinstance(task.what, str)
    departure, cut, taper = task.what
    model = DEPARTURES[departure]
    for _ in range(task.count):
        seen = visit(plain_plan(cut, taper, draw), model, draw)
        counted.take(seen)
        if model == Model():
            wrong += [f"truth: {one}" for one in violations(seen, draw)]
    return counted, wrong


def cells(departure: str) -> list[Cell]:
    """Give the cells of one departure."""
    return [(departure, cut, taper) for cut in CUTS for taper in GAUGING]


def shared(work: Callable[[Task], object], todo: list[Task], jobs: int) -> Iterator[object]:
    """Run shares on processes, in order."""
    if jobs == 1:
        yield from map(work, todo)
        return
    with Pool(jobs) as pool:
        yield from pool.imap(work, todo)


def proved(what: str, count: int, seed: int, jobs: int) -> Score:
    """Run a proof on so many cases."""
    total = Score()
    share = SHARE if what in ("truth", "contradiction") else 10
    for one in shared(prove, tasks(what, count, seed, share), jobs):
        assert isinstance(one, Score)
        total.wrong += one.wrong
        total.kinds += one.kinds
        total.apart_mm = max(total.apart_mm, one.apart_mm)
    return total


def tallied(todo: list[Cell], count: int, seed: int, jobs: int) -> tuple[dict[Cell, Tally], list[str]]:
    """Run cells of the tables, each on so many canals."""
    found: dict[Cell, Tally] = {cell: Tally() for cell in todo}
    wrong: list[str] = []
    split = [task for cell in todo for task in tasks(cell, count, seed)]
    for task, one in zip(split, shared(tally, split, jobs), strict=True):
        assert isinstance(one, tuple) and not isinstance(task.what, str)
        counted, said = one
        found[task.what].add(counted)
        wrong += said
    return found, wrong
