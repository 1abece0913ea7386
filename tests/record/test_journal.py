from __future__ import annotations

import base64
import contextlib
import datetime as dt
import hashlib
import os
import stat
import tempfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.record.clock import Moment, since_1970_us
from stepper.record.journal import Journal
from stepper.record.members import LINE_CAP
from stepper.record.problems import Busy, Damaged, NotSaved, Retired, Unreadable
from stepper.record.system import open_there, take
from stepper.record.verify import read
from tests.record.sessions import SID, begin, clock, logged


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_a_new_session(tmp_path: Path) -> None:
    journal = Journal.create(tmp_path / "data" / "sessions", clock(), {"practice": True, "protocol": "x"}, 3)
    entry = journal.append("fact", {"value": "20.50", "text": "a\u2028b\u0085c"}, None)
    journal.close()
    assert journal.path == tmp_path / "data" / "sessions" / f"{journal.sid}.jsonl"
    found = read(journal.path)
    assert found.entries[1] == entry
    assert (entry["seq"], entry["kind"], entry["t"], entry["by"]) == (1, "fact", "2026-11-24T08:40:01.123456Z", None)
    first = found.entries[0]
    assert list(first)[:11] == ["v", "seq", "kind", "t", "off", "tz", "mono_us", "boot", "by", "sid", "nonce"]
    assert (first["kind"], first["by"], first["sid"], first["practice"]) == ("open", 3, journal.sid, True)
    assert list(entry)[-3:] == ["value", "text", "hash"]
    assert (journal.head, journal.last, journal.count) == (found.head, entry, 2)


def test_resuming_goes_on_where_it_was(tmp_path: Path) -> None:
    path, entries = logged(tmp_path)
    opened = Journal.resume(path, clock())
    assert (opened.entries, opened.recovered) == (entries, None)
    assert opened.journal.last == entries[-1]
    more = opened.journal.append("fact", {"value": "9"}, 1)
    opened.journal.close()
    assert more["seq"] == 4
    assert read(path).entries == [*entries, more]


def test_order_is_the_number_when_the_wall_clock_is_set_back(tmp_path: Path) -> None:
    class Wild:
        test = True
        walls = iter([2026, 1970, 2099, 2025])

        def now(self) -> Moment:
            return Moment(since_1970_us(dt.datetime(next(self.walls), 1, 1, tzinfo=dt.UTC)), "+00:00", "", 5, "b")

    journal = Journal.create(tmp_path, Wild(), {}, None)
    for _ in range(3):
        journal.append("fact", {}, None)
    journal.close()
    assert [str(entry["t"])[:4] for entry in read(journal.path).entries] == ["2026", "1970", "2099", "2025"]


@pytest.mark.parametrize("umask", [0, 0o022, 0o277])
def test_what_is_made_is_private(tmp_path: Path, umask: int) -> None:
    before = os.umask(umask)
    try:
        journal = begin(tmp_path / "data" / "sessions")
    finally:
        os.umask(before)
    journal.close()
    assert mode(journal.path) == 0o600
    assert mode(tmp_path / "data" / "sessions") == 0o700


def test_modes_are_mended(tmp_path: Path) -> None:
    folder = tmp_path / "sessions"
    folder.mkdir(mode=0o755)
    path, _ = logged(folder)
    assert mode(folder) == 0o700
    path.chmod(0o644)
    Journal.resume(path, clock()).journal.close()
    assert mode(path) == 0o600


def test_a_second_program_is_told_who_has_it(tmp_path: Path) -> None:
    journal = begin(tmp_path)
    with pytest.raises(Busy, match=f"Session {SID} is open in another program.*: close it there first") as refusal:
        Journal.resume(journal.path, clock())
    assert str(os.getpid()) in str(refusal.value) or "process" not in str(refusal.value)
    journal.append("fact", {}, None)  # the lock and the file are as they were
    journal.close()
    Journal.resume(journal.path, clock()).journal.close()


def test_the_same_session_is_not_begun_twice(tmp_path: Path) -> None:
    path, entries = logged(tmp_path)
    with pytest.raises(NotSaved, match="cannot be made: File exists"):
        begin(tmp_path)
    assert read(path).entries == entries


@pytest.mark.parametrize(
    "sid",
    [
        "",
        "con",
        "../evil-session",
        "a/b/c/d/e/f",
        "UPPERCASE-ONE",
        "session\x00one",
        "has a space",
        "x" * 65,
        "session-1.",
        "session-1.0",
        "-session",
    ],
)
def test_names_that_are_refused(tmp_path: Path, sid: str) -> None:
    with pytest.raises(NotSaved, match="cannot name a session"):
        begin(tmp_path, sid)
    assert list(tmp_path.iterdir()) == []


def test_a_continuation_may_be_named(tmp_path: Path) -> None:
    path, entries = logged(tmp_path, sid=f"{SID}.2")
    assert path.name == f"{SID}.2.jsonl"
    assert read(path).entries == entries


def test_only_a_plain_file_with_one_name_is_written(tmp_path: Path) -> None:
    path, _ = logged(tmp_path)
    whole = path.read_bytes()
    link, hard = tmp_path / "symbolic.jsonl", tmp_path / "hardlink.jsonl"
    folder, pipe = tmp_path / "afolder.jsonl", tmp_path / "fifofifo.jsonl"
    link.symlink_to(path)
    folder.mkdir()
    os.mkfifo(pipe)
    for place in (link, folder, pipe, tmp_path / "missing1.jsonl", Path("/dev/null.jsonl"), tmp_path / "x.txt"):
        with pytest.raises(Unreadable):
            Journal.resume(place, clock())
    with pytest.raises(Unreadable, match="symbolic links"):
        Journal.resume(link, clock())
    hard.hardlink_to(path)
    for place in (hard, path):
        with pytest.raises(Unreadable, match="plain file with one name"):
            Journal.resume(place, clock())
    assert path.read_bytes() == whole


def test_a_file_put_in_the_place_of_the_one_opened(tmp_path: Path) -> None:
    path, _ = logged(tmp_path)
    handle = open_there(path)
    path.rename(tmp_path / "moved away")
    logged(tmp_path)
    try:
        with pytest.raises(Unreadable, match="was replaced"):
            take(handle, path)
    finally:
        os.close(handle)


def test_a_new_session_does_not_follow_a_link(tmp_path: Path) -> None:
    target = tmp_path / "target"
    (tmp_path / f"{SID}.jsonl").symlink_to(target)
    with pytest.raises(NotSaved):
        begin(tmp_path)
    assert not target.exists()


def test_a_folder_that_cannot_be_used(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("x")
    file.chmod(0o644)
    dangling = tmp_path / "dangling"
    dangling.symlink_to(tmp_path / "nowhere")
    for folder in (file, file / "below", dangling):
        with pytest.raises(NotSaved, match="cannot be made private and used"):
            begin(folder)
    assert mode(file) == 0o644


@pytest.mark.parametrize(
    ("kind", "body", "by", "says"),
    [
        ("fact", {"seq": 1}, 1, "names the member 'seq', which is the record's own"),
        ("fact", {"text": "\udcff"}, 1, "lone surrogate"),
        ("fact", {"value": float("nan")}, 1, "JSON cannot"),
        ("fact", {"value": b"x"}, 1, "JSON cannot"),
        ("fact", {"value": {1: "a", "1": "b"}}, 1, "names a member twice"),
        ("fact", {"text": "x" * LINE_CAP}, 1, "and 65536 are allowed"),
        ("open", {}, 1, "is of kind 'open'"),
        ("Fact!", {}, 1, "'kind'"),
        ("fact", {}, True, "'by'"),
    ],
)
def test_what_cannot_be_saved_leaves_no_trace(
    tmp_path: Path, kind: str, body: dict[str, object], by: int | None, says: str
) -> None:
    journal = begin(tmp_path)
    before = journal.path.read_bytes()
    with pytest.raises(NotSaved, match=says):
        journal.append(kind, body, by)
    assert journal.path.read_bytes() == before
    assert journal.append("fact", {}, None)["seq"] == 1
    journal.close()


@pytest.mark.parametrize("body", [{"sid": "x"}, {"hash": "x"}, {"protocol": "x" * 1024 * 1024}, {"text": "\ud800"}])
def test_a_session_that_cannot_be_begun_leaves_no_file(tmp_path: Path, body: dict[str, object]) -> None:
    with pytest.raises(NotSaved):
        Journal.create(tmp_path, clock(), body, 1)
    assert list(tmp_path.iterdir()) == []


def test_the_longest_line(tmp_path: Path) -> None:
    journal = begin(tmp_path)
    start = journal.path.stat().st_size
    journal.append("fact", {"text": ""}, None)
    room = LINE_CAP - (journal.path.stat().st_size - start)
    journal.append("fact", {"text": "x" * room}, None)
    with pytest.raises(NotSaved, match="takes 65537 bytes, and 65536 are allowed"):
        journal.append("fact", {"text": "x" * (room + 1)}, None)
    journal.close()
    assert len(read(journal.path).entries) == 3


def test_a_session_is_never_written_larger_than_it_can_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    journal = begin(tmp_path)
    journal.append("fact", {"n": 1}, None)
    size = journal.path.stat().st_size
    monkeypatch.setattr("stepper.record.journal.FILE_CAP", size + 100)
    with pytest.raises(NotSaved, match="go on in a new one"):
        journal.append("fact", {"n": 2}, None)
    journal.close()
    assert journal.path.stat().st_size == size


def test_a_closed_journal_says_so(tmp_path: Path) -> None:
    journal = begin(tmp_path)
    journal.close()
    journal.close()
    with pytest.raises(Retired, match="was closed"):
        journal.append("fact", {}, None)


@pytest.mark.parametrize("tail", [b'{"v":1,"seq":4,"ki', b"\x00" * 700 + b"\n", b"\n", b"z" * LINE_CAP])
def test_an_unfinished_end_is_kept_in_an_entry(tmp_path: Path, tail: bytes) -> None:
    path, entries = logged(tmp_path)
    size = path.stat().st_size
    with path.open("ab") as file:
        file.write(tail)
    opened = Journal.resume(path, clock())
    assert opened.recovered == "The last entry was cut off while it was being saved; its bytes are kept in entry 4."
    more = opened.journal.append("fact", {}, 1)
    opened.journal.close()
    kept = opened.entries[4]
    assert opened.entries[:4] == entries
    assert (kept["kind"], kept["by"], kept["at"], kept["bytes"]) == ("recovered", None, size, len(tail))
    assert kept["sha256"] == hashlib.sha256(tail).hexdigest()
    assert base64.b64decode(str(kept["base64"])) == tail[:45_000]
    assert read(path).entries == [*entries, kept, more]
    again = Journal.resume(path, clock())
    again.journal.close()
    assert (again.recovered, again.entries) == (None, [*entries, kept, more])


def test_resuming_after_a_cut_at_every_byte(tmp_path: Path) -> None:
    path, entries = logged(tmp_path / "whole", 3)
    data = path.read_bytes()
    first = data.index(b"\n") + 1
    copy = tmp_path / path.name
    for cut in range(first, len(data), 3):
        copy.write_bytes(data[:cut])
        opened = Journal.resume(copy, clock())
        opened.journal.append("fact", {"after": cut}, None)
        opened.journal.close()
        whole = data[:cut].count(b"\n")
        found = read(copy)
        assert found.damage is None
        assert not found.unfinished
        assert found.entries[:whole] == entries[:whole]
        assert [entry["kind"] for entry in found.entries[whole:]] in (["fact"], ["recovered", "fact"])


def test_a_damaged_file_is_never_written(tmp_path: Path) -> None:
    path, entries = logged(tmp_path)
    bent = path.read_bytes().replace(b'"value":"2.50"', b'"value":"2.55"')
    path.write_bytes(bent)
    path.chmod(0o644)
    with pytest.raises(Damaged, match="entry 2") as refusal:
        Journal.resume(path, clock())
    assert path.read_bytes() == bent
    assert mode(path) == 0o644
    assert refusal.value.entries == entries[:2]
    assert refusal.value.head == entries[1]["hash"]
    assert refusal.value.damage.entry == 2
    with pytest.raises(Damaged):  # and the lock is free again
        Journal.resume(path, clock())


@pytest.mark.parametrize("data", [b"", b"no session\n", b'{"v":9,"seq":0}\n', b'{"v":1,"seq":0'])
def test_what_is_no_session_is_left_alone(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / f"{SID}.jsonl"
    path.write_bytes(data)
    path.chmod(0o640)
    with pytest.raises(Unreadable):
        Journal.resume(path, clock())
    assert path.read_bytes() == data
    assert mode(path) == 0o640


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.text() | st.floats() | st.integers() | st.text(st.characters(categories=["Cs"])),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text() | st.integers(), inner, max_size=3),
    max_leaves=8,
)


@given(st.lists(st.dictionaries(st.text() | st.sampled_from(["seq", "sid", "hash"]), ANYTHING, max_size=3), max_size=4))
def test_whatever_is_logged_comes_back_or_is_refused(bodies: list[dict[str, object]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        journal = begin(Path(folder))
        entries = [journal.last]
        for body in bodies:
            with contextlib.suppress(NotSaved):
                entries.append(journal.append("fact", body, None))
        journal.close()
        found = read(journal.path)
    assert (found.entries, found.damage, found.unfinished) == (entries, None, b"")
