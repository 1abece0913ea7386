"""`stepper pack` and `stepper unpack`, as they are run: what they say, their exit codes, and what is on the disk."""

from __future__ import annotations

import os
import resource
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pyrage
import pytest

from stepper.cli.main import main
from stepper.record import age
from stepper.record.package import gathered, sessions_in, tar_of
from stepper.record.register import register
from stepper.record.verify import read
from tests.record.sessions import OTHER, SID, begin, logged
from tests.record.test_package import forged, manifest

ROOT = Path(__file__).parents[2]
PLAIN = ROOT / "sample_sessions" / "plain-single-canal.jsonl"
FIRST = ROOT / "sample_sessions" / "two-visits-first.jsonl"


def run(folder: Path, *arguments: str, limit: int | None = None) -> tuple[int, str, str]:
    """Run the real command in a folder, with files no longer than `limit`."""

    def less() -> None:
        if limit is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))

    command = [sys.executable, "-m", "stepper", *arguments]
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "XDG_DATA_HOME": str(folder / "share"), "HOME": str(folder)}
    done = subprocess.run(
        command, capture_output=True, encoding="utf-8", cwd=folder, env=environment, check=False, preexec_fn=less
    )
    assert "Traceback" not in done.stderr
    return done.returncode, done.stdout, done.stderr


class Practice:
    """A practice with a key, in this process: `key` has the secret, `data` the recipients."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self._capsys = folder, capsys
        self.data, self.key, self.back = folder / "data", folder / "safe.txt", folder / "back"
        self.recipients = self.data / "recipients.txt"
        assert self.run("pack", "--new-key", self.key, "--dir", self.data)[0] == 0

    def run(self, *arguments: str | Path) -> tuple[int, str, str]:
        code = main([str(one) for one in arguments])
        out, err = self._capsys.readouterr()
        assert err.count("\n") == (1 if err else 0)
        return code, out, err

    def pack(self, *sessions: Path, out: str = "out.age") -> tuple[int, str, str]:
        return self.run("pack", *sessions, "--out", self.folder / out, "--dir", self.data)

    def unpack(self, name: str = "out.age") -> tuple[int, str, str]:
        return self.run("unpack", self.folder / name, "--key", self.key, "--dir", self.back)

    def seal(self, tar: bytes, name: str = "out.age") -> None:
        (self.folder / name).write_bytes(age.encrypt(tar, self.recipients.read_text("utf-8").split()))


@pytest.fixture
def at(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Practice:
    return Practice(tmp_path, capsys)


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_the_way_there_and_back_as_a_practice_goes_it(tmp_path: Path) -> None:
    code, out, err = run(tmp_path, "pack", str(PLAIN), "--out", "out.age")
    assert (code, out) == (2, "")
    assert err.startswith("stepper: There is no key to encrypt to: stepper pack --new-key FILE makes one, or put")
    assert "recipients.txt" in err
    assert names(tmp_path) == []

    code, out, err = run(tmp_path, "pack", "--new-key", "safe.txt")
    assert (code, err) == (0, "")
    assert "on paper or on a stick in a safe, not beside the data" in out
    recipients = tmp_path / "share" / "stepper" / "recipients.txt"
    assert recipients.read_text("utf-8").strip() == out.split()[-1]
    assert "AGE-SECRET-KEY" not in out
    assert (mode(recipients), mode(tmp_path / "safe.txt"), mode(recipients.parent)) == (0o600, 0o600, 0o700)

    code, out, err = run(tmp_path, "pack", str(PLAIN), str(FIRST), "--out", "out.age")
    assert (code, err) == (0, "")
    assert out.startswith("out.age: 2 sessions, encrypted to 1 key:\n  age1")
    assert f"plain-single-canal.jsonl: intact, 49 entries, head {read(PLAIN).head[:8]}" in out
    assert mode(tmp_path / "out.age") == 0o600
    assert names(tmp_path) == ["out.age", "safe.txt", "share"]

    code, out, err = run(tmp_path, "unpack", "out.age", "--key", "safe.txt", "--dir", "back/here")
    assert (code, err) == (0, "")
    assert [line.split(", head")[0] for line in out.splitlines()] == [
        "plain-single-canal.jsonl: intact, 49 entries",
        "two-visits-first.jsonl: intact, 42 entries",
    ]
    back = tmp_path / "back" / "here"
    assert (mode(back.parent), mode(back)) == (0o700, 0o700)
    assert names(back) == [PLAIN.name, FIRST.name]
    for path in (PLAIN, FIRST):
        assert (back / path.name).read_bytes() == path.read_bytes()
        assert mode(back / path.name) == 0o600


def test_the_library_alone_opens_it(at: Practice) -> None:
    assert at.pack(PLAIN)[0] == 0
    (line,) = [one for one in at.key.read_text("utf-8").splitlines() if not one.startswith("#")]
    plain = pyrage.decrypt((at.folder / "out.age").read_bytes(), [pyrage.x25519.Identity.from_str(line)])
    assert PLAIN.read_bytes() in plain


def test_a_second_unpacking_finds_it_there_and_mends_it(at: Practice) -> None:
    at.pack(PLAIN)
    assert at.unpack()[0] == 0
    (at.back / PLAIN.name).chmod(0o644)
    code, out, _ = at.unpack()
    assert code == 0
    assert "it is in" in out
    assert "already, the same" in out
    assert mode(at.back / PLAIN.name) == 0o600


@pytest.mark.parametrize("what", ["other bytes", "link", "folder", "dangling"])
def test_nothing_that_is_there_is_written_over(at: Practice, what: str) -> None:
    at.pack(PLAIN, FIRST)
    at.back.mkdir()
    there = at.back / PLAIN.name
    if what == "other bytes":
        there.write_bytes(b"mine")
    elif what == "folder":
        there.mkdir()
    else:
        there.symlink_to(PLAIN if what == "link" else "nowhere")
    code, out, err = at.unpack()
    assert (code, err) == (1, "")
    first, second = out.splitlines()
    assert "NOT WRITTEN: another file of that name is in" in first
    assert "written into" in second
    assert (at.back / FIRST.name).read_bytes() == FIRST.read_bytes()
    assert names(at.back) == [PLAIN.name, FIRST.name]
    if what == "other bytes":
        assert there.read_bytes() == b"mine"
    else:
        assert there.is_dir() if what == "folder" else there.is_symlink()


def test_a_key_or_a_package_that_exists_is_not_written_over(at: Practice) -> None:
    secret, recipients = at.key.read_bytes(), at.recipients.read_bytes()
    code, _, err = at.run("pack", "--new-key", at.key, "--dir", at.data)
    assert code == 2
    assert "is there already" in err
    assert (at.key.read_bytes(), at.recipients.read_bytes()) == (secret, recipients)
    assert at.pack(PLAIN)[0] == 0
    before = (at.folder / "out.age").read_bytes()
    code, out, err = at.pack(FIRST)
    assert (code, out) == (2, "")
    assert "is there already" in err
    assert (at.folder / "out.age").read_bytes() == before


def test_a_second_key_opens_what_is_packed_from_then_on(at: Practice) -> None:
    at.pack(PLAIN)
    other = at.folder / "other.txt"
    assert at.run("pack", "--new-key", other, "--dir", at.data)[0] == 0
    code, out, _ = at.pack(PLAIN, out="later.age")
    assert code == 0
    assert "encrypted to 2 keys" in out
    for key in (at.key, other):
        assert at.run("unpack", at.folder / "later.age", "--key", key, "--dir", at.folder / key.stem)[0] == 0
    code, out, err = at.run("unpack", at.folder / "out.age", "--key", other, "--dir", at.back)
    assert (code, out) == (2, "")
    assert "it was packed for another key than this one" in err
    assert not at.back.exists()


def test_the_secret_is_not_made_beside_the_data(at: Practice) -> None:
    before = at.recipients.read_bytes()
    for name in ("key.txt", "sessions/key.txt", "recipients.txt", "../data/key.txt"):
        code, _, err = at.run("pack", "--new-key", at.data / name, "--dir", at.data)
        assert code == 2
        assert "The secret does not belong beside the data" in err
    assert names(at.data) == ["recipients.txt"]
    assert at.recipients.read_bytes() == before


def test_where_the_public_half_cannot_be_kept_there_is_no_secret_either(at: Practice) -> None:
    at.recipients.unlink()
    at.recipients.mkdir()
    code, out, err = at.run("pack", "--new-key", at.folder / "new.txt", "--dir", at.data)
    assert (code, out) == (2, "")
    assert "recipients.txt was not written" in err
    assert names(at.folder) == ["data", "safe.txt"]


def test_recipients_are_mended_and_read_as_they_are_told(at: Practice) -> None:
    at.recipients.chmod(0o666)
    assert at.pack(PLAIN)[0] == 0
    assert mode(at.recipients) == 0o600
    for text, said in (
        ("# nobody\n", "There is no key to encrypt to"),
        ("age1nobody\n", "recipients.txt, line 1 is not a public key of age"),
        (at.key.read_text("utf-8"), "recipients.txt, line 3 is a secret key: it belongs in a safe"),
        ("x" * 70_000, "recipients.txt is too large: the most is 64 KB"),
    ):
        at.recipients.write_text(text, "utf-8")
        code, out, err = at.pack(PLAIN, out="other.age")
        assert (code, out) == (2, "")
        assert said in err
        assert "SECRET" not in err
    assert names(at.folder) == ["data", "out.age", "safe.txt"]


def test_a_damaged_session_goes_there_and_back_and_is_told_both_times(at: Practice) -> None:
    path = at.folder / PLAIN.name
    path.write_bytes(PLAIN.read_bytes().replace(b'"by":2', b'"by":3', 30))
    code, out, _ = at.pack(path)
    assert code == 1
    assert f"{PLAIN.name}: DAMAGED, 0 entries hold" in out
    code, out, _ = at.unpack()
    assert code == 1
    assert "DAMAGED" in out
    assert (at.back / PLAIN.name).read_bytes() == path.read_bytes()


def test_a_session_that_is_open_and_unfinished_is_packed_as_it_stands(at: Practice) -> None:
    journal = begin(at.folder / "sessions")
    with journal.path.open("ab") as file:
        file.write(b'{"v":1,"se')
    before = journal.path.read_bytes()
    code, out, _ = at.pack(journal.path)
    journal.close()
    assert code == 0
    assert "intact, 1 entry, head" in out
    assert "its last entry was cut off, and its 10 bytes are kept as they are" in out
    assert journal.path.read_bytes() == before
    assert at.unpack()[0] == 0
    assert (at.back / journal.path.name).read_bytes() == before


def test_a_session_that_is_not_all_that_was_registered_is_told(at: Practice) -> None:
    folder = at.folder / "sessions"
    path, entries = logged(folder, 4)
    register(folder, SID, len(entries), str(entries[-1]["hash"]))
    assert at.pack(path)[0] == 0
    whole = path.read_bytes()
    path.write_bytes(whole[: whole[:-1].rindex(b"\n") + 1])
    code, out, _ = at.pack(path, out="short.age")
    assert code == 1
    assert "intact, 3 entries" in out
    assert f"Session {SID} was shortened: 4 entries were registered, 3 are there." in out
    at.back = folder
    path.unlink()
    code, out, _ = at.unpack("short.age")
    assert code == 1
    assert "written into" in out
    assert "was shortened: 4 entries were registered, 3 are there." in out
    path.unlink()
    assert at.unpack()[0] == 0


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("mr-name-4711.jsonl", b"hello\n", "does not begin as one"),
        ("mr-name-4711.jsonl", b"", "it was never begun"),
        ("mr-name-4711.jsonl", b'{"v":9,"seq":0}\n', "use a newer program"),
        ("Mr Name.jsonl", b"hello\n", "names no session of this program"),
        ("note.txt", b"hello\n", "such a name ends in .jsonl"),
        ("\x1b[2J.jsonl", b"hello\n", "unprintable"),
    ],
)
def test_what_is_no_session_is_refused_and_nothing_is_written(at: Practice, name: str, data: bytes, said: str) -> None:
    (at.folder / name).write_bytes(data)
    code, out, err = at.pack(PLAIN, at.folder / name)
    assert (code, out) == (2, "")
    assert said in err
    assert err[:-1].isprintable()
    assert not (at.folder / "out.age").exists()


def test_no_control_sequence_of_a_name_reaches_the_screen(at: Practice) -> None:
    code, _, err = at.pack(PLAIN, out="no\x1b[2J/out.age")
    assert code == 2
    assert "no<U+001B>[2J/out.age was not written" in err
    (at.folder / "\x1b[2J").mkdir()
    code, out, _ = at.pack(PLAIN, out="\x1b[2J/out.age")
    assert code == 0
    assert "\x1b" not in out
    code, out, _ = at.run("unpack", at.folder / "\x1b[2J/out.age", "--key", at.key, "--dir", at.folder / "\x1b[2J")
    assert code == 0
    assert "\x1b" not in out


def test_what_stands_in_the_place_of_a_session(at: Practice) -> None:
    os.mkfifo(at.folder / "pipe-of-mine.jsonl")
    (at.folder / "folder-of-mine.jsonl").mkdir()
    for name, said in (
        ("pipe-of-mine", "not a regular"),
        ("folder-of-mine", "not a regular"),
        ("not-there", "No such"),
    ):
        code, out, err = at.pack(at.folder / f"{name}.jsonl")
        assert (code, out) == (2, "")
        assert said in err
    code, _, err = at.pack(PLAIN, PLAIN)
    assert code == 2
    assert "is given twice" in err


def test_a_changed_or_cut_package_is_refused_in_one_sentence(at: Practice) -> None:
    path, _ = logged(at.folder / "sessions", 1)
    at.pack(path)
    sealed = (at.folder / "out.age").read_bytes()
    changed = [sealed[:at] + bytes([sealed[at] ^ 4]) + sealed[at + 1 :] for at in range(0, len(sealed), 97)]
    for data in [*changed, *(sealed[:size] for size in range(0, len(sealed), 131)), sealed + b"x"]:
        (at.folder / "bad.age").write_bytes(data)
        code, out, err = at.unpack("bad.age")
        assert (code, out) == (2, "")
        assert "bad.age cannot be opened: " in err
        assert err.endswith("Nothing of it was taken.\n")
        assert not at.back.exists()


def test_what_is_no_package_and_no_key(at: Practice) -> None:
    at.pack(PLAIN)
    (at.folder / "bad.age").write_bytes(PLAIN.read_bytes())
    assert at.unpack("bad.age")[0] == 2
    assert "No such file" in at.unpack("not-there.age")[2]
    for key, said in ((PLAIN, "too large"), (at.recipients, "line 1 is not a secret key"), (at.data, "not a regular")):
        code, out, err = at.run("unpack", at.folder / "out.age", "--key", key, "--dir", at.back)
        assert (code, out) == (2, "")
        assert said in err
    assert not at.back.exists()


def test_a_forged_package_writes_nothing(at: Practice) -> None:
    """Whoever has the public key can encrypt to it: age says nothing of who did."""
    session = logged(at.folder / "sessions", 2)[0].read_bytes()
    told = ("package.json", manifest(session))
    for members in ([told], [told, ("../../escaped.jsonl", session)], [told, (f"{SID}.jsonl", session), ("x", b"")]):
        at.seal(forged(members))
        code, out, err = at.unpack()
        assert (code, out) == (2, "")
        assert "it was not made by this program. Nothing of it was taken." in err
    assert not at.back.exists()
    at.seal(forged([told, (f"{SID}.jsonl", session)]))
    code, out, _ = at.unpack()
    assert code == 1
    assert "ITS MANIFEST SAYS OTHERWISE" in out
    assert f"{SID}.jsonl: intact, 2 entries, head " in out


def test_a_session_that_this_program_cannot_verify_is_not_written(at: Practice) -> None:
    good = logged(at.folder / "sessions", 2, OTHER)[0].read_bytes()
    ((mine, _),) = gathered([(OTHER, good)])
    newer = b'{"v":99,"seq":0}\n'
    ((theirs),) = sessions_in(forged([("package.json", manifest(newer)), (f"{SID}.jsonl", newer)]))
    at.seal(tar_of([theirs, mine]))
    code, out, _ = at.unpack()
    assert code == 2
    assert f"{SID}.jsonl: NOT WRITTEN. Session {SID} is of format version 99" in out
    assert names(at.back) == [f"{OTHER}.jsonl"]


@pytest.mark.parametrize("limit", [0, 1, 500, 40_000, 90_000])
def test_a_disk_that_takes_no_more_leaves_nothing_behind(at: Practice, limit: int) -> None:
    """RLIMIT_FSIZE gives real short writes, then EFBIG."""
    shutil.copy(PLAIN, at.folder)
    code, out, err = run(at.folder, "pack", PLAIN.name, "--out", "out.age", "--dir", "data", limit=limit)
    assert (code, out) == (2, "")
    assert err == "stepper: out.age was not written: File too large.\n"
    assert names(at.folder) == ["data", PLAIN.name, "safe.txt"]
    at.pack(PLAIN)
    code, out, err = run(at.folder, "unpack", "out.age", "--key", "safe.txt", "--dir", "back", limit=limit)
    assert (code, out) == (2, "")
    assert "was not written: File too large" in err
    assert names(at.back) == []


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["pack"], "stepper pack SESSION... --out FILE.age is needed"),
        (["pack", "a.jsonl"], "stepper pack SESSION... --out FILE.age is needed"),
        (["pack", "--out", "a.age"], "stepper pack SESSION... --out FILE.age is needed"),
        (["pack", "--new-key", "k", "a.jsonl"], "--new-key makes a key and packs nothing"),
        (["pack", "--new-key", "k", "--out", "a.age"], "--new-key makes a key and packs nothing"),
        (["pack", "a.jsonl", "--out", "a", "--out", "b"], "--out is given twice"),
        (["unpack"], "required"),
        (["unpack", "a.age", "--key", "k"], "required: --dir"),
        (["unpack", "a.age", "--dir", "d"], "required: --key"),
        (["unpack", "a.age", "b.age", "--key", "k", "--dir", "d"], "unrecognized arguments: b.age"),
    ],
)
def test_a_wrong_call_is_told_in_a_sentence(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, arguments: list[str], said: str
) -> None:
    data = ["--dir", str(tmp_path / "data")] if arguments[0] == "pack" else []
    assert main([*arguments, *data]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert err.count("\n") == 1
    assert names(tmp_path) == []
