"""The state of a case: what the fold of the entries leaves behind. Records only; the fold fills them, rules read them.

Two views are kept of every case: `told`, all that was keyed, and `sure`, without late entries and keyed-wrong
corrections that the clinician has not confirmed. A gate opens only when both say so.
"""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from msgspec import Struct
from msgspec import field as new

from stepper.facts.acts import Acts
from stepper.facts.acts import FileUse as FileUse
from stepper.facts.acts import Place as Place
from stepper.facts.acts import Rinse as Rinse
from stepper.facts.remarks import Remark
from stepper.facts.values import Absent, Choice, Value, Why

FIRST = 0
"""The row number of what a step asks once before its rows."""

LAST = 10_000
"""What a step asks once after its rows has row numbers from here on, a new one each time it is asked again."""


class Fact(Struct, frozen=True, gc=False):
    """One value as it stands, the entry that last said it, and where that entry stands in the order."""

    value: Value
    seq: int
    place: Place
    role: str | None = None

    @property
    def absent(self) -> bool:
        """Whether it says that there is no fact."""
        return isinstance(self.value, Absent)


class Row(Struct, gc=False):
    """The facts of one row of a step; a step that takes one answer has one row."""

    step: str
    canal: int
    number: int
    facts: dict[str, Fact] = new(default_factory=dict)
    outside: bool = False

    def get(self, role: str) -> Fact | None:
        """Give the fact of a role in this row, if there is a real one."""
        for fact in self.facts.values():
            if fact.role == role and not isinstance(fact.value, Absent):
                return fact
        return None

    def options(self, role: str) -> tuple[str, ...]:
        """Give the chosen option ids of a role in this row."""
        fact = self.get(role)
        return fact.value.options if fact is not None and isinstance(fact.value, Choice) else ()

    @property
    def place(self) -> Place:
        """Where its earliest current fact stands: later acts count as later than all of the row."""
        return min(fact.place for fact in self.facts.values())

    @property
    def last_place(self) -> Place:
        """Where its latest fact stands."""
        return max(fact.place for fact in self.facts.values())

    @property
    def seqs(self) -> tuple[int, ...]:
        """The entries that its facts come from, in order."""
        return tuple(sorted({fact.seq for fact in self.facts.values()}))


class Length(Struct, frozen=True, gc=False):
    """The working length in force: mm from the reference point; `anew` is where it was last measured anew."""

    mm: Decimal
    seq: int
    anew: Place


class Fill(Struct, frozen=True, gc=False):
    """The fill of a canal and whether its gate was open when the act was logged."""

    seq: int
    gate_open: bool


@dataclass(slots=True)
class Carry:
    """What stands of what a canal brought along from an earlier session, in entry `seq`.

    `mm` is its length there as long as it waits to be confirmed today: None once a length was agreed today, or once the
    reference point was left. `outcome` is how it ended there, if that is final.
    """

    seq: int
    place: Place
    outcome: str | None
    mm: Decimal | None
    reference: Value | None
    files: list[FileUse]


@dataclass(slots=True)
class Canal:
    """The evidence of one canal. Its files and irrigants are today's; what an earlier session brings is `carried`."""

    number: int
    name: str
    length: Length | None = None
    file_rows: Acts[FileUse] = field(default_factory=Acts)
    rinse_rows: Acts[Rinse] = field(default_factory=Acts)
    joins: int | None = None
    join_at_mm: Decimal | None = None
    fill: Fill | None = None
    carried: Carry | None = None

    @property
    def files(self) -> Sequence[FileUse]:
        """The files that were in the canal, in their order."""
        return self.file_rows.in_order

    @property
    def files_of_all(self) -> Sequence[FileUse]:
        """The files that were in the canal in any of its sessions, in their order."""
        return [*self.carried.files, *self.files] if self.carried is not None else self.files

    @property
    def kinds_of_files(self) -> Sequence[FileUse]:
        """The same, but of those that differ by nothing but when they were only the first."""
        return [*(self.carried.files if self.carried is not None else ()), *self.file_rows.firsts]

    @property
    def rinses(self) -> Sequence[Rinse]:
        """The irrigants that were in the canal, in their order."""
        return self.rinse_rows.in_order


@dataclass(slots=True)
class Tally:
    """What the rows of a step come to, without looking at each again.

    `own` is where the last row stands, but for those asked once around the rows; `newest` where the latest fact of any
    does. `owing` are the numbers of the rows in which something is owed.
    """

    own: Place | None = None
    newest: Place = (-1, 0, 0)
    owing: set[int] = field(default_factory=set)

    def take(self, row: Row) -> None:
        """Take in what became of a row. Facts come in the order of their places, so neither place ever goes back."""
        self.newest = max(self.newest, row.last_place)
        if FIRST < row.number < LAST:
            self.own = row.place if self.own is None else max(self.own, row.place)
        owed = any(isinstance(fact.value, Absent) and fact.value.why is Why.OWED for fact in row.facts.values())
        (self.owing.add if owed else self.owing.discard)(row.number)


@dataclass(slots=True)
class View:
    """One reading of the record."""

    patient: str
    tooth: str
    rows: dict[tuple[str, int], list[Row]] = field(default_factory=dict)
    latest: dict[tuple[str, int], Fact] = field(default_factory=dict)
    by_role: dict[tuple[str, int], Fact] = field(default_factory=dict)
    canals: dict[int, Canal] = field(default_factory=dict)
    touched: dict[tuple[str, int], tuple[Place, int]] = field(default_factory=dict)
    declared: dict[tuple[str, int], tuple[str, Place, int]] = field(default_factory=dict)
    row_remarks: dict[tuple[str, str, int, int], Remark] = field(default_factory=dict)
    header_place: Place = (0, 0, 0)
    header_unconfirmed: bool = False
    held: dict[str, dict[int, list[Row]]] = field(default_factory=dict)
    """By role and canal the rows that were ever asked for it, in the order in which they came."""
    tallies: dict[tuple[str, int], Tally] = field(default_factory=dict)
    judged: tuple[Remark, ...] | None = field(default=None, compare=False)
    """Every remark on the view, once it was asked for; an entry taken in makes it None again."""
    gauging: dict[int, object] = field(default_factory=dict, compare=False)
    """What gauging came to for a canal, once it was asked for; gone as soon as a file or a length is put in."""

    def rows_of(self, step: str, canal: int) -> list[Row]:
        """Give the rows of a step, oldest first."""
        return self.rows.get((step, canal), [])

    def row(self, step: str, canal: int, number: int) -> Row | None:
        """Give the row of a number, if it was begun."""
        rows = self.rows_of(step, canal)
        index = bisect_left(rows, number, key=_number)
        return rows[index] if index < len(rows) and rows[index].number == number else None

    def rows_from(self, step: str, canal: int, number: int) -> list[Row]:
        """Give the rows of a number and above."""
        rows = self.rows_of(step, canal)
        return rows[bisect_left(rows, number, key=_number) :]

    def last_row(self, step: str, canal: int) -> Row | None:
        """Give the last row of a step, but for those asked once around the rows."""
        rows = self.rows_of(step, canal)
        index = bisect_left(rows, LAST, key=_number) - 1
        return rows[index] if index >= 0 and rows[index].number > FIRST else None

    def tally(self, step: str, canal: int) -> Tally:
        """Give what the rows of a step come to."""
        return self.tallies.get((step, canal), _NOTHING)

    def asked_for(self, role: str, canal: int) -> list[Row]:
        """Give every row, of any step, that was asked for a role, whether or not there was a fact to give."""
        return self.held.get(role, {}).get(canal, [])

    def rows_with(self, role: str, canal: int) -> Iterator[Row]:
        """Give every row, of any step, that holds a real fact of a role, in no promised order."""
        for row in self.asked_for(role, canal):
            if row.get(role) is not None:
                yield row

    def keep(self, row: Row, name: str, fact: Fact) -> None:
        """Put a fact into one of the view's rows."""
        if fact.role is not None and all(one.role != fact.role for one in row.facts.values()):
            self.held.setdefault(fact.role, {}).setdefault(row.canal, []).append(row)
        row.facts[name] = fact

    def role(self, role: str, canal: int) -> Fact | None:
        """Give the latest real fact of a role."""
        fact = self.by_role.get((role, canal))
        return fact if fact is not None and not fact.absent else None

    def fact(self, question: str, canal: int) -> Fact | None:
        """Give the latest fact of a question named `step.question`, absent ones included."""
        return self.latest.get((question, canal))

    def chosen(self, question: str, canal: int) -> tuple[str, ...]:
        """Give the latest chosen option ids of a question named `step.question`."""
        fact = self.fact(question, canal)
        return fact.value.options if fact is not None and isinstance(fact.value, Choice) else ()


_NOTHING = Tally()


def _number(row: Row) -> int:
    return row.number


def joined(view: View, canal: int) -> tuple[int, ...]:
    """Give the canals that join with a canal, itself first: what happens in the shared part happens to all."""
    if canal not in view.canals or all(one.joins is None for one in view.canals.values()):
        return (canal,)
    together = {canal}
    while more := {
        one.number
        for one in view.canals.values()
        if one.number not in together
        and (one.joins in together or any(view.canals[n].joins == one.number for n in together))
    }:
        together |= more
    return (canal, *sorted(together - {canal}))


def reached(view: View, number: int, use: FileUse | Rinse) -> tuple[int, ...]:
    """Give the canals an act reached: a rinse runs into all that join, a file if it may have gone past the join.

    Where the join lies is known from the reference point of the canal that joins, not from that of the main canal.
    """
    shared = joined(view, number)
    if len(shared) == 1 or isinstance(use, Rinse):
        return shared
    meets = view.canals[number].join_at_mm
    return (number,) if use.absolute_mm is not None and meets is not None and use.absolute_mm < meets else shared
