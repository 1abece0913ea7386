"""Signing: what is confirmed, what the signature covers, and that nothing of it can be changed unseen."""

from __future__ import annotations

import json
from pathlib import Path

import msgspec
import pytest
import tomli_w
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from stepper.cli.main import main
from stepper.record.chain import genesis, hash_in, seal
from stepper.record.clock import SystemClock
from stepper.record.journal import Journal
from stepper.record.keys import LIST, Key, KeyList, new_key, read_keys, secret_path, sign
from stepper.record.problems import Unreadable
from stepper.session.signing import MEANING, Signed, sign_session, signed_by, to_confirm
from stepper.session.store import read_case, resume
from tests.drive import Chair, script

WORDS = "an invented passphrase"
SCRIPTS = Path(__file__).parents[1] / "scripts"
SAMPLES = Path(__file__).parents[2] / "sample_sessions"


def closed(folder: Path, name: str = "wrong_cone") -> Path:
    chair = Chair(folder / "sessions")
    chair.key(*script(SCRIPTS / f"{name}.keys"))
    assert chair.case.closed
    chair.lobby.leave()
    return chair.path


def keyed(data: Path, person: int = 1) -> Key:
    return new_key(data, person, "Invented Person", "IP", WORDS, "2026-03-02")


def worth(path: Path, data: Path) -> Signed:
    found, case, fault = read_case(path)
    assert case is not None, fault
    return signed_by(path, found, read_keys(data))


def chained(path: Path, lines: list[dict[str, object]]) -> None:
    """Write a session anew with a chain that holds: what somebody could do who knows the program."""
    head, out = genesis(path.stem), b""
    for number, line in enumerate(lines):
        body = {**{name: member for name, member in line.items() if name != "hash"}, "seq": number}
        sealed = seal(json.dumps(body, separators=(",", ":"), ensure_ascii=False).encode(), head)
        head, out = hash_in(sealed), out + sealed + b"\n"
    path.write_bytes(out)


def lines_of(path: Path) -> list[dict[str, object]]:
    return [json.loads(line) for line in path.read_bytes().splitlines()]


def test_a_closed_session_is_signed_and_the_signature_holds(tmp_path: Path) -> None:
    path, key = closed(tmp_path), keyed(tmp_path)
    assert worth(path, tmp_path) == Signed()
    before = path.read_bytes()
    one = sign_session(path, SystemClock(), tmp_path, key, WORDS)
    assert path.read_bytes().startswith(before)
    assert (one.name, one.initials, one.key, one.meaning) == ("Invented Person", "IP", key.id, MEANING)
    found = worth(path, tmp_path)
    assert found.holds and not found.wrong
    assert found.words == f"Signed by Invented Person (IP) at {one.at}: {MEANING}"


def test_another_program_can_verify_it_by_the_words_of_the_format(tmp_path: Path) -> None:
    """The signed text put together here by hand, from the file alone."""
    path, key = closed(tmp_path), keyed(tmp_path)
    sign_session(path, SystemClock(), tmp_path, key, WORDS)
    *_, before, last = lines_of(path)
    assert last["entries"] == before["seq"] + 1 and last["head"] == before["hash"]  # type: ignore[operator]
    text = "\n".join(
        ["stepper signature 1", f"sid={path.stem}"]
        + [f"{name}={last[name]}" for name in ["person", "name", "initials", "meaning", "at", "key", "entries", "head"]]
    )
    Ed25519PublicKey.from_public_bytes(bytes.fromhex(key.public)).verify(bytes.fromhex(str(last["sig"])), text.encode())


def test_a_signed_session_takes_no_more_entries(tmp_path: Path) -> None:
    path, key = closed(tmp_path), keyed(tmp_path)
    sign_session(path, SystemClock(), tmp_path, key, WORDS)
    before = path.read_bytes()
    with pytest.raises(Unreadable, match="is signed: it takes no more entries"):
        resume(path, SystemClock())
    with pytest.raises(Unreadable, match="takes no more entries"):
        sign_session(path, SystemClock(), tmp_path, key, WORDS)
    assert path.read_bytes() == before


def test_one_that_is_not_closed_is_not_signed(tmp_path: Path) -> None:
    chair = Chair(tmp_path / "sessions")
    chair.open()
    chair.lobby.leave()
    before = chair.path.read_bytes()
    with pytest.raises(Unreadable, match="is not closed yet"):
        sign_session(chair.path, SystemClock(), tmp_path, keyed(tmp_path), WORDS)
    assert chair.path.read_bytes() == before


def test_a_wrong_passphrase_signs_nothing(tmp_path: Path) -> None:
    path, key = closed(tmp_path), keyed(tmp_path)
    before = path.read_bytes()
    for wrong in ("", "an invented passphrasE", WORDS + " "):
        with pytest.raises(Unreadable, match="not the passphrase"):
            sign_session(path, SystemClock(), tmp_path, key, wrong)
    assert path.read_bytes() == before


def test_what_waited_for_the_yes_is_confirmed_by_signing(tmp_path: Path) -> None:
    path = closed(tmp_path)
    answer = next(one for one in lines_of(path) if one["kind"] == "answer" and one["step"] == "coronal_seal")
    journal = Journal.resume(path, SystemClock()).journal
    journal.append("correction", {"of": answer["seq"], "how": "keyed_wrong", "values": answer["values"]}, 2)
    journal.close()
    found = read_case(path)[1]
    assert found is not None and len(found.unconfirmed) == 1
    (told,) = to_confirm(found).unconfirmed
    assert told.startswith(f"entry {found.unconfirmed[0]}: keyed wrong, entry {answer['seq']}: now ")
    sign_session(path, SystemClock(), tmp_path, keyed(tmp_path), WORDS)
    after = read_case(path)[1]
    assert after is not None and not after.unconfirmed
    assert worth(path, tmp_path).holds


def test_departures_are_listed_with_their_reasons() -> None:
    told = 0
    for path in sorted(SAMPLES.glob("*.jsonl")):
        case = read_case(path)[1]
        assert case is not None
        lines = to_confirm(case).departures
        assert len(lines) == len(case.departures)
        told += len(lines)
        for line, one in zip(lines, case.departures.values(), strict=True):
            assert line.endswith(f"Reason: {one.reason}")
    assert told, "there is one among the samples"


# ---- What it protects against --------------------------------------------------------------------


def signed(tmp_path: Path) -> Path:
    path = closed(tmp_path)
    sign_session(path, SystemClock(), tmp_path, keyed(tmp_path), WORDS)
    return path


def test_a_record_that_was_written_anew_with_a_chain_that_holds_is_seen(tmp_path: Path) -> None:
    path = signed(tmp_path)
    lines = lines_of(path)
    changed = [{**line, "by": 3} if line["seq"] == 20 else line for line in lines]
    changed[20] = {**lines[20], "tz": "Elsewhere"}
    chained(path, changed)
    found = worth(path, tmp_path)
    assert found.wrong and "it is of another record" in found.words
    changed[-1] = {**changed[-1], "head": lines_of(path)[-2]["hash"]}
    chained(path, changed)
    assert "the signature does not fit" in worth(path, tmp_path).words


@pytest.mark.parametrize("name", ["person", "name", "initials", "meaning", "at"])
def test_every_member_of_the_signature_is_under_it(tmp_path: Path, name: str) -> None:
    path = signed(tmp_path)
    lines = lines_of(path)
    lines[-1][name] = 2 if name == "person" else "x"
    chained(path, lines)
    found = worth(path, tmp_path)
    assert found.wrong, found.words


def test_a_signature_of_another_session_does_not_fit(tmp_path: Path) -> None:
    one, other = signed(tmp_path / "one"), signed(tmp_path / "other")
    lines = lines_of(other)
    lines[-1] = {**lines[-1], "sig": lines_of(one)[-1]["sig"]}
    chained(other, lines)
    assert worth(other, tmp_path / "other").wrong


def test_entries_behind_a_signature_are_seen(tmp_path: Path) -> None:
    path = signed(tmp_path)
    lines = lines_of(path)
    chained(
        path,
        [
            *lines,
            {**lines[-2], "kind": "resume", "app": "x", "values": None}
            and {
                **{name: lines[-2][name] for name in ("v", "seq", "t", "off", "tz", "mono_us", "boot", "by")},
                "kind": "resume",
                "app": "x",
            },
        ],
    )
    assert "entries came after it" in worth(path, tmp_path).words


def test_a_key_that_is_not_in_the_list_or_another_persons_is_said(tmp_path: Path) -> None:
    path = signed(tmp_path)
    keys = read_keys(tmp_path)
    other = msgspec.structs.replace(keys.key[0], name="Another Person")
    (tmp_path / LIST).write_text(tomli_w.dumps(msgspec.to_builtins(KeyList((other,)))))
    assert "is another person's" in worth(path, tmp_path).words
    (tmp_path / LIST).unlink()
    assert "is not in the practice's list" in worth(path, tmp_path).words


# ---- Keys ----------------------------------------------------------------------------------------


def test_a_key_is_kept_privately_and_its_secret_is_not_in_the_clear(tmp_path: Path) -> None:
    key = keyed(tmp_path)
    path = secret_path(tmp_path, key)
    assert (path.stat().st_mode & 0o777, path.parent.stat().st_mode & 0o777) == (0o600, 0o700)
    assert b"ENCRYPTED" in path.read_bytes()
    assert (tmp_path / LIST).stat().st_mode & 0o777 == 0o600
    assert read_keys(tmp_path).of(1) == key
    newer = keyed(tmp_path)
    assert read_keys(tmp_path).of(1) == newer and read_keys(tmp_path).by_id(key.id) == key
    assert read_keys(tmp_path).of(2) is None


@pytest.mark.parametrize(
    "text",
    [
        "key = 3",
        "[[key]]\nid = 1",
        "rubbish",
        '[[key]]\nid = "x"\nperson = 1\nname = "n"\ninitials = "i"\npublic = "00"\nmade = "d"',
    ],
)
def test_a_list_that_is_none_is_refused_in_a_sentence(tmp_path: Path, text: str) -> None:
    (tmp_path / LIST).write_text(text)
    with pytest.raises(Unreadable, match=f"^{LIST}: ") as refused:
        read_keys(tmp_path)
    assert "\n" not in str(refused.value)


def test_a_secret_that_is_gone_or_rubbish_is_said(tmp_path: Path) -> None:
    key = keyed(tmp_path)
    secret_path(tmp_path, key).write_bytes(b"rubbish")
    with pytest.raises(Unreadable, match="not the passphrase"):
        sign(tmp_path, key, WORDS, b"x")
    secret_path(tmp_path, key).unlink()
    with pytest.raises(Unreadable, match="cannot be read"):
        sign(tmp_path, key, WORDS, b"x")


# ---- check and the note --------------------------------------------------------------------------


def test_check_says_by_whom_and_ends_otherwise_where_it_does_not_hold(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = signed(tmp_path)
    assert main(["check", str(path), "--dir", str(tmp_path)]) == 0
    said = capsys.readouterr().out
    assert ", signed" in said and "Signed by Invented Person (IP) at" in said
    main(["check", str(path), "--dir", str(tmp_path), "--json"])
    told = json.loads(capsys.readouterr().out)
    assert told["signed"] is True and told["signature"].startswith("Signed by")
    (tmp_path / LIST).unlink()
    assert main(["check", str(path), "--dir", str(tmp_path)]) == 1
    assert "not signed" in capsys.readouterr().out


def test_the_note_says_who_signed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = signed(tmp_path)
    assert main(["note", str(path)]) == 0
    said = capsys.readouterr().out
    assert "Signed electronically by Invented Person (IP)" in " ".join(said.split())
    assert "Not signed" not in said
