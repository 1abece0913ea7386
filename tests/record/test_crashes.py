"""Real processes: killed in the middle, kept from writing more, and two at once."""

from __future__ import annotations

import random
import subprocess
import sys
from pathlib import Path

from stepper.record.journal import Journal
from stepper.record.problems import Busy
from stepper.record.verify import read
from tests.record.sessions import SID, begin, clock, logged

WRITER = """
import sys
from pathlib import Path
from stepper.record.clock import SystemClock
from stepper.record.journal import Journal

opened = Journal.resume(Path(sys.argv[1]), SystemClock())
while True:
    entry = opened.journal.append("fact", {"text": "x" * (opened.journal.count * 977 % 50_000)}, 1)
    sys.stdout.write(entry["hash"] + "\\n")
    sys.stdout.flush()
"""

STARVED = """
import resource, sys
from pathlib import Path
from stepper.record.clock import SystemClock
from stepper.record.journal import Journal
from stepper.record.problems import NotSaved

opened = Journal.resume(Path(sys.argv[1]), SystemClock())
journal = opened.journal
for number in range(40):
    size = journal.path.stat().st_size
    resource.setrlimit(resource.RLIMIT_FSIZE, (size + number * 8, -1))
    try:
        journal.append("fact", {"number": number}, 1)
    except NotSaved as problem:
        assert journal.path.stat().st_size == size, number
        print("not saved", problem)
    else:
        print("saved")
    resource.setrlimit(resource.RLIMIT_FSIZE, (-1, -1))
    print(journal.append("after", {"number": number}, 1)["seq"])
"""


def python(code: str, *words: str) -> list[str]:
    return [sys.executable, "-c", code, *words]


TOP = Path(__file__).parents[2]


def test_killed_again_and_again_keeps_what_was_acknowledged(tmp_path: Path) -> None:
    path, entries = logged(tmp_path)
    acknowledged = [entry["hash"] for entry in entries]
    dice = random.Random(7)
    for _ in range(20):
        child = subprocess.Popen(python(WRITER, str(path)), stdout=subprocess.PIPE, text=True, cwd=TOP)
        assert child.stdout is not None
        told = [child.stdout.readline() for _ in range(dice.randrange(1, 30))]
        child.kill()
        told += child.stdout.readlines()
        child.stdout.close()
        child.wait()
        acknowledged += [line.strip() for line in told if line.endswith("\n")]
    opened = Journal.resume(path, clock())
    opened.journal.close()
    hashes = [entry["hash"] for entry in opened.entries if entry["kind"] != "recovered"]
    assert len(acknowledged) > 20
    assert [told for told in hashes if told in set(acknowledged)] == acknowledged
    assert len(hashes) <= len(acknowledged) + 20  # one more may be on the disk for each kill, never two


def test_a_real_short_write_at_many_bytes_is_taken_back(tmp_path: Path) -> None:
    path, _ = logged(tmp_path)
    done = subprocess.run(python(STARVED, str(path)), capture_output=True, text=True, cwd=TOP, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    refused = [row for row in done.stdout.splitlines() if row.startswith("not saved")]
    assert any("File too large" in row for row in refused)
    assert any("the disk took 8 of" in row for row in refused)
    assert len(refused) < 40  # with room enough it was saved
    found = read(path)
    assert (found.damage, found.unfinished) == (None, b"")
    assert [entry["number"] for entry in found.entries if entry["kind"] == "after"] == list(range(40))


def test_two_programs(tmp_path: Path) -> None:
    path, _ = logged(tmp_path)
    child = subprocess.Popen(python(WRITER, str(path)), stdout=subprocess.PIPE, text=True, cwd=TOP)
    assert child.stdout is not None
    child.stdout.readline()
    try:
        Journal.resume(path, clock()).journal.close()
        raise AssertionError("two programs had the session open")
    except Busy as problem:
        held_by = str(problem)
    finally:
        child.kill()
        child.stdout.close()
        child.wait()
    if Path("/proc/locks").exists():
        assert f"(process {child.pid})" in held_by
    Journal.resume(path, clock()).journal.close()  # the lock went with its program


def test_a_child_process_does_not_keep_the_session(tmp_path: Path) -> None:
    journal = begin(tmp_path)
    child = subprocess.Popen(["sleep", "30"], close_fds=False)
    try:
        journal.close()
        opened = Journal.resume(tmp_path / f"{SID}.jsonl", clock())
        opened.journal.close()
    finally:
        child.kill()
        child.wait()
    assert len(opened.entries) == 1
