"""The events of a bad day, typed into the real program: what must be logged, rung, shown and noted for each.

Scripts and expectations lie in tests/bad_day; they were written from the trade and the design before the program could
do what they ask for.
"""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.bad_day.keying import FOLDER, Visit, keys
from tests.bad_day.looking import misses

EVENTS: dict[str, dict[str, Any]] = tomllib.loads((FOLDER / "expected.toml").read_text(encoding="utf-8"))


def play(folder: Path, name: str) -> None:
    visit = Visit(folder)
    try:
        visit.type(list(keys(FOLDER / f"{name}.keys", EVENTS[name]["tooth"])))
    finally:
        visit.end()


@pytest.mark.parametrize("name", EVENTS)
def test_what_must_follow_follows(tmp_path: Path, name: str) -> None:
    play(tmp_path, name)
    found = misses(tmp_path, EVENTS[name])
    assert not found, "\n".join(found)


def test_every_script_has_its_expectations() -> None:
    assert {path.stem for path in FOLDER.glob("*.keys")} == set(EVENTS)


SPOILED: dict[str, Callable[[dict[str, Any]], object]] = {
    "a value": lambda event: event["entries"][2]["values"].update(lot="505"),
    "the order": lambda event: event["entries"].reverse(),
    "an entry that never was": lambda event: event["entries"].append({"kind": "void"}),
    "an entry that was": lambda event: event["never"].append({"kind": "owe"}),
    "a count": lambda event: event.update(times=[{"n": 2, "kind": "held"}]),
    "a sound": lambda event: event["sounds"].append(1),
    "an outcome": lambda event: event["canals"]["1"].update(outcome="filled"),
    "a clause that holds": lambda event: event["canals"]["1"].update(shut=["clear"]),
    "a clause that is shut": lambda event: event["canals"]["1"].update(holds=["answered"]),
    "a step that stands": lambda event: event["canals"]["1"].update(reopened=["drying"]),
    "a remark": lambda event: event["no_remarks"].append("sealer_lot_unknown"),
    "a canal": lambda event: event["canals"].update({"2": {"outcome": ""}}),
    "the close": lambda event: event.update(closed=True),
    "the sessions": lambda event: event.update(sessions=2),
    "a sentence": lambda event: event["said"].append("lot 506"),
    "a sentence too many": lambda event: event.update(unsaid=["lot 504"]),
}


def test_a_spoiled_expectation_is_noticed(tmp_path: Path) -> None:
    name = "17_sealer_expired"
    play(tmp_path, name)
    assert misses(tmp_path, EVENTS[name]) == []
    for what, spoil in SPOILED.items():
        event = copy.deepcopy(EVENTS[name])
        spoil(event)
        assert misses(tmp_path, event), f"{what} was spoiled, and nobody noticed"


def test_a_spoiled_line_of_a_script_is_noticed(tmp_path: Path) -> None:
    visit = Visit(tmp_path)
    try:
        visit.type(list(keys(FOLDER / "parts" / "opened.keys", "11")))
        visit.patience = 1.0
        for line in ("SHOWN never said", "HIDDEN What brings", "SAID reopened", "GATE 1 holds length", "GATE 1 open"):
            with pytest.raises(AssertionError, match=line):
                visit.type([line])
    finally:
        visit.end()
