"""The session that a second visit goes on from: which ones there are, and whether the record of both fits together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from stepper.case.carry import carry, fits, unfinished
from stepper.case.state import Case
from stepper.facts.carried import CarriedCanal
from stepper.facts.entries import TOOTH, Carried
from stepper.facts.remarks import Remark, Weight
from stepper.protocol.problems import BadProtocol
from stepper.protocol.settings import BadSettings
from stepper.record.problems import RecordError, Unreadable
from stepper.session.store import Earlier, Listed, beside, case_at, read_case

RULE = "previous"
"""The name under which `check` reports how a session fits the one that it goes on from."""

LOOKED_AT = 60
"""How many closed sessions are looked into before a second visit is offered on the start screen."""


def to_go_on_from(path: Path) -> Earlier:
    """Read a session that a second visit may go on from.

    Raises RecordError in one sentence: it is damaged or unreadable, void or not closed, or nothing in it is left to do.
    """
    found, case, why = read_case(path)
    if case is None:
        raise Unreadable(why)
    if found.damage is not None:
        raise Unreadable(f"{found.damage.sentence} A second visit cannot go on from it.")
    if case.void is not None or not case.closed:
        state = "was declared void" if case.void is not None else "is not closed yet: resume it"
        raise Unreadable(f"Session {found.sid} {state}.")
    if case.protocol.lesson:
        raise Unreadable(f"Session {found.sid} is a practice tooth: nothing goes on from it.")
    if not unfinished(case):
        raise Unreadable(f"Session {found.sid} has no canal that is left to go on with.")
    return Earlier(case, found.head)


def offered(listed: Sequence[Listed], *, practice: bool) -> Iterator[Listed]:
    """Give the sessions that a second visit may go on from, the latest first, one at a time.

    A session that another one went on from already, unless that one is void or damaged, is not offered, and damaged
    ones come last. Sessions for practice go on in practice only.
    """
    headers = [one.header for one in listed if one.header is not None and not one.void and not one.fault]
    gone_on = {header.previous.sid for header in headers if header.previous is not None}
    mine = [one for one in listed if one.header is not None and not one.void and one.header.sid not in gone_on]
    mine = [one for one in mine if practice or (one.header is not None and not one.header.practice)]
    yield from (one for one in mine if one.closed and not one.fault and _left(one.path))
    yield from (one for one in mine if one.fault)


def any_offered(listed: Sequence[Listed], *, practice: bool) -> bool:
    """Tell whether there is one among the latest, without reading a whole archive before the start screen shows."""
    closed = [one for one in listed if one.closed][:LOOKED_AT]
    others = [one for one in listed if not one.closed]
    return any(not one.fault for one in offered([*closed, *others], practice=practice))


def _left(path: Path) -> bool:
    try:
        there = path.stat()
    except OSError:
        return False
    return _unfinished(path, there.st_size, there.st_mtime_ns)


@lru_cache(maxsize=10_000)
def _unfinished(path: Path, size: int, changed_ns: int) -> bool:  # noqa: ARG001 - they tell one state from another
    """Tell whether a session can be gone on from; a file that has not changed is read once."""
    try:
        to_go_on_from(path)
    except (RecordError, BadProtocol, BadSettings):
        return False
    return True


@dataclass(frozen=True, slots=True)
class Fitting:
    """How a session fits the one that it goes on from: a stop where it does not, a tell where that is not known."""

    weight: Weight | None
    sentence: str

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """What it adds to a report on the session: nothing where all fits."""
        return (Remark(RULE, self.weight, "", TOOTH, (0,), self.sentence),) if self.weight is not None else ()


def fitting(path: Path, case: Case, others: Sequence[Path]) -> Fitting | None:
    """Hold a session against the one that it goes on from, one of `others` or beside it; None if it names none.

    The earlier one may have grown since: it has to pass through the hash that was its last then, and what was carried
    over has to be what it told up to there.
    """
    previous = case.header.previous
    if previous is None:
        return (
            Fitting(Weight.STOP, "Carries over what no earlier session told: it names none.")
            if _carried(case)
            else None
        )
    places = [*(one for one in others if one.stem == previous.sid), beside(path, previous.sid)]
    there = next((one for one in places if one.exists()), None)
    begins = f"Goes on from session {previous.sid:.80}"
    if there is None:
        return Fitting(Weight.TELL, f"{begins}, which is not here: what was carried over from it was not checked.")
    try:
        earlier = case_at(there, previous.head)
    except (RecordError, BadProtocol, BadSettings) as error:
        return Fitting(Weight.STOP, f"{begins}, and does not fit it: {str(error).splitlines()[0]}")
    if (case.header.patient, case.header.tooth) != (earlier.told.patient, earlier.told.tooth):
        return Fitting(Weight.STOP, f"{begins}, which is of another patient or tooth.")
    if not fits(_carried(case), carry(earlier)):
        return Fitting(Weight.STOP, f"{begins}, and what was carried over is not what that one told.")
    return Fitting(None, f"{begins} as it stood at its entry {len(earlier.entries) - 1}.")


def _carried(case: Case) -> tuple[CarriedCanal, ...]:
    names = CarriedCanal.__struct_fields__
    found = [one for one in case.entries if isinstance(one, Carried)]
    return tuple(CarriedCanal(**{name: getattr(one, name) for name in names}) for one in found)
