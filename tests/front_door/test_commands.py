"""The commands, run as the user runs them: what they print, their exit codes, and one sentence for bad input."""

from __future__ import annotations

import json
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepper.cli.main import main
from tests.samples import FOLDER, ROOT

PLAIN = FOLDER / "plain-single-canal.jsonl"
WRONG = FOLDER / "wrong-cone-caught.jsonl"
MEMBERS = {
    "signature",
    "file",
    "intact",
    "damage",
    "practice",
    "closed",
    "signed",
    "head",
    "entries",
    "canals",
    "remarks",
    "sounds",
}
CANAL = {"number", "name", "outcome", "gate_open", "gate", "reopened", "owed", "departures"}
CLAUSES = {"clear", "length", "master_apical_file", "cone_fit", "dry", "rinse", "lots", "answered"}


def run(*arguments: str, env: dict[str, str] | None = None) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "stepper", *arguments]
    environment = {**os.environ, **(env or {})}
    return subprocess.run(command, capture_output=True, encoding="utf-8", cwd=ROOT, env=environment, check=False)


def test_check_tells_of_an_intact_session_in_json() -> None:
    done = run("check", "--json", str(PLAIN))
    assert done.returncode == 0, done.stderr
    report = json.loads(done.stdout)
    assert set(report) == MEMBERS
    assert report["intact"] is True
    assert report["damage"] is None
    assert report["practice"] is True
    assert report["closed"] is True
    assert report["signed"] is False
    assert report["sounds"] == 0
    (canal,) = report["canals"]
    assert set(canal) == CANAL
    assert canal["outcome"] == "filled"
    assert set(canal["gate"]) == CLAUSES
    assert report["entries"] == len(PLAIN.read_bytes().splitlines())


def test_check_counts_the_sounds_of_the_wrong_cone() -> None:
    report = json.loads(run("check", "--json", str(WRONG)).stdout)
    assert report["sounds"] == 4
    assert report["canals"][0]["outcome"] == "filled"
    assert report["canals"][0]["departures"] or report["remarks"]


@pytest.mark.parametrize("place", [0, 20, 40])
def test_check_finds_a_changed_byte(tmp_path: Path, place: int) -> None:
    lines = PLAIN.read_bytes().split(b"\n")
    lines[place] = lines[place].replace(b'"by":2', b'"by":3')
    changed = tmp_path / PLAIN.name
    changed.write_bytes(b"\n".join(lines))
    done = run("check", str(changed))
    assert done.returncode in (1, 2)
    assert f"{place}" in done.stdout + done.stderr
    assert "Traceback" not in done.stderr


def test_check_verifies_the_protocol() -> None:
    done = run("check", "protocols/one_visit.toml")
    assert done.returncode == 0
    assert "17 steps" in done.stdout


def test_note_goes_to_a_private_file(tmp_path: Path) -> None:
    out = tmp_path / "note.txt"
    assert run("note", str(PLAIN), "--out", str(out)).returncode == 0
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    assert out.read_text(encoding="utf-8") == run("note", str(PLAIN)).stdout


def test_the_note_is_the_same_bytes_in_any_zone_locale_and_hash_seed() -> None:
    here = run("note", str(WRONG)).stdout
    there = run("note", str(WRONG), env={"TZ": "Pacific/Apia", "LC_ALL": "C", "PYTHONHASHSEED": "7", "PYTHONUTF8": "0"})
    assert there.stdout == here


def test_list_names_open_sessions_first(tmp_path: Path) -> None:
    folder = tmp_path / "sessions"
    folder.mkdir(parents=True)
    for sample in (PLAIN, WRONG):
        (folder / sample.name).write_bytes(sample.read_bytes())
    lines = WRONG.read_bytes().split(b"\n")
    (folder / WRONG.name).write_bytes(b"\n".join([*lines[:40], b""]))
    (folder / "rubbish-0001.jsonl").write_bytes(b"rubbish")
    done = run("list", "--dir", str(tmp_path))
    assert done.returncode == 0
    first, second, third = done.stdout.splitlines()
    assert first.startswith("open")
    assert WRONG.name in first
    assert second.startswith("closed")
    assert third.startswith("unreadable")


BAD = {
    "a missing session": (["note", "nothing-here.jsonl"], "nothing-here.jsonl"),
    "a folder as session": (["check", "tests"], "tests"),
    "a protocol as session": (["note", "protocols/one_visit.toml"], "one_visit"),
    "no such command": (["fill"], "fill"),
    "no such option": (["chair", "--fast"], "--fast"),
    "a missing protocol": (["chair", "--protocol", "none.toml"], "none.toml"),
    "a missing protocol to check": (["check", "none.toml"], "none.toml"),
    "a note nowhere": (["note", str(PLAIN), "--out", "/nowhere/note.txt"], "note.txt"),
    "a wrong format": (["note", str(PLAIN), "--as", "clay"], "clay"),
    "no terminal": (["chair"], "terminal"),
}


@pytest.mark.parametrize(("arguments", "named"), BAD.values(), ids=BAD)
def test_bad_input_gets_a_sentence_and_a_code(tmp_path: Path, arguments: list[str], named: str) -> None:
    extra = ["--dir", str(tmp_path)] if arguments[0] == "chair" else []
    done = run(*arguments, *extra)
    assert done.returncode == 2
    assert named in done.stderr
    assert "Traceback" not in done.stderr


@given(st.binary(max_size=400))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_random_bytes_as_session_and_protocol(tmp_path: Path, data: bytes) -> None:
    for name in ("random-bytes.jsonl", "random.toml"):
        path = tmp_path / name
        path.write_bytes(data)
        assert main(["check", str(path)]) in (1, 2)


@given(st.integers(min_value=0, max_value=10**6), st.binary(min_size=1, max_size=8))
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_bytes_written_over_a_session_never_give_a_traceback(tmp_path: Path, place: int, data: bytes) -> None:
    content = bytearray(PLAIN.read_bytes())
    at = place % len(content)
    changed = bytes(content[:at]) + data + bytes(content[at + len(data) :])
    path = tmp_path / PLAIN.name
    path.write_bytes(changed)
    code = main(["check", str(path)])
    if changed == bytes(content):
        assert code == 0
    else:
        # Only the very last line can be an unfinished write, which is no damage; anything else is found.
        in_last = at >= len(content.rstrip(b"\n").rpartition(b"\n")[0])
        assert code in ((0, 1, 2) if in_last else (1, 2))
