"""What a screen shows: flat frozen records, made by the session, painted by the screens without a rule or a sum.

Signs stand beside words, so that no meaning hangs on colour: `tone` only says which of the theme's tones to use.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Tone(StrEnum):
    """How a piece of text is meant."""

    PLAIN = "plain"
    QUIET = "quiet"
    GOOD = "good"
    WARN = "warn"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class StepCell:
    """A step at a glance: its number, title, a one-character sign and the word for it."""

    number: int
    title: str
    sign: str
    word: str
    tone: Tone
    current: bool


@dataclass(frozen=True, slots=True)
class CanalCell:
    """A canal at a glance; texts are short, empty where there is nothing yet."""

    number: int
    name: str
    length: str
    gauge: str
    file: str
    cone: str
    gate: str
    outcome: str
    tone: Tone
    current: bool


@dataclass(frozen=True, slots=True)
class LogLine:
    """One entry: its number, wall time (HH:MM), place (step and canal) and what it says. `current`: replay is at it."""

    seq: int
    time: str
    where: str
    text: str
    tone: Tone
    current: bool = False


@dataclass(frozen=True, slots=True)
class RemarkLine:
    """One remark: weight word with its sign, where it belongs, the full sentence and how it stands."""

    sign: str
    word: str
    where: str
    text: str
    standing: str
    tone: Tone


@dataclass(frozen=True, slots=True)
class NoteLine:
    """One line of the note: a title, or a sentence with the numbers of its entries behind it.

    `here`: it came from the entry that replay is at; `corrected`: a correction changed it.
    """

    text: str
    title: bool = False
    here: bool = False
    corrected: bool = False

    @property
    def sign(self) -> str:
        """One sign for what it is, to stand before it."""
        return ">" if self.here else "~" if self.corrected else " "


@dataclass(frozen=True, slots=True)
class Choice:
    """A numbered line of a list: an option, a way out, a menu entry."""

    number: str
    text: str


@dataclass(frozen=True, slots=True)
class Prompt:
    """The question of the moment. `offer` is what Enter on an empty line takes, empty where there is no offer.

    `card` are lines that stand above the question: the practice's own when something went wrong, or what a second visit
    does not bring along. `sums` are sentences reckoned from the record. A `page` stands in the place of the whole; a
    `wide` list in the place of steps, canals, remarks and log.
    """

    title: str
    canal: str
    question: str
    hint: str
    choices: tuple[Choice, ...]
    then: str
    offer: str
    blind: str
    legend: str
    card: tuple[str, ...] = ()
    sums: tuple[str, ...] = ()
    page: Page | None = None
    wide: bool = False


@dataclass(frozen=True, slots=True)
class Band:
    """The full-width band that goes with a sound: a sign, a word and the sentence."""

    sign: str
    word: str
    text: str
    tone: Tone


@dataclass(frozen=True, slots=True)
class Page:
    """One page of a text, no row wider than the note is (80): page `number` of `of`, counted from 1."""

    title: str
    rows: tuple[str, ...]
    number: int
    of: int


@dataclass(frozen=True, slots=True)
class ChairView:
    """The whole chairside screen. `covered` hides header, canals, log and read-back while a blind question stands.

    A `page` stands in the place of steps, canals, question and log. `read_only`: nothing is logged here, so that no
    Enter need be taken for a bounce of the finger. `note` is the note as far as it goes by then. `coach` are the
    sentences of a lesson, what to key in backquotes. `masked`: what is typed is secret, to be read nowhere; `words`: it
    is text of a person's own, longer than a line of the keypad.
    """

    title: str
    subtitle: str
    banner: str
    steps: tuple[StepCell, ...]
    canals: tuple[CanalCell, ...]
    prompt: Prompt
    armed: str
    readback: str
    saying: str
    saying_tone: Tone
    band: Band | None
    remarks: tuple[RemarkLine, ...]
    more_remarks: int
    log: tuple[LogLine, ...]
    covered: bool
    over: bool
    page: Page | None = None
    read_only: bool = False
    note: tuple[NoteLine, ...] = ()
    coach: tuple[str, ...] = ()
    masked: bool = False
    words: bool = False


@dataclass(frozen=True, slots=True)
class RunningClock:
    """One clock: in a word what it times, its figures, perhaps a sign and a word beside them; and the whole as said."""

    word: str
    time: str
    mark: str
    said: str
    tone: Tone = Tone.PLAIN


@dataclass(frozen=True, slots=True)
class Clocks:
    """The time of day, and the clocks that run, the one that is needed most first: the last can be left out first.

    `away`: nothing was entered for so long that the next answer has to say its canal, which the view says too.
    `locked`: the screen is locked, which the view says too. `entry`: the one that a replay is at, as the view is.
    """

    now: str
    running: tuple[RunningClock, ...] = ()
    away: bool = False
    locked: bool = False
    entry: int = 0

    @property
    def in_words(self) -> str:
        """All of them in a sentence each."""
        return " ".join([f"It is {self.now}.", *(one.said for one in self.running)])
