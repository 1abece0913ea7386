"""A log with short words for what is done in a canal, and the gate as it stands after it."""

from __future__ import annotations

from stepper.case.fold import apply, begin
from stepper.case.gate import shut
from stepper.case.state import Case
from stepper.facts.entries import Answer, Open
from stepper.facts.state import LAST
from tests.cases import Log, examined, opened


class Visit(Log):
    """A log in which rows number themselves. Every word gives the number of its entry."""

    def row_after(self, step: str, canal: int) -> int:
        """The next row of a step."""
        rows = [one.row for one in self.entries if isinstance(one, Answer) and (one.step, one.canal) == (step, canal)]
        return max((row for row in rows if row < LAST), default=0) + 1

    def set_up(self, item: str, expiry: str = "11.2027", **more: str) -> int:
        """A thing set up, with its lot."""
        return self.answer("set_up", 0, self.row_after("set_up", 0), item=item, expiry=expiry, lot="7100", **more)

    def agree(self, mm: str = "20.5", canal: int = 1, *, ago: int | None = None) -> int:
        """A working length agreed, both methods the same."""
        row = self.row_after("length", canal)
        self.answer("length", canal, row, electronic=mm, image_length=mm, ago=ago)
        return self.answer("length", canal, row, working_length=mm, ago=ago)

    def file(self, file: str, purpose: str = "cut", canal: int = 1, *, step: str = "shaping", **how: object) -> int:
        """A file in the canal."""
        row = self.row_after(step, canal)
        return self.answer(step, canal, row, file=file, purpose=purpose, **how)  # type: ignore[arg-type]

    def master(self, size: str = "35/4", canal: int = 1, **how: object) -> int:
        """The master apical file declared."""
        return self.answer("shaping", canal, LAST, master=size, **how)  # type: ignore[arg-type]

    def rinse(self, *items: str, canal: int = 1, **how: object) -> int:
        """A round of irrigants, the final rinse if none is named; gives the last entry."""
        seq = 0
        for item in items or ("edta_17", "hypochlorite_3"):
            typed = {"solution": item, "volume": "3", "needle_depth": "-2", "needle": "needle_30_side"}
            row = self.row_after("irrigation", canal)
            seq = self.answer("irrigation", canal, row, activation="none", **typed, **how)  # type: ignore[arg-type]
        return seq

    def dry(self, dryness: str = "dry", depth: str = "0", canal: int = 1, **how: object) -> int:
        """A paper point."""
        row, typed = self.row_after("drying", canal), {"point_depth": depth, "dryness": dryness, "blood": "none"}
        return self.answer("drying", canal, row, **{**typed, **how})  # type: ignore[arg-type]

    def choose(self, technique: str = "single_cone", sealer: str = "resin_sealer", canal: int = 1) -> int:
        """Technique and sealer."""
        return self.answer("cone_fit", canal, 0, technique=technique, sealer=sealer)

    def fit(self, cone: str = "35/4", canal: int = 1, **how: object) -> int:
        """A cone fit, all that is asked of it, unless said otherwise."""
        row, typed = self.row_after("cone_fit", canal), {"seat": "0", "tug_back": "yes", "cone_image": "seated"}
        return self.answer("cone_fit", canal, row, **{"cone": cone, **typed, **how})  # type: ignore[arg-type]

    def shape(self, *files: str, master: str = "35/4", canal: int = 1) -> None:
        """Length agreed, these files cut, the master apical file declared, the final rinse."""
        self.agree(canal=canal)
        for file in files or ("25/4-0", "35/4-0"):
            self.file(file, canal=canal)
        self.master(master, canal)
        self.rinse(canal=canal)

    def finish(self, canal: int = 1) -> None:
        """Dried, chosen, fitted: after `shape`, the gate is open."""
        self.dry(canal=canal)
        self.choose(canal=canal)
        self.fit(canal=canal)

    def why(self, canal: int = 1) -> dict[str, str]:
        """The clauses that are shut, with their reasons; nothing where the gate is open."""
        return shut(self.case(), canal)

    def shut(self, canal: int = 1) -> set[str]:
        """The clauses that are shut."""
        return set(self.why(canal))


def at_access(canals: str = "mb+ml+d", **header: str) -> Visit:
    """A visit in which the tooth is open and nothing was done in a canal."""
    visit = Visit(**header)  # type: ignore[arg-type]
    opened(examined(visit), canals)
    return visit


def at_fill(*canals: int) -> Visit:
    """A visit up to the fill: the gates of these canals (the first, if none is named) are open."""
    visit = at_access()
    for canal in canals or (1,):
        visit.shape(canal=canal)
        visit.finish(canal)
    return visit


def one_by_one(log: Log) -> Case:
    """Fold a log entry by entry, as a session does."""
    first, *rest = log.entries
    assert isinstance(first, Open)
    case = begin(log.plan, first)
    for entry in rest:
        apply(case, entry)
    return case
