"""How a state is come to, and every listed way out of it: the shape of the tables, and what is asked of each way."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from stepper.case.gate import shut
from stepper.case.judge import judge
from stepper.kinds.outcome import outcome_of
from stepper.session.modes.asking import Asking
from stepper.session.room import Mode
from tests.drive import Chair
from tests.session.plausible import mode
from tests.session.stations import seated

UNSAID = ("sound", "go")
"""Entries that the program makes by itself."""


@dataclass(frozen=True)
class Way:
    """One way out: what is keyed, what is logged, how the remark stands then, where one is and what is asked.

    `at` is what the title of the prompt begins with. `left`: open, passed, owed, outside, or gone where it is not made
    any more. `into`: a conversation that is entered, where the way is not back to the question; `over`: the session is.
    """

    keys: tuple[str, ...]
    logged: str = ""
    at: str = ""
    left: str = "gone"
    into: type[Mode] = Asking
    over: bool = False


@dataclass(frozen=True)
class Mend:
    """After a way, the shortest mending: what is keyed, and what must then be so.

    `so`: `gone`, the remark is not made any more; `logged`, the last line was taken as done and is not outside the
    chain; `filled`, the canal is.
    """

    after: tuple[str, ...]
    keys: tuple[str, ...]
    so: str = "gone"


@dataclass(frozen=True)
class Case:
    """A state: where one starts, what provokes it, the conversation it opens, and its ways out.

    `rule` is the rule or the alarm that speaks, `clause` the clause of the gate that is shut. `more`: not every listed
    number is tried, since they differ by nothing but their words.
    """

    at: str
    keys: tuple[str, ...]
    mode: type[Mode]
    ways: tuple[Way, ...]
    mends: tuple[Mend, ...] = ()
    rule: str = ""
    clause: str = ""
    more: bool = False
    canal: int = field(default=1)

    def provoked(self, folder: Path) -> Chair:
        """A chair in this state."""
        chair = seated(folder, self.at)
        chair.key(*self.keys)
        return chair


def kinds_since(chair: Chair, seq: int) -> str:
    """The kinds of entries from one on, but for those that the program makes by itself."""
    return " ".join(entry.kind for entry in chair.case.entries[seq:] if entry.kind not in UNSAID)


def speaking(chair: Chair) -> set[str]:
    """The rules whose remarks are being answered now."""
    now = getattr(mode(chair), "again", mode(chair))
    one, several = getattr(now, "remark", None), getattr(now, "remarks", ())
    return {remark.rule for remark in (*several, *((one,) if one is not None else ()))}


def stands(chair: Chair, case: Case) -> str:
    """How the remark of a case stands; of the gate, whether the clause is shut."""
    if case.clause:
        return "open" if case.clause in shut(chair.case, case.canal) else "gone"
    found = {one.standing.value for one in judge(chair.case) if one.remark.rule == case.rule}
    return " ".join(sorted(found)) or "gone"


def is_so(chair: Chair, case: Case, so: str) -> bool:
    """Whether what a mending is for has come about."""
    if so == "filled":
        told = chair.case.told
        return case.canal in told.canals and outcome_of(told, case.canal) == "filled"
    if so == "gone":
        return stands(chair, case) == "gone"
    last = next(entry for entry in reversed(chair.case.entries) if entry.kind not in UNSAID)
    return last.kind == "answer" and not last.outside and stands(chair, case) == "gone"
