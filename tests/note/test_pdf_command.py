"""`stepper note --as pdf` as a whole process: to a pipe and a file, not to a terminal; what fails is said in words."""

from __future__ import annotations

import os
import pty
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from stepper.cli.note import FORMS
from stepper.note.outputs import FORMATS
from tests.note.printed import read
from tests.samples import FOLDER, ROOT

SESSION = FOLDER / "plain-single-canal.jsonl"
COMMAND = [sys.executable, "-m", "stepper", "note", str(SESSION), "--as", "pdf"]
FULL = Path("/dev/full")


def test_the_command_knows_the_formats_that_there_are() -> None:
    assert set(FORMS) == set(FORMATS)


def test_to_a_pipe_and_to_a_file_of_the_owner_alone(tmp_path: Path) -> None:
    shown = subprocess.run(COMMAND, capture_output=True, cwd=ROOT, check=True)
    assert shown.stderr == b""
    out = tmp_path / "note.pdf"
    subprocess.run([*COMMAND, "--out", str(out)], capture_output=True, cwd=ROOT, check=True)
    assert out.read_bytes() == shown.stdout
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    assert read(shown.stdout).pages[0].startswith("Note of a root canal visit\n")


def test_not_to_a_terminal() -> None:
    mine, its = pty.openpty()
    try:
        ran = subprocess.run(COMMAND, stdout=its, stderr=subprocess.PIPE, cwd=ROOT, check=False)
    finally:
        os.close(its)
    try:
        said = os.read(mine, 10)
    except OSError:  # Linux says so where nothing was written and nobody holds the other end
        said = b""
    os.close(mine)
    sentence = b"stepper: a PDF cannot be read on a terminal; name the file to write it to with --out FILE.\n"
    assert (said, ran.stderr, ran.returncode) == (b"", sentence, 2)


def test_a_folder_that_is_not_there_is_said_in_one_sentence(tmp_path: Path) -> None:
    where = tmp_path / "nowhere" / "note.pdf"
    ran = subprocess.run([*COMMAND, "--out", str(where)], capture_output=True, cwd=ROOT, check=False)
    assert ran.stderr == b"stepper: note.pdf: cannot be written: No such file or directory.\n"
    assert (ran.returncode, ran.stdout) == (2, b"")


@pytest.mark.skipif(not FULL.exists(), reason="there is no device that is always full")
def test_a_full_disk_is_said_in_one_sentence() -> None:
    ran = subprocess.run([*COMMAND, "--out", str(FULL)], capture_output=True, cwd=ROOT, check=False)
    assert ran.stderr == b"stepper: full: cannot be written: No space left on device.\n"
    assert ran.returncode == 2
    with FULL.open("wb") as full:
        ran = subprocess.run(COMMAND, stdout=full, stderr=subprocess.PIPE, cwd=ROOT, check=False)
    assert ran.stderr == b"stepper: standard output: cannot be written: No space left on device.\n"
    assert ran.returncode == 2


def test_a_home_without_fonts_and_anything_else_gives_the_same_bytes(tmp_path: Path) -> None:
    """Neither fonts of the machine nor packages, settings or caches of the compiler's have a say."""
    empty = {"HOME": str(tmp_path), "PYTHONPATH": str(ROOT), "FONTCONFIG_FILE": "/dev/null", "PATH": ""}
    there = subprocess.run(COMMAND, env=empty, capture_output=True, cwd=tmp_path, check=True).stdout
    assert there == subprocess.run(COMMAND, capture_output=True, cwd=ROOT, check=True).stdout
    assert list(tmp_path.iterdir()) == []


RECORD = ("a.jsonl", "a.2.jsonl", "a.jsonl.cut-off", "practice.toml", "keys.toml", "key.pem", "p.age", "register")


@pytest.mark.parametrize("name", [*RECORD, "recipients.txt"])
def test_no_file_of_the_record_is_written_over_not_by_a_link_either(tmp_path: Path, name: str) -> None:
    kept = tmp_path / name
    kept.write_bytes(b"what the practice keeps")
    (tmp_path / "note.txt").symlink_to(kept)
    for out in (kept, tmp_path / "note.txt"):
        ran = subprocess.run([*COMMAND, "--out", str(out)], capture_output=True, cwd=ROOT, check=False)
        sentence = "the record is kept in files like this, and nothing else is written to them; name another."
        assert (ran.stderr.decode(), ran.returncode) == (f"stepper: {out.name}: {sentence}\n", 2)
    assert kept.read_bytes() == b"what the practice keeps"


def test_a_session_is_not_written_over_by_its_own_note(tmp_path: Path) -> None:
    session = tmp_path / SESSION.name
    session.write_bytes(SESSION.read_bytes())
    command = [sys.executable, "-m", "stepper", "note", str(session), "--out", str(session)]
    assert subprocess.run(command, capture_output=True, cwd=ROOT, check=False).returncode == 2
    assert session.read_bytes() == SESSION.read_bytes()


def test_an_older_note_is_replaced_whole_or_not_at_all(tmp_path: Path) -> None:
    out = tmp_path / "note.pdf"
    out.write_bytes(b"older")
    out.chmod(0o644)
    starved = "import resource, runpy, sys; resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000)); "
    starved += "import signal; signal.signal(signal.SIGXFSZ, signal.SIG_IGN); "
    starved += (
        f"sys.argv = {['stepper', *COMMAND[3:], '--out', str(out)]!r}; runpy.run_module('stepper', run_name='__main__')"
    )
    ran = subprocess.run([sys.executable, "-c", starved], capture_output=True, cwd=ROOT, check=False)
    assert (ran.stderr, ran.returncode) == (b"stepper: note.pdf: cannot be written: File too large.\n", 2)
    assert out.read_bytes() == b"older"
    subprocess.run([*COMMAND, "--out", str(out)], capture_output=True, cwd=ROOT, check=True)
    assert out.read_bytes().startswith(b"%PDF")
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    assert [one.name for one in tmp_path.iterdir()] == ["note.pdf"]
