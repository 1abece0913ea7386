"""What can go wrong with a session file. Each problem is one sentence for the person at the keyboard."""

# ruff: noqa: N818 - these are named for what they tell, and not all of them are errors

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class RecordError(Exception):
    """A problem with a session file; `str()` of it is the sentence to show."""


class Unreadable(RecordError):
    """The file is missing, is no session, or is not one that this program can read."""


class Busy(RecordError):
    """Another program has the session open."""


class NotSaved(RecordError):
    """Nothing was saved, and the file is as it was before: the handle may be used again."""


class Retired(RecordError):
    """The handle is dead for good: what the disk holds of the last entry is not known, or the file is not ours."""


@dataclass(frozen=True)
class Damage:
    """Where a session stops being trustworthy.

    `entry` is the number of the first entry that does not hold, `offset` the byte where its line begins.
    """

    entry: int
    offset: int
    sentence: str


class Damaged(RecordError):
    """A damaged session, which is never written again; what stands before the damage is carried along.

    `head` is the hash of the last good entry, for a file that continues the session.
    """

    def __init__(self, damage: Damage, entries: Sequence[dict[str, object]], head: str) -> None:
        super().__init__(damage.sentence)
        self.damage = damage
        self.entries = entries
        self.head = head
