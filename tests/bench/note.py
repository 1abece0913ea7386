"""The note: each format as a whole process beside the interpreter with the same imports, and how it grows."""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from stepper.note.outputs import FORMATS, tell
from stepper.record.places import bundled
from stepper.session.files import files_of
from stepper.session.store import read_case
from tests.bench.bars import Bar
from tests.bench.outcome import Asked, Outcome
from tests.bench.sessions import write_session
from tests.bench.timing import Figures, take_turns

TURNS = 15
FOUR_CANALS = bundled("sample_sessions") / "four-canals-interleaved.jsonl"

IMPORTS = (
    "import stepper.cli.main, stepper.note.outputs, stepper.note.text, stepper.record.whole, "
    "stepper.session.files, stepper.session.store"
)
"""All that writing a note as text loads; a test sees that nothing else is."""

SIZES = (1_000, 10_000)
GROWTH = 1.5
"""What an entry of the longer session may cost, of what one of the shorter does."""


def bench(asked: Asked) -> Outcome:
    """Measure whole processes in turns, then reading and writing long sessions in this one."""
    with tempfile.TemporaryDirectory() as place:
        whole = _processes(Path(place), asked.turns or TURNS)
        grown = {form: _growth(Path(place), form) for form in FORMATS}
    slowest = max((figures.median_ns / 1e9, form) for form, figures in whole.items())
    bars = [
        Bar(f"a four-canal note as {slowest[1]}, the slowest, whole process, median", slowest[0], 1.5, "s"),
        Bar("the same as text, of the interpreter with its imports", whole["text"].ratio_to(whole["imports"]), 1.25),
        *(
            Bar(f"{form}: an entry of {SIZES[1]:,}, of one of {SIZES[0]:,}", ratio, GROWTH)
            for form, (_, ratio) in grown.items()
        ),
    ]
    rows = [f"  {name:12}{one.median_ns / 1e6:10.0f} ms, p95 {one.p95_ns / 1e6:10.0f}" for name, one in whole.items()]
    rows += [f"  {form:12}{seconds:10.2f} s for {SIZES[1]:,} entries" for form, (seconds, _) in grown.items()]
    figures = {name: {"median_ms": one.median_ns / 1e6, "p95_ms": one.p95_ns / 1e6} for name, one in whole.items()}
    members = {"figures": figures, "bars": {bar.name: [bar.found, bar.most] for bar in bars}}
    lines = ["Note: four canals, a whole process each; long sessions", *rows, *(bar.line for bar in bars)]
    return Outcome(lines, members, all(bar.kept for bar in bars))


def _processes(place: Path, turns: int) -> dict[str, Figures]:
    """Run the interpreter with its imports, and the command in each format, in turns."""
    command = [sys.executable, "-m", "stepper", "note", str(FOUR_CANALS), "--out", str(place / "note"), "--as"]
    calls = {"imports": _run([sys.executable, "-c", IMPORTS])}
    calls |= {form: _run([*command, form]) for form in FORMATS}
    for call in calls.values():
        call()  # nothing is read from a cold disk in a turn
    return {name: Figures(tuple(taken)) for name, taken in take_turns(calls, turns).items()}


def _run(arguments: Sequence[str]) -> Callable[[], float]:
    def run() -> float:
        begun = time.perf_counter_ns()
        subprocess.run(arguments, check=True, capture_output=True)
        return time.perf_counter_ns() - begun

    return run


def _growth(place: Path, form: str) -> tuple[float, float]:
    """Give the seconds of a format for the longest session, and what one of its entries costs beside the shorter's."""
    seconds = []
    for size in SIZES:
        path = next((place / f"of_{size}").glob("*.jsonl"), None) or write_session(place / f"of_{size}", size)
        begun = time.perf_counter()
        found, case, _ = read_case(path)
        assert case is not None
        FORMATS[form](tell(case, files_of(path, found)))
        seconds.append(time.perf_counter() - begun)
    return seconds[-1], (seconds[-1] / SIZES[-1]) / (seconds[0] / SIZES[0])
