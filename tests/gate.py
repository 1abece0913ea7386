"""Takes each clause of the gate out in turn and tells which tests notice: `python -m tests.gate`.

A clause that is taken out always holds. Every test of tests/case/test_gate.py runs against each such gate; a clause
whose loss no test notices is guarded by none, and the command fails.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager

from stepper.case.gate import CLAUSES
from tests.case import test_gate

Test = Callable[[], None]


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


def _passes(test: Test) -> bool:
    try:
        test()
    except Exception:  # an assertion, or a reason that is not there: either way the test notices
        return False
    return True


def main() -> int:
    """Print which tests notice the loss of each clause; 1 if some clause is noticed by none."""
    broken = [name for name, one in the_tests().items() if not _passes(one)]
    for name in broken:
        print(f"{name} fails with every clause in place")
    unguarded = 0
    for clause in CLAUSES:
        names = noticing(clause)
        unguarded += not names
        print(f"{clause}: {', '.join(names) or 'noticed by no test'}")
    return 1 if broken or unguarded else 0


if __name__ == "__main__":
    sys.exit(main())
