"""The command: prove, print what came of it and the tables, and fail if anything is amiss."""

from __future__ import annotations

import argparse
import sys

from tests.gauging.canals import Model
from tests.gauging.run import cells, proved, tallied
from tests.gauging.tables import DEPARTURES, Tally, departed, in_the_model


def main(arguments: list[str] | None = None) -> int:
    """Give 1 if anything that is said to be proved is not."""
    parser = argparse.ArgumentParser(description="Hold what gauging proves against simulated canals and brute force.")
    parser.add_argument("--canals", type=int, default=100_000, help="half of them in the cells of the table")
    parser.add_argument("--programs", type=int, default=500, help="cases held against a mixed-integer program")
    parser.add_argument("--further", type=int, default=200, help="cases of a further reading, by brute force")
    parser.add_argument("--contradictions", type=int, default=2000, help="cases of a smallest contradiction")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=1)
    chosen = parser.parse_args(arguments)
    seed, jobs = chosen.seed, chosen.jobs
    print(f"canals {chosen.canals}, seed {seed}")
    wrong = _tables(chosen.canals, seed, jobs)
    for what, count in (
        ("truth", chosen.canals // 2),
        ("waste", chosen.programs),
        ("further", chosen.further),
        ("contradiction", chosen.contradictions),
    ):
        score = proved(what, count, seed, jobs)
        kinds = ", ".join(f"{kind} {times}" for kind, times in sorted(score.kinds.items()))
        print(f"{what}: {count} cases ({kinds}), furthest apart {score.apart_mm:.4f} mm, wrong {len(score.wrong)}")
        wrong += score.wrong
    print(f"violations {len(wrong)}")
    for one in wrong[:20]:
        print(f"  {one}")
    return 1 if wrong else 0


def _tables(canals: int, seed: int, jobs: int) -> list[str]:
    """Print both tables; half of the canals lie in the cells of the first, and each departure takes a tenth of them."""
    modelled, wrong = tallied(cells("none"), canals // 16, seed, jobs)
    print(*in_the_model({(cut, taper): one for (_, cut, taper), one in modelled.items()}), sep="\n")
    pooled = {"none": _pooled(modelled)}
    for name, model in DEPARTURES.items():
        if model != Model():
            pooled[name] = _pooled(tallied(cells(name), canals // 80, seed, jobs)[0])
    print(*departed(pooled), sep="\n")
    return wrong


def _pooled(tallies: dict[tuple[str, float | None, float], Tally]) -> Tally:
    total = Tally()
    for one in tallies.values():
        total.add(one)
    return total


if __name__ == "__main__":
    sys.exit(main())
