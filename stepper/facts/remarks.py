"""Remarks: what a rule says of the record as it stands."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Weight(StrEnum):
    """How a remark weighs: it holds an act back, waits for a spoken reason, or only tells."""

    STOP = "stop"
    ASK = "ask"
    TELL = "tell"


@dataclass(frozen=True, slots=True)
class Remark:
    """A rule's sentence about some entries. `canal` is 0 for the tooth; `sound` how often it rings: 0, 1 or 2."""

    rule: str
    weight: Weight
    step: str
    canal: int
    evidence: tuple[int, ...]
    text: str
    sound: int = 0

    @property
    def key(self) -> str:
        """The same rule about the same evidence is the same remark: it is answered once and rings once."""
        return f"{self.rule}:{self.canal}:{'+'.join(str(seq) for seq in self.evidence)}"


def canal_of(key: str) -> int:
    """Give the canal that the key of a remark names; 0, the tooth, where it is the key of none."""
    parts = key.split(":")
    return int(parts[1]) if len(parts) == 3 and parts[1].isascii() and parts[1].isdecimal() else 0
