"""The command: run the proofs in large numbers, say what each saw, and fail if anything was violated."""

from __future__ import annotations

import argparse
import sys

from tests.campaign.proofs import PROOFS
from tests.campaign.safeguards import NOTICED_BY, SAFEGUARDS, noticing, table
from tests.campaign.tally import Trial

TABLE = "safeguards"


def main(arguments: list[str] | None = None) -> int:
    """Give 1 if there is a violation, or if the table is not as it was."""
    parser = argparse.ArgumentParser(description="Prove the record by breaking everything around it.")
    parser.add_argument("names", nargs="*", metavar="NAME", help=f"{', '.join(PROOFS)}, {TABLE}; all unless named")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--scale", type=float, default=1.0, help="times the campaign's own numbers")
    chosen = parser.parse_args(arguments)
    unknown = set(chosen.names) - {*PROOFS, TABLE}
    if unknown:
        parser.error(f"no proof is named {min(unknown)!r}")
    names = chosen.names or [*PROOFS, TABLE]
    bad = [name for name in names if not (_table() if name == TABLE else _prove(name, chosen.seed, chosen.scale))]
    print(f"violated: {', '.join(bad)}" if bad else "nothing was violated")
    return 1 if bad else 0


def _prove(name: str, seed: int, scale: float) -> bool:
    proof = PROOFS[name]
    tally = proof.run(Trial(max(1, round(proof.campaign * scale)), seed))
    print(f"{name}: {tally.sentence()}", flush=True)
    for wrong in tally.told:
        print(f"  {wrong}")
    return not tally.bad


def _table() -> bool:
    found = {name: noticing(name) for name in SAFEGUARDS}
    print(table(found), flush=True)
    for name, proofs in found.items():
        if proofs != NOTICED_BY[name]:
            print(f"  {name}: noticed by {proofs}, and it was {NOTICED_BY[name]}")
    return found == NOTICED_BY


if __name__ == "__main__":
    sys.exit(main())
