"""Files that somebody or something changed: cuts, flips, lines moved, whole files put in each other's place, forgeries.

A change is seen unless it leaves the beginning of the session, up to the end of an entry: that the last entries are
gone only a copy of the last hash kept elsewhere can tell, and `cuts` counts how often that is so. A change to the last
line alone looks like a write that was cut off.
"""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from pathlib import Path

from stepper.record.chain import genesis, hash_in, seal
from stepper.record.journal import Journal
from stepper.record.members import LINE_CAP, Entry
from stepper.record.problems import RecordError, Unreadable
from stepper.record.verify import Verified, judge, read
from tests.campaign.story import body_of
from tests.campaign.tally import Tally, Trial, scratch
from tests.record.sessions import OTHER, SID, clock, put

SAMPLES = Path(__file__).parents[2] / "sample_sessions"
_BIT_IN = 8
REFUSED = "refused"
WHOLE_CUT = "whole: only a hash kept elsewhere tells"


def session(folder: Path, dice: random.Random, *, sid: str = SID, entries: int = 12, short: bool = False) -> bytes:
    """The bytes of a session with a rescued end in it, which was written as any other."""
    journal = Journal.create(folder, clock(), {"number": 0, "text": "Überblick \u2028"}, 1, sid=sid)
    for number in range(1, entries):
        text = "ß" if short else body_of(number, random.Random(number))["text"]
        put(journal, {"number": number, "text": text, "nonce": dice.random()}, number % 3 or None)
        if number == entries // 2:
            journal.close()
            with journal.path.open("ab") as file:
                file.write(b'{"v":1,"seq":')
            journal = Journal.resume(journal.path, clock()).journal
    journal.close()
    return journal.path.read_bytes()


def verified(data: bytes, sid: str = SID) -> Verified | None:
    """What is made of bytes; nothing if they are refused in a sentence."""
    try:
        return judge(data, sid)
    except Unreadable:
        return None


def outcome(found: Verified | None) -> str:
    """How that reads, in a word."""
    if found is None:
        return REFUSED
    if found.damage is not None:
        return "damaged"
    return "unfinished" if found.unfinished else "whole"


def cuts(trial: Trial) -> Tally:
    """Cut a session at every byte: what is whole before is there, the rest is an unfinished end."""
    tally = Tally("cuts")
    for number in range(trial.rounds):
        with scratch() as folder:
            data = session(folder, random.Random(trial.seed + number), entries=6)
        ends = [place + 1 for place, byte in enumerate(data) if byte == 10]
        for at in range(len(data)):
            found = verified(data[:at])
            whole, came = sum(end <= at for end in ends), outcome(found)
            expected = REFUSED if not whole else "whole" if at in ends else "unfinished"
            wrong = came != expected or (found is not None and len(found.entries) != whole)
            tally.one(WHOLE_CUT if came == "whole" else came, f"cut at byte {at}: {came}" if wrong else "")
    return tally


def flips(trial: Trial) -> Tally:
    """Turn over single bits: all of them of a short session, some of the samples and of a session with long lines."""
    tally = Tally("single bits turned over")
    dice = trial.dice
    with scratch() as folder:
        short, long = session(folder, dice, entries=3, short=True), session(folder / "long", dice, entries=40)
    for place in range(len(short)):
        for bit in range(_BIT_IN):
            _flip(tally, short, SID, place, bit)
    others = [(long, SID), *((path.read_bytes(), path.stem) for path in sorted(SAMPLES.glob("*.jsonl")))]
    for data, sid in others:
        told = _told_sid(data)
        for _ in range(trial.rounds):
            _flip(tally, data, told or sid, dice.randrange(len(data)), dice.randrange(_BIT_IN))
    return tally


def _told_sid(data: bytes) -> str:
    return str(json.loads(data[: data.index(b"\n")])["sid"])


def _flip(tally: Tally, data: bytes, sid: str, place: int, bit: int) -> None:
    flipped = bytearray(data)
    flipped[place] ^= 1 << bit
    found = verified(bytes(flipped), sid)
    came = outcome(found)
    last_line = data.rindex(b"\n", 0, len(data) - 1) + 1
    # only the last line can be one that was being written when the power went
    wrong = came == "whole" or (came == "unfinished" and place < last_line)
    good = data[: found.size] if found is not None else b""
    wrong = wrong or not bytes(flipped).startswith(good) or len(good) > place
    tally.one(came, f"bit {bit} of byte {place}: {came}" if wrong else "")


def lines(trial: Trial) -> Tally:
    """Take lines out, double them, swap any two, put in lines of this session and of a sister, cut out whole runs."""
    tally = Tally("files with lines moved")
    for number in range(trial.rounds):
        dice = random.Random(trial.seed + number)
        with scratch() as folder:
            rows = session(folder, dice).splitlines(keepends=True)
            sister = session(folder, dice, sid=OTHER).splitlines(keepends=True)
        data = b"".join(rows)
        for what, moved in _moved(rows, sister):
            changed = b"".join(moved)
            if data.startswith(changed):
                continue
            found = verified(changed)
            came = outcome(found)
            good = changed[: found.size] if found is not None else b""
            wrong = came in ("whole", "unfinished") and not (came == "unfinished" and _one_line_more(changed, data))
            wrong = wrong or not data.startswith(good)
            tally.one(came, f"{what}: {came}" if wrong else "")
    return tally


def _one_line_more(changed: bytes, data: bytes) -> bool:
    """Whether all that is changed is the last line: a line too many, or another in its place, as a power cut could."""
    before = changed[: changed.rindex(b"\n", 0, len(changed) - 1) + 1]
    return data.startswith(before)


def _moved(rows: list[bytes], sister: list[bytes]) -> Iterator[tuple[str, list[bytes]]]:
    for one in range(len(rows)):
        yield f"line {one} in another's place", [*rows[:one], sister[one], *rows[one + 1 :]]
        yield f"all from line {one} on from a sister", [*rows[:one], *sister[one:]]
        for two in range(one, len(rows)):
            yield f"lines {one} to {two} taken out", [*rows[:one], *rows[two + 1 :]]
            yield f"lines {one} to {two} doubled", [*rows[: two + 1], *rows[one:]]
            yield f"line {one} put in again at {two}", [*rows[:two], rows[one], *rows[two:]]
            yield f"a sister's line {one} put in at {two}", [*rows[:two], sister[one], *rows[two:]]
            if one < two:
                swapped = list(rows)
                swapped[one], swapped[two] = rows[two], rows[one]
                yield f"lines {one} and {two} swapped", swapped


def files(trial: Trial) -> Tally:
    """Put whole files into each other's place: sessions, and the continuation of one."""
    tally = Tally("files in another's place")
    for number in range(trial.rounds):
        dice = random.Random(trial.seed + number)
        sids = [SID, OTHER, f"{SID}.2", f"{SID}.3"]
        with scratch() as folder:
            for sid in sids:
                session(folder, dice, sid=sid, entries=3)
            for one in sids:
                for two in sids:
                    path = folder / "moved" / f"{two}.jsonl"
                    path.parent.mkdir(exist_ok=True)
                    path.write_bytes((folder / f"{one}.jsonl").read_bytes())
                    came = outcome(read(path))
                    wrong = (came == "whole") != (one == two) or (came != "whole" and _opens(path))
                    tally.one(came if one != two else "in its own place", f"{one} as {two}: {came}" if wrong else "")
    return tally


def _opens(path: Path) -> bool:
    """Whether a session can be gone on with, or is changed by trying."""
    before = path.read_bytes()
    try:
        Journal.resume(path, clock()).journal.close()
    except RecordError:
        return path.read_bytes() != before
    return True


def forgeries(trial: Trial) -> Tally:
    """Write lines anew so that all hashes hold, each with one thing that no session may have."""
    tally = Tally("lines forged, with hashes that hold")
    for number in range(trial.rounds):
        dice = random.Random(trial.seed + number)
        with scratch() as folder:
            rows = session(folder, dice, entries=6).splitlines()
        for at in range(len(rows)):
            for what, line in _forged(rows[at], at):
                changed, head = b"", genesis(SID)
                for row in [*rows[:at], line, *rows[at + 1 :]]:
                    sealed = seal(row[: row.rindex(b',"hash":"')] + b"}", head)
                    head = hash_in(sealed)
                    changed += sealed + b"\n"
                found = verified(changed)
                seen = found is None or (found.damage is not None and found.damage.entry == at)
                tally.one(f"{what}: {outcome(found)}", "" if seen else f"entry {at} with {what}: {outcome(found)}")
    return tally


def _forged(line: bytes, seq: int) -> Iterator[tuple[str, bytes]]:
    entry: Entry = json.loads(line)
    told = line[: line.rindex(b',"hash":"')]

    def changed(**members: object) -> bytes:
        return json.dumps({**entry, **members}, separators=(",", ":"), ensure_ascii=False).encode()

    def added(member: bytes) -> bytes:
        return told + b"," + member + b',"hash":"' + b"0" * 64 + b'"}'

    yield "a number that jumps ahead", changed(seq=seq + 1)
    yield "a number that comes again", changed(seq=max(seq - 1, 0) if seq else 2)
    yield "a kind that is not its own", changed(kind="fact" if seq == 0 else "open")
    yield "a later version", changed(v=2)
    yield "a time that is none", changed(t="2026-13-41T00:00:00.000000Z")
    yield "a name told twice", added(b'"by":1')
    yield "no number", added(b'"extra":NaN')
    yield "an endless number", added(b'"extra":1e999')
    yield "half a character", added(b'"extra":"\\ud800"')
    yield "bytes that are no text", added(b'"extra":"\xff"')
    yield "too deep a nest", added(b'"extra":' + b"[" * 40 + b"]" * 40)
    if seq == 0:
        yield "another session's name", changed(sid=OTHER)
    else:
        yield "a line too long", added(b'"extra":"' + b"x" * LINE_CAP + b'"')
