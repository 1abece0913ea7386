"""Power cuts at every call that a session makes of the operating system, and calls that fail."""

from __future__ import annotations

import errno
import os
import random
from collections.abc import Callable, Iterable
from itertools import count
from pathlib import Path

from stepper.record.members import Entry
from stepper.record.problems import Unreadable
from stepper.record.verify import judge
from tests.campaign.disk import Disk, Fault, Killed
from tests.campaign.story import Story, body_of, judged, resumable
from tests.campaign.tally import Tally, Trial, scratch
from tests.record.sessions import SID

IMAGES = 8
"""Images of one power cut."""

RESUMED_IN = 25
"""One image in so many is gone on with."""

CALLS = ("write", "fdatasync", "fsync", "ftruncate", "lstat")
ENTRIES = 6


def error(number: int) -> OSError:
    """Make the error that the operating system would."""
    return OSError(number, os.strerror(number))


class Watch:
    """Cuts the power at every call, judges what is left, and counts."""

    def __init__(self, tally: Tally, trial: Trial, place: Path, dice: random.Random) -> None:
        self.tally, self.trial, self.place, self.dice = tally, trial, place, dice
        self.last: bytes | None = None

    def on(self, disk: Disk, story: Story, what: str) -> Callable[[str], None]:
        """Give what a disk calls at each call."""

        def cut(call: str) -> None:
            if not story.path.exists():
                return
            for _ in range(IMAGES):
                image = disk.cut(story.path)
                outcome, wrong = judged(image, story)
                if image is not None and not wrong and self.dice.randrange(RESUMED_IN) == 0:
                    wrong = resumable(image, self.place, self.trial.without)
                    self.last = image
                self.tally.one(outcome, wrong and f"{what}, power cut at {call}: {wrong}")

        return cut


def power_cuts(trial: Trial) -> Tally:
    """Cut the power at every call of sessions that are begun, written, killed, starved and resumed."""
    tally = Tally("images of power cuts")
    for number in range(trial.rounds):
        dice = random.Random(f"{trial.seed} {number}")
        with scratch() as place:
            (place / "copies").mkdir()
            watch = Watch(tally, trial, place / "copies", dice)
            _one_life(trial, watch, place / "disk", dice)
            if watch.last is not None:
                _second_life(watch, place / "again", dice)
    return tally


def _one_life(trial: Trial, watch: Watch, root: Path, dice: random.Random) -> None:
    root.mkdir()
    disk = Disk(root, dice)
    story = Story(root / "sessions", trial.without(disk))
    disk.at = watch.on(disk, story, f"round of seed {trial.seed}")
    story.begin()
    for number in range(1, ENTRIES):
        disk.plan = _now_and_then(dice)
        story.append(body_of(number, dice))
        disk.plan = lambda _: None
        if not story.open and story.resume() != "done":
            break
    story.leave()
    _tell(watch.tally, story)


def _second_life(watch: Watch, root: Path, dice: random.Random) -> None:
    """Cut the power while what a power cut left is resumed, and in the life after that."""
    root.mkdir()
    disk = Disk(root, dice)
    story = Story(root, watch.trial.without(disk))
    if watch.last is None:
        return
    story.path.write_bytes(watch.last)
    disk.adopt(story.path)
    found = judged_entries(watch.last)
    story.promised, story.kept = found
    disk.at = watch.on(disk, story, "second life")
    if story.promised and story.resume() == "done":
        story.append(body_of(100, dice))
    story.leave()
    _tell(watch.tally, story)


def judged_entries(data: bytes) -> tuple[list[Entry], bytes]:
    """The entries that stand in what a power cut left, and the bytes that they take."""
    try:
        found = judge(data, SID)
    except Unreadable:
        return [], b""
    return list(found.entries), data[: found.size]


def _now_and_then(dice: random.Random) -> Callable[[str], Fault | None]:
    """Let a write fail, be short, or be the program's last, now and then; and what follows it, more rarely."""
    fault: Fault | None = dice.choice((error(errno.ENOSPC), dice.randrange(400), Killed(), None, None, None, None))
    call = "write" if isinstance(fault, int | OSError) else dice.choice(("write", "fdatasync", "lstat"))
    left = [fault]

    def plan(name: str) -> Fault | None:
        return left.pop() if left and name == call else None

    return plan


def _tell(tally: Tally, story: Story) -> None:
    for wrong in story.broken:
        tally.violated(wrong)


def faults(trial: Trial) -> Tally:
    """Let the Nth call fail, for each N until a life passes without; once, and for ever. Then cut the power."""
    tally = Tally("lives with a fault")
    for call in CALLS:
        for number in (errno.ENOSPC, errno.EIO):
            for for_ever in (False, True):
                for seed in range(trial.rounds):
                    _until_it_passes(trial, tally, (call, number, for_ever), random.Random(f"{trial.seed} {seed}"))
    return tally


def _until_it_passes(trial: Trial, tally: Tally, how: tuple[str, int, bool], dice: random.Random) -> None:
    call, number, for_ever = how
    for nth in count(1):
        with scratch() as root:
            disk = Disk(root, dice)
            story = Story(root / "sessions", trial.without(disk))
            happened = _at(disk, call, nth, error(number), for_ever=for_ever)
            outcome = _life_with_a_tail(story, disk, dice)
            wrong = "; ".join(story.broken) or _after(disk, story)
            if not happened():
                return
            what = f"{call} {nth}, {errno.errorcode[number]} {'for ever' if for_ever else 'once'}"
            tally.one(outcome, wrong and f"{what}: {wrong}")


def _at(disk: Disk, call: str, nth: int, fault: OSError, *, for_ever: bool) -> Callable[[], bool]:
    """Let the Nth call of a name fail; gives what tells whether it did."""
    made = [0]

    def plan(name: str) -> Fault | None:
        made[0] += name == call
        return fault if name == call and (made[0] == nth or (for_ever and made[0] > nth)) else None

    disk.plan = plan
    return lambda: made[0] >= nth


def _life_with_a_tail(story: Story, disk: Disk, dice: random.Random) -> str:
    """Begin, write three times, leave an unfinished end, resume, write once more; gives what was worst."""
    outcomes = [story.begin()]
    outcomes += _written(story, range(1, 4), dice)
    # a program that met a failed sync does not go on with that file, and neither does this one
    if outcomes[-1] == "done":
        story.leave()
        with story.path.open("ab") as file:
            file.write(b'{"v":1,"seq":4,"ki')
        disk.adopt(story.path)
        outcomes.append(story.resume())
        outcomes += _written(story, range(5, 7), dice)
    story.leave()
    return next((one for one in outcomes if one != "done"), "done")


def _written(story: Story, numbers: Iterable[int], dice: random.Random) -> list[str]:
    """Write so many entries, as long as the session is open; gives how each came out."""
    return [story.append(body_of(number, dice)) for number in numbers if story.open]


def _after(disk: Disk, story: Story) -> str:
    """What is wrong with the file once the fault is over, as programs see it and as a power cut leaves it."""
    if not story.path.exists():
        return "the file is gone" if story.promised else ""
    images = [story.path.read_bytes(), *(disk.cut(story.path) for _ in range(6))]
    return next((wrong for image in images if (wrong := judged(image, story)[1])), "")


def failed_syncs_resumed(trial: Trial) -> Tally:
    """Resume a session whose sync failed, in the same run of the machine, write on, and cut the power then."""
    tally = Tally("images after a failed sync")
    for number in range(trial.rounds):
        dice = random.Random(f"{trial.seed} {number}")
        with scratch() as root:
            disk = Disk(root, dice)
            story = Story(root / "sessions", trial.without(disk))
            story.begin()
            _at(disk, "fdatasync", 1, error(errno.EIO), for_ever=False)
            story.append({"number": 1, "text": "x" * 900})
            if story.resume() == "done":
                _written(story, range(2, 4), dice)
            story.leave()
            for _ in range(IMAGES):
                tally.one(*judged(disk.cut(story.path), story))
    return tally
