"""Signing a session: what is signed, what the clinician confirms by it, and what a signature is worth afterwards."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from stepper.case.state import Case
from stepper.facts.entries import Signature, parse
from stepper.note.words import say
from stepper.record.clock import Clock, utc_text
from stepper.record.journal import Journal
from stepper.record.keys import Key, KeyList, is_signed, sign
from stepper.record.problems import Unreadable
from stepper.record.verify import Verified
from stepper.session.store import put_away, resume

MEANING = "I have read this record and confirm it, its departures and its corrections as they stand."


@dataclass(frozen=True)
class Confirmed:
    """What a signature confirms: each late entry and correction, and each departure, in words."""

    unconfirmed: tuple[str, ...]
    departures: tuple[str, ...]


def to_confirm(case: Case) -> Confirmed:
    """List it for a case. Raises Unreadable where the session cannot be signed yet, or not any more."""
    if case.signature is not None:
        raise Unreadable(f"Session {case.header.sid} is signed already.")
    if not case.closed and case.void is None:
        raise Unreadable(f"Session {case.header.sid} is not closed yet: it is signed when the visit is over.")
    late = (case.entries[seq] for seq in case.unconfirmed)
    said = (f"entry {one.seq}: {say(case, one)}" for one in late)
    departures = (f"{one.text or one.remark} Reason: {one.reason}" for one in case.departures.values())
    return Confirmed(tuple(said), tuple(departures))


def sign_session(path: Path, clock: Clock, data: Path, key: Key, passphrase: str) -> Signature:
    """Sign a closed session: what waited for the clinician's yes is confirmed first, then the signature is written.

    Raises RecordError, BadProtocol or BadSettings; nothing is written then unless the disk itself gave up.
    """
    sign(data, key, passphrase, b"")  # the passphrase is looked at before anything is written
    journal, case, _ = resume(path, clock)
    try:
        to_confirm(case)
        if case.unconfirmed:
            journal.append("confirm", {"of": list(case.unconfirmed), "said_by": key.person}, key.person)
        body = _body(journal, key, utc_text(clock.now().wall))
        journal.append("signature", {**body, "sig": sign(data, key, passphrase, _text(journal.sid, body))}, key.person)
        signed = parse(journal.last)
        assert isinstance(signed, Signature)
        return signed
    finally:
        put_away(journal)


@dataclass(frozen=True)
class Signed:
    """What a session's signature is worth: whether it `holds`, and a sentence about it; none where there is none."""

    holds: bool = False
    words: str = ""

    @property
    def wrong(self) -> bool:
        """Whether there is a signature that does not hold."""
        return bool(self.words) and not self.holds


def signed_by(found: Verified, case: Case, keys: KeyList) -> Signed:
    """Look at the signature of a session that was read, by the practice's list of keys."""
    one = case.signature
    if one is None:
        return Signed()
    by = f"Signed by {one.name} ({one.initials}) at {one.at}"
    wrong = _wrong(found, one, keys.by_id(one.key))
    return Signed(words=f"{by}, but {wrong}.") if wrong else Signed(holds=True, words=f"{by}: {one.meaning}")


def _wrong(found: Verified, one: Signature, key: Key | None) -> str:
    """Say what is wrong with a signature; nothing where it holds."""
    last = found.entries[-1]
    head = str(found.entries[-2]["hash"]) if len(found.entries) > 1 else ""
    body = {name: last.get(name) for name in _SIGNED}
    if last["kind"] != "signature":
        return "entries came after it"
    if (one.entries, one.head) != (len(found.entries) - 1, head):
        return "it is of another record"
    if key is None:
        return f"the key {one.key} is not in the practice's list"
    if (key.person, key.name, key.initials) != (one.person, one.name, one.initials):
        return f"the key {one.key} is another person's"
    return "" if is_signed(key.public, one.sig, _text(found.sid, body)) else "the signature does not fit"


_SIGNED = ("person", "name", "initials", "meaning", "at", "key", "entries", "head")


def _body(journal: Journal, key: Key, at: str) -> dict[str, object]:
    said = (key.person, key.name, key.initials, MEANING, at, key.id, journal.count, journal.head)
    return dict(zip(_SIGNED, said, strict=True))


def _text(sid: str, body: dict[str, object]) -> bytes:
    """Give the very bytes that are signed: one member a line, so that none can run into another."""
    lines = [f"stepper signature 1\nsid={sid}", *(f"{name}={body[name]!s}".replace("\n", " ") for name in _SIGNED)]
    return "\n".join(lines).encode()
