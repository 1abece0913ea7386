"""One item of what a root canal record should hold, and where the record stands with it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class State(Enum):
    """Where the record stands with an item."""

    ABSENT = "absent"
    UNTOLD = "cannot be told by this protocol"
    NOT_APPLICABLE = "not applicable"
    PRESENT = "present"


@dataclass(frozen=True, slots=True)
class Item:
    """One item of the list, of the tooth (canal 0) or of a canal.

    `entries` hold it, or say why it is not there; `why` is that in words. `where` names the steps and questions where
    it would be keyed.
    """

    item: str
    label: str
    canal: int
    state: State
    entries: tuple[int, ...] = ()
    why: str = ""
    where: tuple[str, ...] = ()
