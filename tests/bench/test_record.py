"""The benchmark of the record measures what it says."""

from __future__ import annotations

from tests.bench import record
from tests.bench.outcome import Asked


def test_it_measures_each_and_tells_each_beside_its_bar():
    outcome = record.bench(Asked(turns=1, against=""))
    figures = outcome.members["figures"]
    assert isinstance(figures, dict)
    assert set(figures) == {"append", "raw", "processor", "hash", "verify", "typed", "open"}
    assert all(one["median_us"] > 0 for one in figures.values())
    assert figures["hash"]["median_us"] < figures["verify"]["median_us"] < figures["typed"]["median_us"]
    assert sum(" bar " in line for line in outcome.lines) == 5
