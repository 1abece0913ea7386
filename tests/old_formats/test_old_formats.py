"""Old data for ever: what each released format wrote is read by this version, whole and cut after any entry.

Of the note, the sections and outcomes are held, not its bytes: its wording may be improved.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from stepper.cli.main import main
from stepper.note.text import render
from stepper.record import package
from stepper.record.chain import FORMAT
from stepper.record.verify import read
from stepper.session.replay import open_replay
from tests.old_formats.told import HERE, SESSIONS, checked, expected_path, note_of, told_of

NAMES = [str(path.relative_to(HERE)) for path in SESSIONS]
of_each = pytest.mark.parametrize("session", SESSIONS, ids=NAMES)


def expected(session: Path) -> dict[str, Any]:
    return json.loads(expected_path(session).read_text(encoding="utf-8"))


def test_each_format_there_was_has_its_sessions() -> None:
    """Fails when the format is raised and nothing of it is kept here: the README says what to add."""
    wanted = {f"v{number}" for number in range(1, FORMAT + 1)}
    assert {path.name for path in HERE.glob("v*")} == wanted
    for folder in wanted:
        mine = [path for path in SESSIONS if path.is_relative_to(HERE / folder)]
        damaged = [path for path in mine if expected(path)["damage"] is not None]
        assert len(mine) - len(damaged) >= 2
        assert damaged
        assert all(path.read_bytes().startswith(f'{{"v":{folder[1:]},'.encode()) for path in mine)
    assert list(HERE.glob(f"v*/package-v{package.FORMAT}.age"))


@of_each
def test_it_is_told_as_it_was_when_it_was_written(session: Path) -> None:
    now, then = told_of(session), expected(session)
    for member in ("head", "entries", "damage", "exit", "outcomes"):
        assert now[member] == then[member]
    for canal_now, canal_then in zip(now["canals"], then["canals"], strict=True):
        gate_now, gate_then = canal_now["gate"], canal_then["gate"]
        assert {clause: gate_now.get(clause) for clause in gate_then} == gate_then  # a clause may have been added
        assert {name: canal_now.get(name) for name in canal_then} | {"gate": gate_then} == canal_then


@of_each
def test_its_note_has_the_sections_and_outcomes_it_had(session: Path) -> None:
    note, then = note_of(session), expected(session)
    assert [title for title in then["note_sections"] if title not in [one.title for one in note.sections]] == []
    text = render(note)
    for outcome in filter(None, then["outcomes"].values()):
        assert outcome.replace("_", " ") in text


@of_each
def test_each_beginning_of_it_is_verified_folded_checked_and_replayed(session: Path, tmp_path: Path) -> None:
    data, count = session.read_bytes(), expected(session)["entries"]
    lines = data.split(b"\n")
    cut, whole = tmp_path / session.name, list(read(session).entries)
    for number in range(1, count + 1):
        cut.write_bytes(b"\n".join(lines[:number]) + b"\n")
        found = read(cut)
        assert (found.damage, found.unfinished, found.size) == (None, b"", cut.stat().st_size)
        assert list(found.entries) == whole[:number]
        assert found.head == whole[number - 1]["hash"]
        code, (report,) = checked(cut)
        assert code in (0, 1)
        assert (report["intact"], report["entries"], report["head"]) == (True, number, found.head)
        canals = [str(one["number"]) for one in report["canals"]]
        assert canals == list(expected(session)["outcomes"])[: len(canals)]


@of_each
def test_it_is_replayed_entry_by_entry(session: Path) -> None:
    replay, last = open_replay(session), "This is the last entry; / then 5 leaves."
    for _ in range(expected(session)["entries"] - 1):
        replay.enter("")
        assert replay.view().saying != last
    replay.enter("")
    assert replay.view().saying == last
    assert replay.damaged is (expected(session)["damage"] is not None)


def test_a_second_visit_still_fits_its_first() -> None:
    first, second = HERE / "v1" / "two-visits-first.jsonl", HERE / "v1" / "two-visits-second.jsonl"
    code, (alone, _) = checked(second, first)
    assert code == 0
    assert alone["remarks"] == checked(second)[1][0]["remarks"]


def test_an_old_package_is_opened(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The key is one of no practice: it is kept here, beside what it opens, for this test alone."""
    for sealed in sorted(HERE.glob("v*/package-v*.age")):
        back = tmp_path / sealed.stem
        assert main(["unpack", str(sealed), "--key", str(sealed.with_suffix(".key")), "--dir", str(back)]) == 0
        assert capsys.readouterr().err == ""
        for path in back.iterdir():
            assert path.read_bytes() == (sealed.parent / path.name).read_bytes()
        assert len(list(back.iterdir())) == 2
