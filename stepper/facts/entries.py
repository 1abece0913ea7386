"""The entries of a log, a frozen record per kind. What is no entry did not happen, as far as this program knows.

`parse` makes one of a line's members; `by`, common to all, is the number of the person who keyed it.
"""

import datetime as dt
from collections.abc import Mapping
from decimal import Decimal
from typing import Annotated, Literal, cast

from msgspec import Meta, field
from msgspec.structs import force_setattr

from stepper.facts.carried import CarriedCanal, Continues, Previous
from stepper.facts.entry import Entry
from stepper.facts.free_text import FreeText
from stepper.facts.record import Kind, Record, by_kind, finite, read_one_of
from stepper.facts.ringing import Sound, SoundState
from stepper.facts.sharing import kept_values, known_values, share_texts
from stepper.facts.signature import Addendum, Signature
from stepper.facts.values import Value

TOOTH = 0
"""The canal number of what belongs to the tooth and to no canal."""
NO_FACT = frozenset({"go", "sound", "sound_state", "resume"})
"""Kinds of entry that hold no fact, so that no remark can come of them."""

Facts = Annotated[dict[str, Value], Meta(min_length=1)]
"""At least one fact, by the ids of the questions that were answered."""


class Open(Entry, tag="open", frozen=True):
    """Line 0: whose tooth, under which protocol (its whole text), keyed by whom; and the file that it goes on from."""

    sid: str
    nonce: str
    app: str
    practice: bool
    patient: str
    tooth: str
    clinician: int
    protocol: str
    settings: str
    previous: Previous | None = None
    continues: Continues | None = None


class Answer(Entry, tag="answer", frozen=True):
    """Facts of one line: one row of one step, for the tooth (canal 0) or a canal.

    `ago_min` says that it happened so many minutes before it was keyed; `outside` that a stop held the act; `at` is the
    canal at hand, where the line named another one. `scan`: the barcode that it was read from, where no value keeps it.
    """

    step: str
    canal: int
    row: int
    values: Facts
    ago_min: int | None = None
    outside: bool = False
    at: int | None = None
    scan: str | None = None


class Correction(Entry, tag="correction", frozen=True):
    """A later word about entry `of`: the fact was otherwise, or the world has changed since."""

    of: int
    how: Literal["keyed_wrong", "measured_anew"]
    values: Facts


class Confirm(Entry, tag="confirm", frozen=True):
    """The clinician's spoken yes to late entries or corrections, by their numbers."""

    of: tuple[int, ...]
    said_by: int


class Departure(Entry, tag="departure", kw_only=True, frozen=True):
    """An ask passed with a reason; `text` is the remark as it was read out."""

    remark: str
    text: str = ""
    reason: str
    said_by: int


class Owe(Entry, tag="owe", frozen=True):
    """An ask left open on purpose; it is asked again at closing. `text` is the remark as it was read out."""

    remark: str
    text: str = ""


class Held(Entry, tag="held", frozen=True):
    """An act that was not done because of what the record said.

    `texts` are the remarks as they were read out. `drops`: the row it was keyed for is given up, as when an expired
    syringe is put away again.
    """

    step: str
    canal: int
    row: int
    values: dict[str, Value]
    remarks: tuple[str, ...]
    texts: tuple[str, ...] = ()
    drops: bool = False


class Overruled(Entry, tag="overruled", frozen=True):
    """What a stop was about was done all the same, such as a wrong cone handed over: that row is outside the chain.

    `text` is the remark as it was read out.
    """

    step: str
    canal: int
    row: int
    remark: str
    text: str = ""


class StepDone(Entry, tag="step", frozen=True):
    """A step declared finished, not done or owed."""

    step: str
    canal: int
    how: Literal["finished", "not_done", "owed"]


class CanalFound(Entry, tag="canal", frozen=True):
    """A canal found after the others were named."""

    canal: int
    name: str


class Joined(Entry, tag="join", frozen=True):
    """A canal that runs into another, at so many mm from its reference point where that is known."""

    canal: int
    into: int
    at_mm: Decimal | None = None

    def __post_init__(self) -> None:
        """Refuse a place that is no number."""
        finite(self.at_mm)


class Carried(CarriedCanal, tag_field="kind", tag="carried", kw_only=True, frozen=True):
    """What one canal brings along from the session that the header names as `previous`: `CarriedCanal` says how.

    It has the common members of an `Entry` as well.
    """

    seq: int
    t: dt.datetime
    off: str
    tz: str
    mono_us: int
    boot: str
    by: int | None

    @property
    def kind(self) -> str:
        """The word for its kind."""
        return str(self.__struct_config__.tag)


class Incident(Entry, tag="incident", frozen=True):
    """Something went wrong, stamped at once; what it was comes later."""

    step: str
    canal: int


class IncidentDetail(Entry, tag="incident_detail", frozen=True):
    """What incident `of` was: the id of one of the protocol's incidents, or `slip` for a key struck by mistake.

    `values` are answers to that incident's own questions; several details may follow each other, the later word counts.
    `canal` is where it was, if that is not the canal at hand when it was stamped.
    """

    of: int
    what: str
    values: dict[str, Value] = field(default_factory=dict)
    canal: int | None = None


class Ending(Entry, tag="ending", frozen=True):
    """The visit ends early: from here on only what makes the tooth safe is asked."""

    reason: str
    said_by: int


class Left(Record, frozen=True):
    """A place that was left by going elsewhere out of turn."""

    step: str
    canal: int
    last: bool = False


class Go(Entry, tag="go", frozen=True):
    """The assistant went to another step or canal; `last`: to what a step of many rows asks once after them.

    `left` is where one was, if the step was gone to out of turn, by its number: the way leads back there.
    """

    step: str
    canal: int
    last: bool = False
    left: Left | None = None


class Resume(Entry, tag="resume", frozen=True):
    """The session was opened again."""

    app: str


class Recovered(Entry, tag="recovered", frozen=True):
    """An unfinished write found at byte `at` when the file was opened, kept as it was, with its length and SHA-256."""

    at: int
    bytes: int
    sha256: str
    base64: str


class Relief(Entry, tag="relief", frozen=True):
    """Another person takes the keyboard."""

    person: int


class Void(Entry, tag="void", frozen=True):
    """The visit is void; nothing is deleted."""

    reason: str


class Close(Entry, tag="close", frozen=True):
    """The visit is closed."""


AnyEntry = (
    Open
    | Answer
    | Correction
    | Confirm
    | Departure
    | Owe
    | Held
    | Overruled
    | StepDone
    | CanalFound
    | Joined
    | Carried
    | Incident
    | IncidentDetail
    | Ending
    | Sound
    | SoundState
    | Go
    | Resume
    | Recovered
    | Relief
    | Void
    | Close
    | Signature
    | Addendum
    | FreeText
)

_KINDS: Mapping[str, type[Kind]] = by_kind(AnyEntry)


def parse(members: Mapping[str, object]) -> AnyEntry:
    """Give the typed entry of one line's members; a ValueError says what does not fit, and where."""
    return parse_own(dict(members))


def parse_own(told: dict[str, object]) -> AnyEntry:
    """Do the same with members that nobody else needs: they are changed by it."""
    told.pop("v", None)
    told.pop("hash", None)
    share_texts(told)
    written = told.get("values")
    if (known := known_values(written) if written else None) is not None:
        told["values"] = known
    entry = cast(AnyEntry, read_one_of(_KINDS, told))
    if isinstance(entry, Answer):
        force_setattr(entry, "values", known if known is not None else kept_values(entry.values, written))
    return entry
