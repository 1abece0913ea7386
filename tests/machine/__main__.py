"""The command: walk, print what came of it, and fail if anything is amiss."""

from __future__ import annotations

import argparse
import sys

from tests.machine.run import share
from tests.machine.score import total


def main(arguments: list[str] | None = None) -> int:
    """Give 1 if there is a violation, or if the walk proves too little."""
    parser = argparse.ArgumentParser(description="Walk at random over entries and hold the gate against the oracle.")
    parser.add_argument("--steps", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=1, help="processes, with seeds from --seed on")
    chosen = parser.parse_args(arguments)
    scores = share(chosen.steps, chosen.seed, chosen.jobs)
    score, nothing = total(scores), any(one.fills == 0 for one in scores)
    print(f"steps {score.steps}, sessions {score.sessions}, seed {chosen.seed}, jobs {chosen.jobs}")
    print(f"fills reached {score.fills}, fills tried against a shut gate {score.shut}, gates found open {score.opened}")
    print("drawn: " + "; ".join(f"{kind} {times}" for kind, times in sorted(score.drawn.items())))
    print(f"violations {len(score.violations)}")
    for violation in score.violations:
        print(f"  {violation}")
    if nothing:
        print("no fill was reached: the walk proves nothing")
    missing = score.missing()
    if missing:
        print(f"never drawn: {', '.join(missing)}")
    return 1 if score.violations or nothing or missing else 0


if __name__ == "__main__":
    sys.exit(main())
