from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.record import verify
from stepper.record.chain import genesis, seal
from stepper.record.members import LINE_CAP, OPEN_CAP
from stepper.record.problems import Unreadable
from stepper.record.verify import Verified, judge, read
from tests.record.sessions import OTHER, SID, begin, logged


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The bytes of an intact session of four entries."""
    return logged(tmp_path_factory.mktemp("whole"))[0].read_bytes()


def lines(data: bytes) -> list[bytes]:
    return data.split(b"\n")[:-1]


def judged(data: bytes) -> Verified | None:
    """What is made of the bytes; nothing if they are refused with a sentence."""
    try:
        found = judge(data, SID)
    except Unreadable as refusal:
        assert str(refusal).endswith(".")
        return None
    assert data[: found.size].count(b"\n") == len(found.entries)
    return found


def clean(found: Verified | None) -> bool:
    return found is not None and found.damage is None and not found.unfinished


def again(head: str, *bodies: dict[str, object]) -> bytes:
    """Lines that chain on `head`, whatever is in them."""
    out = b""
    for body in bodies:
        line = seal(json.dumps(body, separators=(",", ":")).encode(), head)
        head = json.loads(line)["hash"]
        out += line + b"\n"
    return out


def body_of(entry: dict[str, object], **changes: object) -> dict[str, object]:
    return {name: value for name, value in {**entry, **changes}.items() if name != "hash"}


def test_an_intact_session(tmp_path: Path) -> None:
    path, entries = logged(tmp_path)
    found = read(path)
    assert found == Verified(SID, entries, str(entries[-1]["hash"]), path.stat().st_size)
    assert [entry["seq"] for entry in found.entries] == [0, 1, 2, 3]
    assert found.entries[0]["sid"] == SID


def test_cut_at_every_byte(session: bytes) -> None:
    ends = {0}
    for line in lines(session):
        ends.add(max(ends) + len(line) + 1)
    first = len(lines(session)[0]) + 1
    for cut in range(len(session) + 1):
        found = judged(session[:cut])
        if cut < first:
            assert found is None, cut
            continue
        assert found is not None
        whole = max(end for end in ends if end <= cut)
        assert (found.damage, found.size, found.unfinished) == (None, whole, session[whole:cut]), cut


def test_every_single_bit_flip_is_seen(session: bytes) -> None:
    last = len(session) - len(lines(session)[-1]) - 1
    for place in range(len(session)):
        for bit in range(8):
            flipped = bytearray(session)
            flipped[place] ^= 1 << bit
            found = judged(bytes(flipped))
            assert not clean(found), (place, bit)
            if place < last:
                # what comes before the last line was finished: it can only be damage, or no session at all
                assert found is None or found.damage is not None, (place, bit)


def test_a_damage_tells_the_entry_and_the_byte(session: bytes) -> None:
    rows = lines(session)
    start = len(rows[0]) + len(rows[1]) + 2
    found = judged(session.replace(b'"value":"2.50"', b'"value":"2.55"'))
    assert found is not None
    assert found.damage is not None
    assert (found.damage.entry, found.damage.offset) == (2, start)
    assert (
        found.damage.sentence == f"Session {SID} is damaged: entry 2, from byte {start} on, "
        "does not match its hash; the 2 before it are intact."
    )
    assert found.head == json.loads(rows[1])["hash"]
    assert [entry["seq"] for entry in found.entries] == [0, 1]


@pytest.mark.parametrize("number", range(4))
def test_lines_taken_out_doubled_swapped_put_in(session: bytes, number: int) -> None:
    rows = lines(session)
    mutants = {
        "doubled": rows[: number + 1] + rows[number:],
        "put in": [*rows[: number + 1], b'{"v":1,"seq":9}', *rows[number + 1 :]],
        "blank": [*rows[:number], b"", *rows[number:]],
    }
    if number < 3:  # without its last line a session is whole: only a copy of its head kept elsewhere tells
        mutants["taken out"] = rows[:number] + rows[number + 1 :]
        mutants["swapped"] = [*rows[:number], rows[number + 1], rows[number], *rows[number + 2 :]]
    for name, mutant in mutants.items():
        assert not clean(judged(b"\n".join(mutant) + b"\n")), name


def test_a_line_of_a_sister_session_at_its_own_number(tmp_path: Path, session: bytes) -> None:
    sister = lines(logged(tmp_path, sid=OTHER)[0].read_bytes())
    rows = lines(session)
    found = judged(b"\n".join([*rows[:2], sister[2], *rows[3:]]) + b"\n")
    assert found is not None
    assert found.damage is not None
    assert found.damage.entry == 2


def test_another_session_under_this_name(tmp_path: Path) -> None:
    path, _ = logged(tmp_path, sid=OTHER)
    renamed = path.rename(tmp_path / f"{SID}.jsonl")
    found = read(renamed)
    assert found.damage is not None
    assert f"opens session '{OTHER}', and the file is named '{SID}.jsonl'" in found.damage.sentence


def test_a_first_entry_that_tells_another_session_than_its_chain(session: bytes) -> None:
    first = json.loads(lines(session)[0])
    found = judged(again(genesis(SID), body_of(first, sid=OTHER)))
    assert found is not None
    assert found.damage is not None
    assert f"opens session '{OTHER}'" in found.damage.sentence


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"seq": 3}, "has the number 3 where 2 comes next"),
        ({"seq": 1}, "has the number 1 where 2 comes next"),
        ({"v": 2}, "is of format version 2"),
        ({"kind": "open"}, "is of kind 'open'"),
        ({"mono_us": "5"}, "'mono_us'"),
        ({"text": "\ud800"}, "surrogate"),
        ({"text": "x" * LINE_CAP}, f"is longer than the {LINE_CAP} bytes allowed"),
    ],
)
def test_a_line_that_chains_and_is_wrong_is_damage_even_at_the_end(
    session: bytes, changes: dict[str, object], says: str
) -> None:
    rows = lines(session)
    entry = json.loads(rows[2])
    found = judged(b"\n".join(rows[:2]) + b"\n" + again(json.loads(rows[1])["hash"], body_of(entry, **changes)))
    assert found is not None
    assert found.damage is not None
    assert says in found.damage.sentence


def test_a_name_told_twice_is_damage(session: bytes) -> None:
    rows = lines(session)
    line = seal(rows[2][: -len(',"hash":""}') - 64] + b',"by":3}', json.loads(rows[1])["hash"])
    found = judged(b"\n".join([*rows[:2], line]) + b"\n")
    assert found is not None
    assert found.damage is not None
    assert "names a member twice" in found.damage.sentence


@pytest.mark.parametrize(
    ("tail", "unfinished"),
    [
        (b"x", True),
        (b"\n", True),
        (b'{"v":1,"seq":4', True),
        (b'{"v":1,\x00\x00\x00"}\n', True),
        (b"\x00" * 4096, True),
        (b"y" * LINE_CAP, True),
        (b"y" * (LINE_CAP - 1) + b"\n", True),
        (b"y" * (LINE_CAP + 1), False),
        (b"y" * LINE_CAP + b"\n", False),
        (b"\n\n", False),
        (b"x\ny", False),
        (b"x\ny\n", False),
    ],
    ids=range(12),
)
def test_what_is_an_unfinished_tail(session: bytes, tail: bytes, unfinished: bool) -> None:
    found = judged(session + tail)
    assert found is not None
    assert found.unfinished == (tail if unfinished else b"")
    assert (found.damage is None) == unfinished
    assert (len(found.entries), found.size) == (4, len(session))


def test_a_last_line_in_other_bytes_is_unfinished_but_two_run_together_are_damage(session: bytes) -> None:
    rows = lines(session)
    bent = judged(session.replace(b'"value":"3.50"', b'"value":"3.55"'))
    assert bent is not None
    assert bent.unfinished.startswith(b'{"v":1,"seq":3,')
    merged = judged(b"\n".join(rows[:3]) + b"\x0b" + rows[3] + b"\n")
    assert merged is not None
    assert merged.damage is not None
    assert merged.damage.entry == 2


def test_a_session_of_one_entry_that_is_bent_is_damage_not_unfinished(session: bytes) -> None:
    found = judged(lines(session)[0].replace(b"true", b"True") + b"\n")
    assert found is not None
    assert found.damage is not None
    assert (found.damage.entry, found.damage.offset, found.entries) == (0, 0, [])


def test_line_0_may_be_longer_than_the_others_but_not_endless(session: bytes) -> None:
    first = json.loads(lines(session)[0])
    room = OPEN_CAP - len(again(genesis(SID), body_of(first, protocol="")))
    assert clean(judged(again(genesis(SID), body_of(first, protocol="x" * room))))
    found = judged(again(genesis(SID), body_of(first, protocol="x" * (room + 1))))
    assert found is not None
    assert found.damage is not None
    assert "is longer than the 1048576 bytes allowed" in found.damage.sentence


def test_a_newer_format_is_named(session: bytes) -> None:
    with pytest.raises(Unreadable, match="format version 2, and this program reads up to 1: use a newer program"):
        judge(session.replace(b'{"v":1,', b'{"v":2,'), SID)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "is empty: it was never begun"),
        (b"hello\n", "does not begin as one"),
        (b'{"v":0,"seq":0}\n', "does not begin as one"),
        (b'\xef\xbb\xbf{"v":1,"seq":0}\n', "does not begin as one"),
        (b'{"v":1,"seq":0,"kind":"op', "its first entry is not finished"),
    ],
)
def test_what_is_no_session(tmp_path: Path, data: bytes, says: str) -> None:
    path = tmp_path / f"{SID}.jsonl"
    path.write_bytes(data)
    with pytest.raises(Unreadable, match=says):
        read(path)


def test_paths_that_are_no_file(tmp_path: Path) -> None:
    folder, pipe = tmp_path / "folder.jsonl", tmp_path / "pipe.jsonl"
    folder.mkdir()
    os.mkfifo(pipe)
    for path, says in [
        (folder, "not a regular file"),
        (pipe, "not a regular file"),
        (tmp_path / "none.jsonl", "No such file"),
        (tmp_path / ("x" * 300 + ".jsonl"), "File name too long"),
        (tmp_path / "session.txt", "ends in .jsonl"),
        (tmp_path, "ends in .jsonl"),
        (tmp_path / "a\x00b.jsonl", "unprintable"),
        (tmp_path / "a\x1b[2Jb.jsonl", "unprintable"),
        (tmp_path / "a\udcffb.jsonl", "unprintable"),
    ]:
        with pytest.raises(Unreadable, match=says) as refusal:
            read(path)
        assert str(refusal.value).isprintable()


def test_a_file_too_large(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path, _ = logged(tmp_path)
    monkeypatch.setattr(verify, "FILE_CAP", path.stat().st_size)
    assert clean(read(path))
    monkeypatch.setattr(verify, "FILE_CAP", path.stat().st_size - 1)
    with pytest.raises(Unreadable, match="too large"):
        read(path)


@pytest.mark.parametrize("mode", [0o400, 0o444, 0o644, 0o600])
def test_files_of_any_mode_are_read_and_left_as_they_are(tmp_path: Path, mode: int) -> None:
    path, _ = logged(tmp_path)
    path.chmod(mode)
    assert clean(read(path))
    assert path.stat().st_mode & 0o777 == mode


def test_a_session_is_read_while_it_is_written(tmp_path: Path) -> None:
    journal = begin(tmp_path)
    journal.append("fact", {"n": 1}, None)
    assert read(journal.path).head == journal.head
    journal.append("fact", {"n": 2}, None)  # reading it has not cost the writer its lock
    journal.close()


def test_wall_time_may_go_back_order_is_the_number(session: bytes) -> None:
    rows = [json.loads(row) for row in lines(session)]
    rows[2]["t"] = "1970-01-01T00:00:00.000000Z"
    rows[3]["t"] = "2099-01-01T00:00:00.000000Z"
    rows[3]["mono_us"] = 0
    found = judged(again(genesis(SID), *map(body_of, rows)))
    assert found is not None
    assert clean(found)
    assert [entry["seq"] for entry in found.entries] == [0, 1, 2, 3]


PIECES = st.one_of(
    st.binary(max_size=60),
    st.sampled_from([b"\n", b'{"v":1,', b'"seq":0,', b'"kind":"open",', b',"hash":"' + b"0" * 64 + b'"}', b'{"v":2,']),
)


@given(st.lists(PIECES, max_size=12).map(b"".join))
def test_any_bytes_at_all(data: bytes) -> None:
    found = judged(data)
    assert found is None or found.damage is not None


@given(st.lists(PIECES, max_size=8).map(b"".join), st.data())
def test_any_bytes_anywhere_in_a_session(session: bytes, data_in: bytes, draw: st.DataObject) -> None:
    start = draw.draw(st.integers(0, len(session)))
    end = draw.draw(st.integers(start, len(session)))
    changed = session[:start] + data_in + session[end:]
    found = judged(changed)
    if found is not None and clean(found):
        assert session.startswith(changed)
