"""What is inside a package, what age lets through of a changed one (nothing), and what is taken of a forged one."""

from __future__ import annotations

import hashlib
import io
import json
import tarfile
from collections.abc import Callable
from pathlib import Path

import pyrage
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stepper.record import age, package
from stepper.record.journal import Journal
from stepper.record.package import MANIFEST, gathered, sessions_in, tar_of, verified
from stepper.record.problems import NotSaved, Unreadable
from tests.record.sessions import OTHER, SID, begin, clock, logged

SECRET, PUBLIC = age.new_key()
KEYS = age.secrets_in(SECRET.encode(), "key")


def files(folder: Path) -> list[tuple[str, bytes]]:
    return [(sid, logged(folder, count, sid)[0].read_bytes()) for sid, count in ((SID, 3), (OTHER, 2))]


def tar_with(files: list[tuple[str, bytes]]) -> bytes:
    return tar_of([one for one, _ in gathered(files)])


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    return logged(tmp_path_factory.mktemp("one"), 1)[0].read_bytes()


@pytest.fixture(scope="module")
def sealed(session: bytes) -> bytes:
    return age.encrypt(tar_with([(SID, session)]), [PUBLIC])


def test_sessions_come_back_byte_for_byte_and_as_the_manifest_tells(tmp_path: Path) -> None:
    packed = files(tmp_path)
    back = sessions_in(age.decrypt(age.encrypt(tar_with(packed), [PUBLIC]), KEYS, "p"))
    assert [(one.told.id, one.data) for one in back] == packed
    for one in back:
        found, as_told = verified(one)
        assert as_told
        assert (one.told.intact, one.told.entries, one.told.head) == (True, len(found.entries), found.head)


def test_others_can_read_it_and_it_tells_of_no_machine(tmp_path: Path) -> None:
    """Independently of what reads it here: the library by itself, then Python's own tarfile and json."""
    packed = files(tmp_path)
    sealed = age.encrypt(tar_with(packed), [PUBLIC])
    assert SID.encode() not in sealed
    plain = pyrage.decrypt(sealed, [pyrage.x25519.Identity.from_str(KEYS[0])])
    with tarfile.open(fileobj=io.BytesIO(plain), mode="r:") as tar:
        members = tar.getmembers()
        contents = [tar.extractfile(one).read() for one in members]  # type: ignore[union-attr]
        assert tar.pax_headers == {}
    assert [one.name for one in members] == [MANIFEST, f"{SID}.jsonl", f"{OTHER}.jsonl"]
    same = {(one.type, one.mode, one.uid, one.gid, one.uname, one.gname, one.mtime, one.linkname) for one in members}
    assert same == {(tarfile.REGTYPE, 0o600, 0, 0, "", "", 0, "")}
    assert contents[1:] == [data for _, data in packed]
    assert json.loads(contents[0]) == {
        "v": 1,
        "sessions": [
            {
                "id": sid,
                "bytes": len(data),
                "sha256": hashlib.sha256(data).hexdigest(),
                "head": json.loads(data.splitlines()[-1])["hash"],
                "entries": len(data.splitlines()),
                "intact": True,
            }
            for sid, data in packed
        ],
    }


def test_each_recipient_can_open_it_and_nobody_else(session: bytes) -> None:
    second, public = age.new_key()
    stranger, _ = age.new_key()
    plain = tar_with([(SID, session)])
    sealed = age.encrypt(plain, [PUBLIC, public])
    assert age.decrypt(sealed, KEYS, "p") == age.decrypt(sealed, age.secrets_in(second.encode(), "k"), "p") == plain
    with pytest.raises(Unreadable, match=r"^p cannot be opened: it was packed for another key than this one"):
        age.decrypt(sealed, age.secrets_in(stranger.encode(), "k"), "p")
    assert age.decrypt(sealed, [*age.secrets_in(stranger.encode(), "k"), *KEYS], "p") == plain


def test_every_flipped_byte_is_refused(sealed: bytes) -> None:
    for at in range(len(sealed)):
        changed = bytearray(sealed)
        changed[at] ^= 1 << at % 8
        with pytest.raises(Unreadable, match=r"^p cannot be opened: .* Nothing of it was taken\.$"):
            age.decrypt(bytes(changed), KEYS, "p")


def test_every_cut_and_whatever_is_added_is_refused(sealed: bytes) -> None:
    for size in range(len(sealed)):
        with pytest.raises(Unreadable, match="cannot be opened"):
            age.decrypt(sealed[:size], KEYS, "p")
    for changed in (sealed + b"\0", sealed + sealed, b"\n" + sealed):
        with pytest.raises(Unreadable, match="it was changed or cut short, or it is no package"):
            age.decrypt(changed, KEYS, "p")


def test_what_is_encrypted_by_a_passphrase_is_refused() -> None:
    with pytest.raises(Unreadable, match="cannot be opened"):
        age.decrypt(pyrage.passphrase.encrypt(b"x", "secret"), KEYS, "p")


@settings(deadline=None, max_examples=200)
@given(st.binary(max_size=400))
def test_any_bytes_are_refused_in_words(data: bytes) -> None:
    for read in (
        lambda: age.decrypt(data, KEYS, "p"),
        lambda: age.decrypt(b"age-encryption.org/v1\n" + data, KEYS, "p"),
        lambda: age.secrets_in(data, "k"),
        lambda: sessions_in(data),
        lambda: sessions_in(forged([(MANIFEST, data)])),
    ):
        with pytest.raises(Unreadable):
            read()


# a damaged session, an unfinished one, one that is none


def test_a_damaged_session_is_packed_and_told_as_such(tmp_path: Path) -> None:
    data = logged(tmp_path, 4)[0].read_bytes().replace(b'"2.50"', b'"9.50"')
    ((one, found),) = gathered([(SID, data)])
    assert found.damage is not None
    assert (one.told.intact, one.told.entries) == (False, 2)
    (back,) = sessions_in(tar_of([one]))
    assert back.data == data
    assert verified(back)[1]


def test_an_unfinished_tail_is_left_as_it_is(tmp_path: Path) -> None:
    journal = begin(tmp_path)
    with journal.path.open("ab") as file:
        file.write(b'{"v":1,"seq":1,"ki')
    ((one, found),) = gathered([(SID, journal.path.read_bytes())])
    journal.close()
    assert found.unfinished == b'{"v":1,"seq":1,"ki'
    assert (one.told.intact, one.told.entries) == (True, 1)
    assert sessions_in(tar_of([one]))[0].data.endswith(b'"ki')


@pytest.mark.parametrize("data", [b"", b"Mr Name\n", b"{}\n", b'{"v":1,', b'{"v":2,"seq":0}\n', b"\x00" * 600])
def test_what_is_no_session_is_not_packed(data: bytes) -> None:
    with pytest.raises(Unreadable):
        gathered([(SID, data)])


@pytest.mark.parametrize("sid", ["", "short", "mr name 1", "Capital-letters", "../../etc/passwd", "x" * 65, SID + ".0"])
def test_a_name_that_the_program_gives_to_no_session_is_not_packed(sid: str, tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match=r"names no session of this program"):
        gathered([(sid, b"")])
    with pytest.raises(NotSaved, match="cannot name a session"):
        Journal.create(tmp_path, clock(), {}, 1, sid=sid)


@pytest.mark.parametrize("sid", ["two-visits-first", "x" * 64, SID + ".2", SID + ".9999", "12345678"])
def test_every_name_that_the_program_gives_fits_a_tar(sid: str, tmp_path: Path) -> None:
    data = logged(tmp_path, 2, sid)[0].read_bytes()
    assert [one.name for one in sessions_in(tar_with([(sid, data)]))] == [f"{sid}.jsonl"]


def test_twice_the_same_too_many_and_too_large(session: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(Unreadable, match="is given twice"):
        gathered([(SID, session), (SID, session)])
    taken = []

    def give(count: int):
        for number in range(count):
            taken.append(number)
            yield f"{SID}.{number + 1}", session

    monkeypatch.setattr(package, "MOST_SESSIONS", 3)
    assert len(gathered(give(3))) == 3
    taken.clear()
    with pytest.raises(Unreadable, match="too much for one package"):
        gathered(give(9))
    assert len(taken) == 4  # the rest is not even read
    monkeypatch.setattr(package, "MOST_BYTES", len(session) * 2)
    assert len(gathered(give(2))) == 2
    with pytest.raises(Unreadable, match="too much for one package"):
        gathered(give(3))


# forged packages: whoever has the public key can encrypt anything


def forged(members: list[tuple[str, bytes]], change: Callable[[tarfile.TarInfo], None] = lambda _: None) -> bytes:
    into = io.BytesIO()
    with tarfile.open(fileobj=into, mode="w", format=tarfile.USTAR_FORMAT) as tar:
        for name, data in members:
            member = tarfile.TarInfo(name)
            member.size = len(data)
            change(member)
            tar.addfile(member, io.BytesIO(data))
    return into.getvalue()


def manifest(session: bytes, **changed: object) -> bytes:
    told = {
        "id": SID,
        "bytes": len(session),
        "sha256": hashlib.sha256(session).hexdigest(),
        "head": "0" * 64,
        "entries": 1,
        "intact": True,
    }
    return json.dumps({"v": 1, "sessions": [{**told, **changed}]}).encode()


def refused(tar: bytes, why: str = "The package was opened, but") -> None:
    with pytest.raises(Unreadable, match=why) as raised:
        sessions_in(tar)
    assert "\n" not in str(raised.value)


def test_a_tar_by_another_hand_is_taken_only_as_the_manifest_tells_it(session: bytes) -> None:
    told = (MANIFEST, manifest(session))
    mine = (f"{SID}.jsonl", session)
    (one,) = sessions_in(forged([told, mine]))
    assert one.data == session
    assert verified(one)[1] is False  # the head is not this session's
    for members in (
        [],
        [told],
        [mine, told],
        [mine],
        [told, mine, mine],
        [told, told, mine],
        [told, mine, ("more", b"")],
        [told, (f"{OTHER}.jsonl", session)],
        [told, (f"./{SID}.jsonl", session)],
        [told, (f"../{SID}.jsonl", session)],
        [told, (f"/{SID}.jsonl", session)],
        [told, (f"{SID}.jsonl", session + b"\n")],
        [told, (f"{SID}.jsonl", session[:-1] + b" ")],
        [told, (f"{SID}.jsonl", b"")],
    ):
        refused(forged(members))


@pytest.mark.parametrize(
    "kind", [tarfile.SYMTYPE, tarfile.LNKTYPE, tarfile.DIRTYPE, tarfile.FIFOTYPE, tarfile.CHRTYPE, tarfile.CONTTYPE]
)
def test_links_folders_pipes_and_devices_are_refused(session: bytes, kind: bytes) -> None:
    def change(member: tarfile.TarInfo) -> None:
        if member.name != MANIFEST:
            member.type, member.linkname = kind, "/etc/passwd"

    refused(forged([(MANIFEST, manifest(session)), (f"{SID}.jsonl", session)], change), "is something else")


@pytest.mark.parametrize("form", [tarfile.PAX_FORMAT, tarfile.GNU_FORMAT])
def test_headers_that_give_another_its_name_are_refused(session: bytes, form: int) -> None:
    into = io.BytesIO()
    with tarfile.open(fileobj=into, mode="w", format=form) as tar:
        for name, data in ((MANIFEST, manifest(session)), ("x" * 120 + f"/{SID}.jsonl", session)):
            member = tarfile.TarInfo(name)
            member.size = len(data)
            tar.addfile(member, io.BytesIO(data))
    refused(into.getvalue(), "is something else")


@pytest.mark.parametrize("size", [-1, -512, 1 << 40, 10**9])
def test_sizes_that_lead_elsewhere_are_refused(session: bytes, size: int) -> None:
    good = forged([(MANIFEST, manifest(session)), (f"{SID}.jsonl", session)])
    for name in (MANIFEST, f"{SID}.jsonl"):
        header = tarfile.TarInfo(name)
        header.size = size
        at = good.index(name.encode() + b"\0")
        changed = good[:at] + header.tobuf(tarfile.GNU_FORMAT) + good[at + 512 :]
        refused(changed, "is something else")


@pytest.mark.parametrize(
    "changed",
    [
        {"id": "../../etc/passwd"},
        {"id": ""},
        {"id": "con"},
        {"id": SID.upper()},
        {"id": None},
        {"id": [SID]},
        {"bytes": -1},
        {"bytes": "1"},
        {"bytes": 1.5},
        {"sha256": "0" * 64},
        {"sha256": ""},
        {"head": "\x1b[2J"},
        {"head": "A" * 64},
        {"entries": True},
        {"intact": 1},
        {"patient": "4711"},
    ],
)
def test_a_manifest_that_is_not_as_the_format_has_it_is_refused(session: bytes, changed: dict[str, object]) -> None:
    """Also where a member of that very name is there."""
    name = changed.get("id", SID)
    refused(
        forged([(MANIFEST, manifest(session, **changed)), (f"{name}.jsonl", session)]), "not as the format|not the one"
    )


def test_a_manifest_of_no_version_is_refused(session: bytes) -> None:
    told = manifest(session).replace(b'"v": 1', b'"v": 0')
    refused(forged([(MANIFEST, told), (f"{SID}.jsonl", session)]), "not as the format has it")


def test_a_member_that_ends_behind_the_end_is_refused(session: bytes) -> None:
    told, name = manifest(session), f"{SID}.jsonl"
    tar = forged([(MANIFEST, told), (name, session)])
    header = tarfile.TarInfo(name)
    header.size = len(session) + 600
    begin = tar.index(name.encode() + b"\0")
    refused(tar[:begin] + header.tobuf(tarfile.USTAR_FORMAT) + session, "is something else")


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "manifest is not as the format has it"),
        (b"[]", "manifest is not as the format has it"),
        (b'{"v":1}', "manifest is not as the format has it"),
        (b'{"v":0,"sessions":[]}', "manifest is not as the format has it"),
        (b'{"v":1,"sessions":[]}', "manifest is not as the format has it"),
        (b'{"v":' + b"[" * 200_000, "manifest is not as the format has it"),
        (b'{"v":1,"w":' + b"[" * 200_000, "manifest is not as the format has it"),
        (b"\xff\xfe", "manifest is not as the format has it"),
        (b'{"v":2,"other":1}', "of version 2, and this program reads up to 1: use a newer program"),
        (b" " * (4 * 1024 * 1024 + 1), "is something else"),
    ],
)
def test_other_manifests(data: bytes, why: str) -> None:
    refused(forged([(MANIFEST, data)]), why)


def test_two_of_one_name_in_a_manifest_are_refused(session: bytes) -> None:
    told = json.loads(manifest(session))
    told["sessions"] *= 2
    mine = (f"{SID}.jsonl", session)
    refused(forged([(MANIFEST, json.dumps(told).encode()), mine, mine]), "not as the format has it")


def test_a_flipped_byte_of_a_tar_without_encryption_changes_no_session(session: bytes) -> None:
    """The manifest holds the files by itself; what it tells of them is found out when they are verified."""
    tar = tar_with([(SID, session)])
    (mine,) = sessions_in(tar)
    harmless = 0
    for at in range(len(tar)):
        changed = bytearray(tar)
        changed[at] ^= 1 << at % 8
        try:
            (one,) = sessions_in(bytes(changed))
        except Unreadable:
            continue
        assert one.data == session
        harmless += one == mine
        assert one == mine or verified(one)[1] is False
    assert harmless == 2 * 2  # a leading zero and the last space of each header's own sum


# the files of keys


def test_the_files_of_keys() -> None:
    other = age.new_key()[1]
    text = f"\ufeff# the safe\r\n{PUBLIC}\r\n\r\n  {other} \n{PUBLIC}\n# end"
    assert age.recipients_in(text.encode(), "r") == [PUBLIC, other]
    assert age.recipients_in(b"# nobody yet\n", "r") == []
    with pytest.raises(Unreadable, match="line 2 is a secret key: it belongs in a safe") as raised:
        age.recipients_in(f"# key\n{KEYS[0].lower()}".encode(), "r")
    assert KEYS[0][20:].lower() not in str(raised.value).lower()
    with pytest.raises(Unreadable, match="r, line 1 is not a public key of age"):
        age.recipients_in(PUBLIC[:-1].encode(), "r")
    with pytest.raises(Unreadable, match="r is not UTF-8"):
        age.recipients_in(b"\xff", "r")
    with pytest.raises(Unreadable, match="k holds no secret key"):
        age.secrets_in(b"# nothing\n", "k")
    with pytest.raises(Unreadable, match="k, line 1 is not a secret key of age"):
        age.secrets_in(PUBLIC.encode(), "k")
