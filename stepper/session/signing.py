"""Signing a session: what is signed, what the clinician confirms by it, and what a signature is worth afterwards.

A signature is the last entry of its file, over all of that file, and so over what that file goes on from. What is added
later stands in an addendum, a file of its own, which is signed in its turn.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from stepper.case.state import Case
from stepper.facts.entries import parse
from stepper.facts.signature import Signature
from stepper.note.report import stops_standing
from stepper.note.words import canal_name, say
from stepper.record.clock import Clock, utc_text
from stepper.record.continuing import SIGNATURE, continued
from stepper.record.journal import Journal
from stepper.record.keys import Key, KeyList, is_signed, sign
from stepper.record.problems import Unreadable
from stepper.record.verify import Verified
from stepper.session.store import put_away, resume

MEANING = "I have read this record and confirm it, its departures and its corrections as they stand."


@dataclass(frozen=True)
class Confirmed:
    """What a signature confirms: each late entry and correction, and each departure, in words.

    `stops` are those that stand: they are signed as they stand, and confirmed by nothing.
    """

    unconfirmed: tuple[str, ...]
    departures: tuple[str, ...]
    stops: tuple[str, ...]


def to_confirm(case: Case) -> Confirmed:
    """List it for a case: what came since the last signature. Raises Unreadable where there is nothing to sign yet."""
    last = case.signatures[-1] if case.signatures else None
    if last is not None and case.entries[-1] is last:
        raise Unreadable(
            f"Session {case.header.sid} is signed by {last.name} ({last.initials}) at {last.at}: what comes now is an "
            "addendum, which stepper addendum begins."
        )
    if not case.closed and case.void is None:
        raise Unreadable(f"Session {case.header.sid} is not closed yet: it is signed when the visit is over.")
    late = (case.entries[seq] for seq in case.unconfirmed)
    said = (f"entry {one.seq}: {say(case, one)}" for one in late)
    since = [one for one in case.departures.values() if one.seq > case.signed_up_to]
    departures = (f"{one.text or one.remark} Reason: {one.reason}" for one in since)
    stops = (
        f"{name}: {one.text}" if (name := canal_name(case, one.canal)) else one.text for one in stops_standing(case)
    )
    return Confirmed(tuple(said), tuple(departures), tuple(stops))


def sign_session(path: Path, clock: Clock, data: Path, key: Key, passphrase: str) -> Signature:
    """Sign a closed session, or its addendum: what waited for the clinician's yes is confirmed first.

    Raises RecordError, BadProtocol or BadSettings; nothing is written then unless the disk itself gave up.
    """
    sign(data, key, passphrase, b"")  # the passphrase is looked at before anything is written
    journal, case, _ = resume(path, clock)
    try:
        to_confirm(case)
        if case.unconfirmed:
            journal.append("confirm", {"of": list(case.unconfirmed), "said_by": key.person}, key.person)
        body = _body(journal, key, utc_text(clock.now().wall))
        journal.append(SIGNATURE, {**body, "sig": sign(data, key, passphrase, _text(journal.sid, body))}, key.person)
        signed = parse(journal.last)
        assert isinstance(signed, Signature)
        return signed
    finally:
        put_away(journal)


@dataclass(frozen=True)
class Signed:
    """What the signatures of a session are worth, in sentences: none where there is none.

    `holds`: the last thing of the record is a signature, and each one in it holds. `wrong`: one of them does not.
    """

    sentences: tuple[str, ...] = ()
    holds: bool = False
    wrong: bool = False

    @property
    def words(self) -> str:
        """All of it in a row."""
        return " ".join(self.sentences)


def signed_by(path: Path, found: Verified, keys: KeyList) -> Signed:
    """Look at the signatures of a session that was read, each in its own file, by the practice's list of keys.

    Raises Unreadable where a file that it goes on from is not there, or is another one.
    """
    sentences: list[str] = []
    wrong, waiting = False, 0
    for one in _files(path, found):
        waiting += len(one.entries) - 1
        given = _signature(one)
        if given is not None:
            fault = _wrong(one, given, keys.by_id(given.key))
            by = f"igned by {given.name} ({given.initials}) at {given.at}"
            begins = f"Addendum of {_counted(waiting - 1)}, s{by}" if sentences else f"S{by}"
            sentences.append(f"{begins}, but {fault}." if fault else f"{begins}: {given.meaning}")
            wrong, waiting = wrong or bool(fault), 0
    signed = SIGNATURE in found.entries.kinds
    if sentences and not signed:
        sentences.append(f"Addendum of {_counted(waiting)}, not signed yet: the signature before it does not cover it.")
    return Signed(tuple(sentences), holds=signed and not wrong, wrong=wrong)


def _files(path: Path, found: Verified) -> list[Verified]:
    """Give the files of a session as they were read, the oldest first."""
    files = [found]
    while "continues" in found.entries[0]:
        path, found, _ = continued(path, found.entries[0]["continues"])
        files.append(found)
    return files[::-1]


def _signature(found: Verified) -> Signature | None:
    """Give the last signature in a file."""
    if SIGNATURE not in found.entries.kinds:
        return None
    given = parse([one for one in found.entries if one["kind"] == SIGNATURE][-1])
    assert isinstance(given, Signature)
    return given


def _counted(entries: int) -> str:
    return f"{entries} {'entry' if entries == 1 else 'entries'}"


def _wrong(found: Verified, one: Signature, key: Key | None) -> str:
    """Say what is wrong with a signature; nothing where it holds."""
    last = found.entries[-1]
    head = str(found.entries[-2]["hash"]) if len(found.entries) > 1 else ""
    body = {name: last.get(name) for name in _SIGNED}
    if last["kind"] != SIGNATURE:
        return "entries came after it"
    if found.damage is not None or found.unfinished:
        return "something was written after it"
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
