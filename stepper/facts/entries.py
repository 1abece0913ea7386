"""The entries of a log: one frozen record per kind. What is not an entry did not happen, as far as this program knows.

`parse` turns the members of one line, as the record layer returns them, into its typed entry. The envelope members
(`seq`, `t`, `off`, `tz`, `mono_us`, `boot`, `by`) are common to all; `by` is the number of the person who keyed it.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, TypeAdapter

from stepper.facts.carried import CarriedCanal, Previous
from stepper.facts.entry import Entry
from stepper.facts.ringing import Sound, SoundState
from stepper.facts.sharing import share_names, shared
from stepper.facts.values import Record, Value

TOOTH = 0
"""The canal number of what belongs to the tooth and to no canal."""


NO_FACT = frozenset({"go", "sound", "sound_state", "resume"})
"""Kinds of entry that hold no fact, so that no remark can come of them."""


Facts = Annotated[dict[str, Value], Field(min_length=1)]
"""At least one fact, by the ids of the questions that were answered."""


class Open(Entry):
    """Line 0: whose tooth, under which protocol (its whole text), keyed by whom."""

    kind: Literal["open"] = "open"
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


class Answer(Entry):
    """Facts of one line: one row of one step, for the tooth (canal 0) or a canal.

    `ago_min` says that it happened so many minutes before it was keyed; `outside` that a stop held the act; `at` is the
    canal at hand, where the line named another one. `scan`: the barcode that it was read from, where no value keeps it.
    """

    kind: Literal["answer"] = "answer"
    step: str
    canal: int
    row: int
    values: Facts
    ago_min: int | None = None
    outside: bool = False
    at: int | None = None
    scan: str | None = None


class Correction(Entry):
    """A later word about entry `of`: the fact was otherwise, or the world has changed since."""

    kind: Literal["correction"] = "correction"
    of: int
    how: Literal["keyed_wrong", "measured_anew"]
    values: Facts


class Confirm(Entry):
    """The clinician's spoken yes to late entries or corrections, by their numbers."""

    kind: Literal["confirm"] = "confirm"
    of: tuple[int, ...]
    said_by: int


class Departure(Entry):
    """An ask passed with a reason; `text` is the remark as it was read out."""

    kind: Literal["departure"] = "departure"
    remark: str
    text: str = ""
    reason: str
    said_by: int


class Owe(Entry):
    """An ask left open on purpose; it is asked again at closing. `text` is the remark as it was read out."""

    kind: Literal["owe"] = "owe"
    remark: str
    text: str = ""


class Held(Entry):
    """An act that was not done because of what the record said.

    `texts` are the remarks as they were read out. `drops`: the row it was keyed for is given up, as when an expired
    syringe is put away again.
    """

    kind: Literal["held"] = "held"
    step: str
    canal: int
    row: int
    values: dict[str, Value]
    remarks: tuple[str, ...]
    texts: tuple[str, ...] = ()
    drops: bool = False


class Overruled(Entry):
    """What a stop was about was done all the same, such as a wrong cone handed over: that row is outside the chain.

    `text` is the remark as it was read out.
    """

    kind: Literal["overruled"] = "overruled"
    step: str
    canal: int
    row: int
    remark: str
    text: str = ""


class StepDone(Entry):
    """A step declared finished, not done or owed."""

    kind: Literal["step"] = "step"
    step: str
    canal: int
    how: Literal["finished", "not_done", "owed"]


class CanalFound(Entry):
    """A canal found after the others were named."""

    kind: Literal["canal"] = "canal"
    canal: int
    name: str


class Joined(Entry):
    """A canal that runs into another, at so many mm from its reference point where that is known."""

    kind: Literal["join"] = "join"
    canal: int
    into: int
    at_mm: Decimal | None = None


class Carried(Entry, CarriedCanal):
    """What one canal brings along from the session that the header names as `previous`: `CarriedCanal` says how."""

    kind: Literal["carried"] = "carried"


class Incident(Entry):
    """Something went wrong, stamped at once; what it was comes later."""

    kind: Literal["incident"] = "incident"
    step: str
    canal: int


class IncidentDetail(Entry):
    """What incident `of` was: the id of one of the protocol's incidents, or `slip` for a key struck by mistake.

    `values` are answers to that incident's own questions; several details may follow each other, the later word counts.
    `canal` is where it was, if that is not the canal at hand when it was stamped.
    """

    kind: Literal["incident_detail"] = "incident_detail"
    of: int
    what: str
    values: dict[str, Value] = Field(default_factory=dict)
    canal: int | None = None


class Ending(Entry):
    """The visit ends early: from here on only what makes the tooth safe is asked."""

    kind: Literal["ending"] = "ending"
    reason: str
    said_by: int


class Left(Record):
    """A place that was left by going elsewhere out of turn."""

    step: str
    canal: int
    last: bool = False


class Go(Entry):
    """The assistant went to another step or canal; `last`: to what a step of many rows asks once after them.

    `left` is where one was, if the step was gone to out of turn, by its number: the way leads back there.
    """

    kind: Literal["go"] = "go"
    step: str
    canal: int
    last: bool = False
    left: Left | None = None


class Resume(Entry):
    """The session was opened again."""

    kind: Literal["resume"] = "resume"
    app: str


class Recovered(Entry):
    """An unfinished write found at byte `at` when the file was opened, kept as it was, with its length and SHA-256."""

    kind: Literal["recovered"] = "recovered"
    at: int
    bytes: int
    sha256: str
    base64: str


class Relief(Entry):
    """Another person takes the keyboard."""

    kind: Literal["relief"] = "relief"
    person: int


class Void(Entry):
    """The visit is void; nothing is deleted."""

    kind: Literal["void"] = "void"
    reason: str


class Close(Entry):
    """The visit is closed."""

    kind: Literal["close"] = "close"


AnyEntry = Annotated[
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
    | Close,
    Field(discriminator="kind"),
]

_ADAPTER: TypeAdapter[AnyEntry] = TypeAdapter(AnyEntry)


def parse(members: Mapping[str, object]) -> AnyEntry:
    """Give the typed entry of one line's members; a pydantic ValidationError says what does not fit."""
    told = shared({name: value for name, value in members.items() if name not in ("v", "hash")})
    entry = _ADAPTER.validate_python(told)
    share_names(entry)
    return entry
