"""The register of files: what a session alone cannot tell of itself."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from stepper.record import register as module
from stepper.record.journal import Journal
from stepper.record.keys import new_key
from stepper.record.problems import Damaged
from stepper.record.register import NAME, Registered, read_register, register
from stepper.record.verify import read
from stepper.session.addendum import open_addendum
from stepper.session.signing import sign_session
from stepper.session.store import put_away
from tests.drive import Chair, script
from tests.record.sessions import clock

SCRIPTS = Path(__file__).parents[1] / "scripts"


def session(folder: Path, entries: int = 6) -> Path:
    """A session that was left, and registered, after so many entries."""
    journal = Journal.create(folder, clock(), {"practice": True, "protocol": "x"}, 3)
    for number in range(entries - 1):
        journal.append("fact", {"n": number}, None)
    register(folder, journal.sid, journal.count, journal.head)
    journal.close()
    return journal.path


def test_a_folder_without_one_knows_no_session(tmp_path: Path) -> None:
    found = read_register(tmp_path)
    assert (dict(found.sessions), found.fault, found.missing(tmp_path)) == ({}, "", [])


def test_the_last_word_on_a_session_counts_and_the_file_is_private(tmp_path: Path) -> None:
    register(tmp_path, "one", 1, "a" * 64)
    register(tmp_path, "two", 5, "b" * 64)
    register(tmp_path, "one", 3, "c" * 64)
    assert read_register(tmp_path).sessions == {"one": Registered(3, "c" * 64), "two": Registered(5, "b" * 64)}
    assert (tmp_path / NAME).stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("kept", range(1, 6))
def test_a_session_that_lost_its_last_entries_is_seen(tmp_path: Path, kept: int) -> None:
    path = session(tmp_path)
    lines = path.read_bytes().split(b"\n")
    path.write_bytes(b"\n".join(lines[:kept]) + b"\n")
    found = read(path)
    assert found.damage is None, "by itself it is whole"
    assert read_register(tmp_path).complaint(found) == (
        f"Session {path.stem} was shortened: 6 entries were registered, {kept} are there."
    )


def test_one_that_has_grown_since_is_in_order(tmp_path: Path) -> None:
    path = session(tmp_path)
    journal = Journal.resume(path, clock()).journal
    journal.append("fact", {"n": 9}, None)
    journal.close()
    assert read_register(tmp_path).complaint(read(path)) == ""


def test_one_that_was_written_anew_is_seen(tmp_path: Path) -> None:
    path = session(tmp_path)
    path.unlink()
    journal = Journal.create(tmp_path, clock(), {"practice": True, "protocol": "x"}, 3, sid=path.stem)
    for number in range(7):
        journal.append("fact", {"n": number + 100}, None)
    journal.close()
    said = read_register(tmp_path).complaint(read(path))
    assert "is not the file that was registered: entry 5 is another one." in said


def test_one_that_is_gone_is_named(tmp_path: Path) -> None:
    kept, gone = session(tmp_path), session(tmp_path)
    gone.unlink()
    assert read_register(tmp_path).missing(tmp_path) == [gone.stem]
    assert kept.exists()


def test_what_lost_entries_is_not_written_to(tmp_path: Path) -> None:
    path = session(tmp_path)
    path.write_bytes(b"\n".join(path.read_bytes().split(b"\n")[:3]) + b"\n")
    before = path.read_bytes()
    with pytest.raises(Damaged, match="was shortened"):
        Journal.resume(path, clock(), known=read_register(tmp_path))
    assert path.read_bytes() == before


def test_every_bit_of_it_counts(tmp_path: Path) -> None:
    for number in range(3):
        register(tmp_path, f"session-{number}", number + 1, "a" * 64)
    file = tmp_path / NAME
    data = file.read_bytes()
    for at in range(0, len(data) - 1):
        for bit in (1, 32):
            file.write_bytes(data[:at] + bytes([data[at] ^ bit]) + data[at + 1 :])
            assert "is damaged from line" in read_register(tmp_path).fault, at
    file.write_bytes(data)
    assert read_register(tmp_path).fault == ""


def test_a_line_that_was_cut_off_is_put_right_by_the_next(tmp_path: Path) -> None:
    register(tmp_path, "one", 1, "a" * 64)
    register(tmp_path, "two", 1, "b" * 64)
    file = tmp_path / NAME
    file.write_bytes(file.read_bytes()[:-10])
    register(tmp_path, "three", 1, "c" * 64)
    assert set(read_register(tmp_path).sessions) == {"one", "three"}


def test_a_damaged_one_is_left_as_it_is(tmp_path: Path) -> None:
    register(tmp_path, "one", 1, "a" * 64)
    register(tmp_path, "two", 1, "b" * 64)
    file = tmp_path / NAME
    file.write_bytes(b"x" + file.read_bytes()[1:])
    before = file.read_bytes()
    with pytest.raises(OSError, match="damaged"):
        register(tmp_path, "three", 1, "c" * 64)
    assert file.read_bytes() == before
    assert read_register(tmp_path).fault == "The register of files is damaged from line 1 on."


def test_where_the_disk_is_full_it_is_as_before(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    register(tmp_path, "one", 1, "a" * 64)
    before = (tmp_path / NAME).read_bytes()
    write = os.write
    monkeypatch.setattr(module.Os, "write", lambda _, handle, data: write(handle, data[:7]))
    with pytest.raises(OSError, match="No space left"):
        register(tmp_path, "two", 1, "b" * 64)
    assert (tmp_path / NAME).read_bytes() == before


def test_a_link_in_its_place_is_not_followed(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.write_bytes(b"")
    (tmp_path / NAME).symlink_to(elsewhere)
    with pytest.raises(OSError, match="symbolic"):
        register(tmp_path, "one", 1, "a" * 64)
    assert elsewhere.read_bytes() == b""


def test_one_that_is_too_long_is_not_cut(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for number in range(9):
        register(tmp_path, f"session-{number}", 1, "a" * 64)
    whole = (tmp_path / NAME).read_bytes()
    monkeypatch.setattr(module, "_MOST", len(whole) - 10)
    with pytest.raises(OSError, match="too large"):
        register(tmp_path, "one-more", 1, "a" * 64)
    assert (tmp_path / NAME).read_bytes() == whole


def known(path: Path) -> Registered:
    return read_register(path.parent).sessions[path.stem]


def stands(path: Path) -> Registered:
    found = read(path)
    return Registered(len(found.entries), found.head)


@pytest.mark.parametrize("ending", ["close", "void"])
def test_what_ends_a_session_is_registered_with_the_line_that_ends_it(tmp_path: Path, ending: str) -> None:
    """No crash comes in between: from then on the removal of the last entries is seen."""
    chair = Chair(tmp_path)
    if ending == "close":
        chair.key(*script(SCRIPTS / "plain_single.keys"))
    else:
        chair.open()
        chair.key("/", "9", "1", "2")
    assert ending in read(chair.path).entries.kinds
    assert known(chair.path) == stands(chair.path)


def test_a_signature_and_that_of_an_addendum_are_registered_at_once(tmp_path: Path) -> None:
    chair = Chair(tmp_path)
    chair.key(*script(SCRIPTS / "plain_single.keys"))
    path, words = chair.path, "an invented passphrase"
    key = new_key(tmp_path, 1, "Invented Person", "IP", words, "2026-03-02")
    sign_session(path, clock(), tmp_path, key, words)
    assert known(path) == stands(path) and "signature" in read(path).entries.kinds
    journal, _, _ = open_addendum(path, clock(), 1)
    journal.append("addendum", {"text": "The patient rang.", "said_by": 1, "name": "Invented Person"}, 1)
    put_away(journal)
    assert known(journal.path) == stands(journal.path)
    sign_session(journal.path, clock(), tmp_path, key, words)
    assert known(journal.path) == stands(journal.path) and "signature" in read(journal.path).entries.kinds
