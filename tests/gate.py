"""Breaks the gate on purpose and tells what notices: `python -m tests.gate`.

Each clause is taken out in turn (it then always holds), and every test of tests/case/test_gate.py runs against each
such gate. Then each bug of tests/machine/planted.py is planted in turn, and the random walk goes on until it notices. A
clause whose loss no test notices, or a bug that the walk does not, is guarded by nothing, and the command fails.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager

from stepper.case.gate import CLAUSES
from tests.case import test_gate
from tests.machine.planted import PLANTED, Planting
from tests.machine.run import run

Test = Callable[[], None]
BOUND = 20_000
"""In so many steps of the walk a planted bug has to be noticed."""


def the_tests() -> dict[str, Test]:
    """The tests of the gate by their names."""
    return {name: one for name, one in vars(test_gate).items() if name.startswith("test_") and callable(one)}


@contextmanager
def without(clause: str) -> Iterator[None]:
    """Take a clause out for a while."""
    kept = CLAUSES[clause]
    CLAUSES[clause] = lambda _: None
    try:
        yield
    finally:
        CLAUSES[clause] = kept


def noticing(clause: str, tests: Mapping[str, Test] | None = None) -> tuple[str, ...]:
    """The tests that fail, with an assertion or otherwise, while a clause is out."""
    found = the_tests() if tests is None else tests
    with without(clause):
        return tuple(name for name, one in found.items() if not _passes(one))


def walked(planting: Planting, seed: int = 1, bound: int = BOUND) -> int | None:
    """After how many steps the walk notices a planted bug; None if it does not."""
    with planting():
        score = run(bound, seed, stop_at=1)
    return score.steps if score.violations else None


def _passes(test: Test) -> bool:
    try:
        test()
    except Exception:  # an assertion, or a reason that is not there: either way the test notices
        return False
    return True


def clauses() -> int:
    """Print which tests notice the loss of each clause; give how many clauses none notices."""
    unguarded = 0
    for clause in CLAUSES:
        names = noticing(clause)
        unguarded += not names
        print(f"{clause}: {', '.join(names) or 'noticed by no test'}")
    return unguarded


def planted(bound: int = BOUND) -> int:
    """Print after how many steps the walk notices each planted bug; give how many it does not."""
    unnoticed = 0
    for name, planting in PLANTED.items():
        steps = walked(planting, bound=bound)
        unnoticed += steps is None
        print(f"{name}: {'not noticed' if steps is None else f'noticed after {steps} steps'}", flush=True)
    return unnoticed


def main() -> int:
    """Give 1 if some clause or some bug is noticed by nothing."""
    broken = [name for name, one in the_tests().items() if not _passes(one)]
    for name in broken:
        print(f"{name} fails with every clause in place")
    return 1 if broken or clauses() + planted() else 0


if __name__ == "__main__":
    sys.exit(main())
