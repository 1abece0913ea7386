"""What a canal brings along from an earlier session of the tooth: the members of a `carried` entry, and their sense.

Every `of` is the number of an entry of the earlier session.
"""

import datetime as dt
from decimal import Decimal
from typing import Annotated

from msgspec import Meta

from stepper.facts.record import Record, finite
from stepper.facts.values import Choice, Text


class Previous(Record, frozen=True):
    """The session that one goes on from: its id, its last hash, and the local day on which it was opened."""

    sid: str
    head: str
    day: dt.date | None = None


class Continues(Record, frozen=True):
    """The file that a session goes on from: its id, how many entries of it count, and the hash of the last of them.

    `addendum`: the last of them is a signature, and what is added now was not there when it was given.
    """

    sid: str
    entries: int
    head: str
    addendum: bool = False


class CarriedLength(Record, frozen=True):
    """A working length in mm from the reference point, and the entry of the earlier session that said it."""

    mm: Decimal
    of: int

    def __post_init__(self) -> None:
        """Refuse what is no number."""
        finite(self.mm)


class CarriedReference(Record, frozen=True):
    """The reference point as it was answered, and the entry of the earlier session that said it."""

    value: Choice | Text
    of: int


class CarriedFile(Record, kw_only=True, frozen=True):
    """A file that was in the canal in an earlier session, entry `of` there.

    `short_mm` is the distance as keyed, `absolute_mm` the tip from the reference point where a length was in force.
    `against`: it can only shut the gate, since it was logged outside the chain or the clinician has not confirmed it.
    """

    size: int
    taper: Decimal
    short_mm: Decimal
    absolute_mm: Decimal | None = None
    purpose: str
    stock: int | None = None
    against: bool = False
    of: int

    def __post_init__(self) -> None:
        """Refuse what is no number."""
        finite(self.taper, self.short_mm, self.absolute_mm)


class CarriedMaster(Record, kw_only=True, frozen=True):
    """The master apical file as declared, in force at the end of the earlier session; entry `of` there."""

    size: int
    taper: Decimal
    stock: int | None = None
    of: int

    def __post_init__(self) -> None:
        """Refuse what is no number."""
        finite(self.taper)


class CarriedFill(Record, frozen=True):
    """The fill of a canal, entry `of` of the earlier session, and whether its gate was open then."""

    gate_open: bool
    of: int


class CarriedJoin(Record, frozen=True):
    """The canal that a canal runs into, at so many mm from its reference point where that is known."""

    into: int
    at_mm: Decimal | None = None

    def __post_init__(self) -> None:
        """Refuse what is no number."""
        finite(self.at_mm)


class CarriedSaid(Record, kw_only=True, frozen=True):
    """What was answered in the earlier session, in the words of its own protocol: entry `of` there. It opens no gate.

    `about` is the role or the item of a record that it goes by. `sid` and `day` are of a session before the earlier
    one, where it was only carried on by that.
    """

    about: str
    asked: str
    words: str
    of: int
    sid: str | None = None
    day: dt.date | None = None


class CarriedCanal(Record, frozen=True):
    """What one canal brings along from the session that the header names as `previous`; one entry for each canal.

    They are written with the header, before anything is keyed, and stand where the header stands, whatever their
    number; the first of a canal counts. They are certain in both readings of the record, told and sure: what would open
    a gate is among them only where the clinician had confirmed it, what can only shut one (a fill, a file with
    `against`) in either case, and `left_out` says in plain words what was not carried over as certain. `more` is how
    many of them follow. Every `of` is an entry of the earlier session. What each part does today:

    - `canal`, `name`: the canal is there under that number; canals named or found today get the next ones.
    - `fill`: the canal is filled (gate shut: filled already) and has that outcome; no entry of today filled it.
    - `joins`: it joins that canal, if that one is there, as after a `join` entry.
    - `outcome`: as it stood at the end of the earlier session. One that is final (not treated, blocked, fragment)
      stands until a file, a rinse or a dressing of today comes into the canal, or an outcome is stated today; any
      other, such as dressed, is history: today the canal has no outcome yet, and is open for work.
    - `length`: in force only once a length is agreed today (not one logged outside the chain, not an absent answer).
      The first that is agreed today settles it. If it equals the carried one in mm, that length counts as last
      measured where the header stands; if it does not, it was measured anew, and the carried `master` is void.
    - `reference`: a reference point said today that is another one, or measured anew, voids the carried `length` and
      `master`, and the absolute depths of the carried `files`, as a broken point does; the length agreed today from
      the new point then was measured anew.
    - `files`: count with today's files in what was cut to length, by their absolute mm and from today's length, before
      everything keyed today; one without absolute mm or with `against` can only shut the gate. They are no acts of
      today for any rule, and leave no canal to be dressed.
    - `master`: stands as the last declared master apical file, declared where the header stands, until one is declared
      today or it is void.
    - `said`, and for the tooth `of_tooth` in the first of them: told in the note, and nothing goes by it. Files of
      before do without.

    Nothing else comes along: rinse, drying, fit, technique, sealer, lots, dam, allergies, time-out and the asks and
    their answers are those of today.
    """

    canal: Annotated[int, Meta(ge=1)]
    name: str
    outcome: str | None = None
    length: CarriedLength | None = None
    reference: CarriedReference | None = None
    files: tuple[CarriedFile, ...] = ()
    master: CarriedMaster | None = None
    fill: CarriedFill | None = None
    joins: CarriedJoin | None = None
    left_out: tuple[str, ...] = ()
    said: tuple[CarriedSaid, ...] = ()
    of_tooth: tuple[CarriedSaid, ...] = ()
    more: Annotated[int, Meta(ge=0)] = 0
