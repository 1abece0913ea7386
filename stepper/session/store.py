"""Sessions on this machine: opening, resuming, reading and listing them."""

from __future__ import annotations

import contextlib
import os
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from stepper import __version__
from stepper.case.carry import carry
from stepper.case.state import Case
from stepper.facts.carried import CarriedCanal
from stepper.facts.entries import AnyEntry, Carried, Open, parse
from stepper.facts.record import written
from stepper.protocol.problems import BadProtocol
from stepper.protocol.settings import BadSettings
from stepper.record import continuing
from stepper.record.clock import Clock
from stepper.record.continuing import cut_off_path, is_begun, next_path, number_of
from stepper.record.journal import Journal
from stepper.record.members import Entry
from stepper.record.problems import NotSaved, RecordError, Unreadable
from stepper.record.register import Register, read_register, register
from stepper.record.verify import SUFFIX, Verified, read
from stepper.session.typed_entries import Typed

_SID = re.compile(r"[a-z0-9][a-z0-9_.-]{0,79}")


@dataclass(frozen=True, slots=True)
class Opening:
    """What a new session is opened with. `practice`: it is for practice, whatever the clock."""

    patient: str
    tooth: str
    clinician: int
    assistant: int
    protocol: str
    settings: str
    practice: bool = False


@dataclass(frozen=True, slots=True)
class Earlier:
    """A session that a second visit goes on from: what it tells, and the hash of its last entry."""

    case: Case
    head: str


@dataclass(frozen=True, slots=True)
class Listed:
    """One session of a folder: `fault` says why it could not be read."""

    path: Path
    header: Open | None
    closed: bool
    void: bool
    entries: int
    fault: str


def open_new(folder: Path, clock: Clock, opening: Opening, sid: str | None = None) -> tuple[Journal, Case]:
    """Begin a session file, with an id of its own unless one is given. Raises RecordError, BadProtocol, BadSettings."""
    journal = Journal.create(folder, clock, _header(clock, opening), opening.assistant, sid=sid)
    note_in_register(journal)
    return journal, case_of([journal.last], journal.path)


def open_second(
    folder: Path, clock: Clock, opening: Opening, earlier: Earlier, sid: str | None = None
) -> tuple[Journal, Case]:
    """Begin a session that goes on from an earlier one, with all that is carried over from it on the disk.

    Raises as `open_new` does, and leaves no file then.
    """
    body = {**_header(clock, opening), "previous": _previous(earlier)}
    journal = Journal.create(folder, clock, body, opening.assistant, sid=sid)
    try:
        begun = [journal.last]
        carried = [journal.append("carried", _members(one), opening.assistant) for one in carry(earlier.case)]
        note_in_register(journal)
        return journal, case_of([*begun, *carried], journal.path)
    except BaseException:
        with contextlib.suppress(OSError):  # nothing was keyed yet
            journal.path.unlink()
        journal.close()
        raise


def _previous(earlier: Earlier) -> dict[str, str]:
    """Name the session that is gone on from."""
    case = earlier.case
    return {"sid": case.header.sid, "head": earlier.head, "day": case.today.isoformat()}


def resume(path: Path, clock: Clock) -> tuple[Journal, Case, str]:
    """Open a session to go on with it; the sentence says what was set aside, or is empty."""
    typed, known = Typed(path), read_register(path.parent)
    opened = Journal.resume(path, clock, each=typed.take, known=known)
    try:
        for entry in opened.entries[typed.taken :]:
            typed.take(dict(entry))
        for entry in _carry_rest(opened.journal, typed.entries):
            typed.take(dict(entry))
        case = typed.case()
        if case.signed_up_to > typed.before:  # in this very file; those before it may be signed
            raise Unreadable(f"Session {path.stem} is signed: it takes no more entries; stepper addendum adds to it.")
        opened.journal.before = typed.before
        note_in_register(opened.journal)
    except BaseException:
        opened.journal.close()
        raise
    return opened.journal, case, opened.recovered or ""


def go_on(path: Path, clock: Clock) -> tuple[Journal, Case, str]:
    """Go on with a damaged session in a new file, after the last entry that holds; the damaged one is left as it is.

    Raises as `resume` does.
    """
    new, found = next_path(path), read(path)
    if is_begun(new):
        return resume(new, clock)
    wrong = found.damage.sentence if found.damage is not None else read_register(path.parent).complaint(found)
    if not wrong or not found.entries:
        raise Unreadable(wrong or f"Session {found.sid} is not damaged.")
    by = found.entries[0]["by"]
    left = f" What was left of a first try is kept as {cut_off_path(new).name}." if os.path.lexists(new) else ""
    journal, case = begun_after(path, found, clock, by if isinstance(by, int) else None)
    last = len(found.entries) - 1
    return journal, case, f"Goes on in {new.name} after entry {last}; {path.name} is kept as it is.{left}"


def begun_after(path: Path, found: Verified, clock: Clock, by: int | None) -> tuple[Journal, Case]:
    """Begin the file in which a session goes on after all of a file that counts. Raises RecordError."""
    journal = continuing.go_on(path, found.entries[0], found.entries[-1], clock, by)
    typed = Typed(journal.path)
    typed.take(dict(journal.last))
    journal.before = typed.before
    note_in_register(journal)
    return journal, typed.case()


def successor(case: Case, journal: Journal, clock: Clock) -> Journal:
    """Give a new file in which an open session goes on, since its own can no longer be written. Raises RecordError."""
    if not journal.in_place:
        raise NotSaved(f"{journal.path.name} is no longer in its folder: nothing can go on from it.")
    new = continuing.go_on(journal.path, written(case.header), journal.last, clock, case.keyed_by)
    new.before = journal.before + journal.count - 1
    note_in_register(new)
    journal.close()
    return new


def note_in_register(journal: Journal) -> None:
    """Note in the folder's register how far a session has come; where that fails, the session is none the worse."""
    with contextlib.suppress(OSError):
        register(journal.path.parent, journal.sid, journal.count, journal.head)


def put_away(journal: Journal) -> None:
    """Close a session's file, and note how far it has come."""
    note_in_register(journal)
    journal.close()


def read_case(path: Path) -> tuple[Verified, Case | None, str]:
    """Read a session without opening it for writing: what stands on the disk, its case, and why there is none."""
    found = read(path)
    try:
        return found, case_of(found.entries, path), ""
    except (Unreadable, BadProtocol, BadSettings) as error:
        return found, None, str(error)


def case_at(path: Path, head: str) -> Case:
    """Read a session as it stood when its last hash was `head`, whatever came after.

    Raises RecordError, BadProtocol or BadSettings, in one sentence where that is all that is wrong.
    """
    found = read(path)
    hashes = [entry["hash"] for entry in found.entries]
    while head not in hashes and is_begun(next_path(path)):
        path = next_path(path)
        found = read(path)
        hashes = [entry["hash"] for entry in found.entries]
    if head not in hashes:
        why = f"Session {found.sid} has no entry whose hash is {head[:12]}..: it is not the one that was gone on from."
        raise Unreadable(found.damage.sentence if found.damage is not None else why)
    return case_of(found.entries[: hashes.index(head) + 1], path)


def beside(path: Path, sid: str) -> Path:
    """Give the path of another session in the folder of one; an id that is no file's name gives none that exists."""
    return path.parent / f"{sid if _SID.fullmatch(sid) else '-'}{SUFFIX}"


def case_of(members: Sequence[Mapping[str, object]], path: Path) -> Case:
    """Fold the lines of a session in a file, by the protocol and the settings that it carries itself."""
    typed = Typed(path)
    for line in members:
        typed.take(dict(line))
    return typed.case()


def _header(clock: Clock, opening: Opening) -> dict[str, object]:
    return {
        "app": __version__,
        "practice": clock.test or opening.practice,
        "patient": opening.patient,
        "tooth": opening.tooth,
        "clinician": opening.clinician,
        "protocol": opening.protocol,
        "settings": opening.settings,
    }


def _members(one: CarriedCanal) -> dict[str, object]:
    return written(one)


def _carry_rest(journal: Journal, entries: Sequence[AnyEntry]) -> Sequence[Entry]:
    """Carry over the rest from an earlier session, where opening a second visit was cut off in the middle of it."""
    header = entries[0] if entries else None
    previous = header.previous if isinstance(header, Open) else None
    done = [entry for entry in entries if isinstance(entry, Carried)]
    if header is None or previous is None or (done and done[-1].more == 0):
        return ()
    path = beside(journal.path, previous.sid)
    if not path.exists():
        raise Unreadable(
            f"Session {journal.sid} was cut off while it was being opened, and the one that it goes on from is not "
            "beside it: open the second visit anew."
        )
    rest = carry(case_at(path, previous.head))[len(done) :]
    return [journal.append("carried", _members(one), header.by) for one in rest]


def list_sessions(folder: Path) -> list[Listed]:
    """List the sessions of a folder, open ones first, then the latest first; of several files of one, the last."""
    known = read_register(folder)
    found = [_listed(path, known) for path in sorted(folder.glob("*.jsonl"))] if folder.is_dir() else []
    found = _last_files(found)
    found.sort(key=lambda one: one.header.t.timestamp() if one.header else 0.0, reverse=True)
    return sorted(found, key=lambda one: one.closed or one.void or one.header is None)


def _last_files(found: Sequence[Listed]) -> list[Listed]:
    """Leave out what was gone on from; the visit's header is that of the first, and what was closed there stays so."""
    last: dict[str, Listed] = {}
    for listed in sorted(found, key=lambda one: number_of(one.path)):
        told = listed.header.continues if listed.header is not None else None
        one = last.pop(told.sid, listed) if told is not None else listed
        closed, void = listed.closed or one.closed, listed.void or one.void
        last[listed.path.stem] = replace(listed, header=one.header, closed=closed, void=void)
    return list(last.values())


def _listed(path: Path, known: Register) -> Listed:
    try:
        found = read(path)
        header = parse(found.entries[0]) if found.entries else None
    except RecordError as error:
        return Listed(path, None, closed=False, void=False, entries=0, fault=str(error))
    except ValueError:
        return Listed(path, None, closed=False, void=False, entries=0, fault=f"{path.name}: not a session's header.")
    kinds = found.entries.kinds
    fault = found.damage.sentence if found.damage is not None else known.complaint(found)
    opened = header if isinstance(header, Open) else None
    return Listed(path, opened, "close" in kinds, "void" in kinds, len(found.entries), fault)
