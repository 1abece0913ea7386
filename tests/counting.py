"""Lines, keys and sounds of every sample, counted through the real program.

`python -m tests.lines` keys each script in a pseudo-terminal and prints one row a sample: canals, entered lines and the
limit they are held to, keys (Enter included), the median of keys for one logged fact, sounds. A line's keys are shared
equally among its facts. It fails where a sample takes more lines or keys than its limits, or an uneventful one rings.
"""

from __future__ import annotations

import json
import re
import statistics
import tempfile
from dataclasses import dataclass
from pathlib import Path

from tests.drive import script
from tests.samples import SAMPLES, SCRIPTS, Sample, record

LIMITS = {1: 70, 2: 70, 3: 120, 4: 120}
"""Most lines of a visit by its canals."""

MOST_KEYS = 6
"""Most keys for one logged fact, Enter included, at the median of a visit."""

UNEVENTFUL = ("plain-single-canal", "four-canals-interleaved", "two-visits-first", "two-visits-second")
"""The samples in which nothing goes wrong: they ring zero times."""


ANSWER = re.compile(r"(?:(?P<canals>[0-9]+)\*(?!\*))?(?P<rest>[-+]?[0-9][0-9.+/*-]*[0-9])|[0-9]")
"""A line that answers: perhaps canals, then fields; addresses end in a sign and are no answers."""


@dataclass(frozen=True)
class Count:
    """What a sample took. A line is one Enter, from opening the session to closing it."""

    name: str
    canals: int
    lines: int
    keys: int
    median: float
    sounds: int

    @property
    def faults(self) -> list[str]:
        """Say what is over its limit."""
        limit, found = LIMITS[self.canals], []
        if self.lines > limit:
            found.append(f"{self.name}: {self.lines} lines; {limit} are allowed for {self.canals} canals")
        if self.median > MOST_KEYS:
            found.append(f"{self.name}: {self.median:.1f} keys for one fact; {MOST_KEYS} are allowed")
        if self.name in UNEVENTFUL and self.sounds:
            found.append(f"{self.name}: rang {self.sounds} times, though nothing went wrong")
        return found


def count(sample: Sample, made: Path) -> Count:
    """Count what a sample took; `made` is the session that keying it gave."""
    keyed = [line for line in script(SCRIPTS / sample.keys) if not line.startswith("KILL")]
    keyed = keyed[:-1] if keyed[-1] == "/" else keyed  # the start screen is left when the visit is over
    entries = [json.loads(line) for line in made.read_bytes().splitlines()]
    canals = {entry["canal"] for entry in entries if entry["kind"] in ("answer", "carried")} - {0}
    sounds = sum(entry["times"] for entry in entries if entry["kind"] == "sound")
    keys = sum(len(line) + 1 for line in keyed)
    return Count(sample.name, len(canals), len(keyed), keys, statistics.median(_shares(keyed, len(canals))), sounds)


def _shares(keyed: list[str], canals: int) -> list[float]:
    """Give the keys of each fact: an answer's line has a fact a field, for each canal it names."""
    shares: list[float] = []
    for line in keyed:
        found = ANSWER.fullmatch(line)
        if found is not None:
            named = found["canals"] or "-"
            facts = len((found["rest"] or "-").split("**")) * (canals if named == "0" else len(named))
            shares += [(len(line) + 1) / facts] * facts
    return shares


def main() -> int:
    """Count every sample, print the table, and tell by the exit code whether all is within limits."""
    print(f"{'sample':<28} {'canals':>6} {'lines':>6} {'limit':>6} {'keys':>6} {'keys/fact':>9} {'sounds':>6}")
    faults: list[str] = []
    for sample in SAMPLES:
        with tempfile.TemporaryDirectory() as folder:
            one = count(sample, record(sample, Path(folder)))
        limit = LIMITS[one.canals]
        print(
            f"{one.name:<28} {one.canals:>6} {one.lines:>6} {limit:>6} {one.keys:>6} {one.median:>9.1f} {one.sounds:>6}"
        )
        faults += one.faults
    print("\n".join(faults) if faults else "all within their limits")
    return 1 if faults else 0
