"""Keys one sample script in the tree that it is run in, whenever a line comes in, and prints how long each line took.

Run by path, never imported: so the same code times this tree and a revision that has no benchmarks yet, and nothing of
`stepper` or `tests` comes from anywhere but the tree that is first on the path.
"""

from __future__ import annotations

import gc
import json
import sys
import tempfile
import time
from pathlib import Path

import stepper
from tests import drive


def key(lines: list[str], folder: Path) -> list[tuple[int, int, int]]:
    """Key a script in a new session; give the ns of each line that the session took.

    They are those of entering it, of making the view after it, and the processor's for both. The collector runs as it
    does at the chair.
    """
    at, taken = drive.Chair(folder), []
    for line in lines:
        in_session = at.lobby.session is not None
        worked, begun = time.process_time_ns(), time.perf_counter_ns()
        at.lobby.enter(line)
        entered = time.perf_counter_ns()
        at.lobby.view()
        seen = time.perf_counter_ns()
        if in_session:
            taken.append((entered - begun, seen - entered, time.process_time_ns() - worked))
    return taken


def main() -> None:
    """Say first where the code is from, then key the script once for each line that comes in."""
    name, place = sys.argv[1:]
    lines = drive.script(Path(drive.__file__).parent / "scripts" / name)
    print(json.dumps([stepper.__file__, drive.__file__]), flush=True)
    for _ in sys.stdin:
        with tempfile.TemporaryDirectory(dir=place or None) as folder:
            print(json.dumps(key(lines, Path(folder))), flush=True)
        gc.collect()


if __name__ == "__main__":
    main()
