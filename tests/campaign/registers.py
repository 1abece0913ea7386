"""The register beside the sessions: it tells what a session alone cannot, and a power cut does not spoil it."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from pathlib import Path

from stepper.record.register import NAME, read_register, register
from tests.campaign.changes import outcome, session, verified
from tests.campaign.disk import Disk
from tests.campaign.tally import Tally, Trial, scratch
from tests.record.sessions import SID

IMAGES = 8
_NOTES = 6


def removals(trial: Trial) -> Tally:
    """Take the last entries away, bend the last, put older and other files in the place: the register tells."""
    tally = Tally("files that are whole in themselves, held against the register")
    for number in range(trial.rounds):
        dice = random.Random(trial.seed + number)
        with scratch() as folder:
            data = session(folder, dice)
            whole = verified(data)
            if whole is None:
                raise AssertionError("a session that was written is none")
            register(folder, SID, len(whole.entries), whole.head)
            known = read_register(folder)
            tally.one("as it was", known.complaint(whole))
            for what, changed in _whole_and_wrong(data, session(folder / "again", dice), dice):
                found = verified(changed)
                seen = found is not None and (known.complaint(found) or found.damage)
                tally.one(f"{what}, {outcome(found)} by itself", "" if seen else f"{what}: nothing is said of it")
    return tally


def _whole_and_wrong(data: bytes, other: bytes, dice: random.Random) -> Iterator[tuple[str, bytes]]:
    ends = [place + 1 for place, byte in enumerate(data) if byte == 10]
    for end in ends[:-1]:
        yield "last entries gone", data[:end]
    for _ in range(20):
        bent = bytearray(data)
        bent[dice.randrange(ends[-2], len(data))] ^= 1 << dice.randrange(8)
        yield "last entry bent", bytes(bent)
    yield "written anew throughout", other


def register_cuts(trial: Trial) -> Tally:
    """Cut the power while the register is written: what it had told is still told, and it can be written on."""
    tally = Tally("images of power cuts of the register")
    for number in range(trial.rounds):
        dice = random.Random(f"{trial.seed} {number}")
        with scratch() as place:
            root, copy = place / "disk", place / "copy"
            root.mkdir()
            copy.mkdir()
            (root / NAME).touch()
            disk = Disk(root, dice)
            disk.adopt(root / NAME)
            noted: dict[str, int] = {}
            disk.at = _cut(tally, disk, copy, noted)
            for note in range(_NOTES):
                sid = f"session-{note}-{'x' * dice.randrange(50)}"
                register(root, sid, note + 1, "0" * 64, trial.without(disk))
                noted[sid] = (root / NAME).stat().st_size
    return tally


def _cut(tally: Tally, disk: Disk, copy: Path, noted: dict[str, int]) -> Callable[[str], None]:
    def cut(call: str) -> None:
        for _ in range(IMAGES):
            image = disk.cut(disk.root / NAME) or b""
            (copy / NAME).write_bytes(image)
            fault = read_register(copy).fault
            try:
                register(copy, "the-next-one", 1, "0" * 64)
                written = "written on"
            except OSError as error:
                written = f"not written on: {error.strerror}"
            after = read_register(copy).sessions
            lost = [sid for sid in noted if sid not in after]
            # as with a session, an end that holds whole lines of anything cannot be told from damage
            one_line = b"\n" not in image[max(noted.values(), default=0) : -1]
            wrong = f"{len(lost)} lost" if lost else written if one_line and written != "written on" else ""
            tally.one(f"{'said to be damaged, ' if fault else ''}{written}", wrong and f"power cut at {call}: {wrong}")

    return cut
