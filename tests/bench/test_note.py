"""The benchmark of the note measures what it says."""

from __future__ import annotations

import subprocess
import sys

import pytest

from stepper.note.outputs import FORMATS
from tests.bench import note
from tests.bench.outcome import Asked


def test_it_measures_each_format_and_tells_each_beside_its_bar(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(note, "SIZES", (100, 200))
    outcome = note.bench(Asked(turns=1, against=""))
    figures = outcome.members["figures"]
    assert isinstance(figures, dict)
    assert set(figures) == {"imports", *FORMATS}
    assert all(one["median_ms"] > 0 for one in figures.values())
    assert figures["text"]["median_ms"] > figures["imports"]["median_ms"] / 2
    assert sum(" bar " in line for line in outcome.lines) == 2 + len(FORMATS)


def test_the_baseline_loads_what_writing_text_loads_and_nothing_else() -> None:
    told = "import sys; print(*sorted(one for one in sys.modules if one.split('.')[0] in ('stepper', 'msgspec')))"
    arguments = ["note", str(note.FOUR_CANALS), "--out", "/dev/null"]
    wrote = f"from stepper.cli.main import main; main({arguments}); {told}"
    loaded = [
        subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True).stdout.split()
        for code in (f"{note.IMPORTS}; {told}", wrote)
    ]
    assert set(loaded[0]) ^ set(loaded[1]) == set()
