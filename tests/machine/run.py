"""Walk so many steps, in one process or in several."""

from __future__ import annotations

import random
from concurrent.futures import ProcessPoolExecutor

from stepper.protocol.load import load_file
from stepper.record.places import bundled
from tests.machine.chart import Chart
from tests.machine.events import EVENTS
from tests.machine.facts import NOISE, disturb
from tests.machine.right import next_right, prepare
from tests.machine.score import Score
from tests.machine.visits import brought
from tests.machine.walk import Walk

SECOND = 0.3
"""The share of sessions that go on from an earlier one."""

ANEW = 5
"""Every so many sessions the log is read anew."""


def run(steps: int, seed: int, *, stop_at: int = 5) -> Score:
    """Walk so many steps in sessions of some 40 to 110 entries."""
    protocol, _ = load_file(bundled("protocols") / "one_visit.toml")
    chart, draw, score = Chart(protocol), random.Random(seed), Score()
    walk: Walk | None = None
    while score.steps < steps and len(score.violations) < stop_at:
        score.sessions += 1
        carried = brought(chart, draw, score, walk) if draw.random() < SECOND else []
        walk = Walk(chart, draw, score, carried)
        length, amiss = draw.randint(40, 110), len(score.violations)
        while walk.seq < length and score.steps < steps and len(score.violations) == amiss:
            step(walk)
        if score.sessions % ANEW == 0 and len(score.violations) == amiss:
            walk.read_anew()
    return score


def step(walk: Walk) -> None:
    """Do one thing: mostly the next right one."""
    if not walk.prepared or not walk.case.told.canals:
        prepare(walk)
        return
    canal, chance = _canal(walk), walk.draw.random()
    if not walk.reasons[canal] and chance < 0.3:
        disturb(walk, canal)
    elif chance < 0.66:
        next_right(walk, canal)
    else:
        walk.draw.choice(NOISE if chance < 0.9 else EVENTS)(walk, canal)


def _canal(walk: Walk) -> int:
    """Any canal, or the one that is nearest to its fill: most can go amiss there."""
    left = [canal for canal, reasons in walk.reasons.items() if "clear" not in reasons]
    if left and walk.draw.random() < 0.5:
        return min(left, key=lambda canal: len(walk.reasons[canal]))
    return walk.draw.choice(list(walk.reasons))


def share(steps: int, seed: int, jobs: int) -> list[Score]:
    """Walk in so many processes, each with its share of the steps and a seed of its own."""
    if jobs == 1:
        return [run(steps, seed)]
    with ProcessPoolExecutor(jobs) as pool:
        return list(pool.map(run, [-(-steps // jobs)] * jobs, range(seed, seed + jobs)))
