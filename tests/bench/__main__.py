"""`python -m tests.bench [NAME ...]`: medians, 95th percentiles, and ratios to a baseline in the same run.

Exit code 1 where a limit is not kept, 2 where something cannot be measured here.
"""

from __future__ import annotations

import argparse
import json
import platform
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from tests.bench import keys, note, record, sums, terminal
from tests.bench.outcome import Asked, CannotMeasureError, Outcome

Benchmark = Callable[[Asked], Outcome]

BENCHMARKS: dict[str, Benchmark] = {
    "sums": sums.bench,
    "keys": keys.bench,
    "terminal": terminal.bench,
    "record": record.bench,
    "note": note.bench,
}

PARTS = terminal.PARTS
"""What can be asked for by name besides; all of it is in the others."""


def main(arguments: Sequence[str] | None = None, benchmarks: Mapping[str, Benchmark] = BENCHMARKS) -> int:
    """Run those that are named, or all; give the exit code."""
    options = _options(arguments, benchmarks)
    asked, outcomes = Asked(options.turns, options.against), {}
    print(f"Python {platform.python_version()}, {platform.system()}; times are this machine's, ratios are what counts.")
    try:
        for name in options.names or benchmarks:
            outcomes[name] = ({**PARTS, **benchmarks})[name](asked)
            print("", *outcomes[name].lines, sep="\n", flush=True)
    except CannotMeasureError as error:
        print(error, file=sys.stderr)
        return 2
    if options.json is not None:
        found = {name: outcome.members for name, outcome in outcomes.items()}
        options.json.write_text(json.dumps(found, indent=2) + "\n", encoding="utf-8")
    return 0 if all(outcome.kept for outcome in outcomes.values()) else 1


def _options(arguments: Sequence[str] | None, benchmarks: Mapping[str, Benchmark]) -> argparse.Namespace:
    named = f"of {', '.join(benchmarks)}; all unless named. Parts of them: {', '.join(PARTS)}"
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description="Medians, p95 and ratios, in turns.")
    parser.add_argument("names", nargs="*", metavar="NAME", help=named)
    parser.add_argument("--turns", type=int, help="turns to take (each benchmark has its own number)")
    parser.add_argument("--against", metavar="REV", default=keys.BEFORE_THE_SUMS, help="revision to compare with")
    parser.add_argument("--json", metavar="FILE", type=Path, help="write the figures there too")
    options = parser.parse_args(arguments)
    unknown = [name for name in options.names if name not in benchmarks and name not in PARTS]
    if unknown:
        parser.error(f"there is no benchmark {', '.join(unknown)}; there are: {', '.join(benchmarks)}")
    if options.turns is not None and options.turns < 1:
        parser.error(f"{options.turns} turns are not allowed: 1 or more are")
    return options


if __name__ == "__main__":
    sys.exit(main())
