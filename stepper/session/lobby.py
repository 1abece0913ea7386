"""The start screen's conversation: resume a session or open a new one, then hand over to it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from stepper.case.state import Case
from stepper.facts.values import Digits, Value
from stepper.kinds.questions.digits import DigitsQuestion
from stepper.lines.grammar import Answer, Command, CommandName, Line, read_line
from stepper.lines.refusal import Refusal
from stepper.note.words import local, person
from stepper.protocol.models import Protocol
from stepper.protocol.problems import BadProtocol
from stepper.protocol.settings import BadSettings, Settings
from stepper.record.clock import Clock
from stepper.record.journal import Journal
from stepper.record.problems import RecordError
from stepper.session.paint import time_of_day
from stepper.session.session import Session, Trace
from stepper.session.store import Listed, Opening, list_sessions, open_new, resume
from stepper.session.typed import TypedLine
from stepper.session.view import ChairView, Choice, Clocks, Prompt, Tone
from stepper.sums.iso3950 import describe, is_tooth

CAUTION = (
    "A record-keeping aid, not a medical device. The clinician decides; local rules and manufacturers' "
    "instructions come first."
)
LEGEND = "number Enter: choose   .. wipe   / leave"
SHOWN = 8


@dataclass(frozen=True, slots=True)
class House:
    """Where sessions live and what new ones are opened under. `tick` moves a set clock; `sid` names its session."""

    folder: Path
    clock: Clock
    protocol: Protocol
    protocol_text: str
    settings: Settings
    settings_text: str
    tick: Callable[[], None]
    trace: Trace | None = None
    sid: str | None = None


@dataclass(slots=True)
class Form:
    """What has been answered of a new session, in the order asked."""

    patient: str = ""
    tooth: str = ""
    clinician: int = 0
    assistant: int = 0

    def asked(self) -> str:
        """Name what is asked next."""
        names = ("patient", "tooth", "clinician", "assistant")
        return next((name for name in names if not getattr(self, name)), "sure")


@dataclass(slots=True)
class Lobby:
    """Before a session: lists and a form. Once one is open, everything goes to it."""

    house: House
    session: Session | None = None
    saying: str = ""
    tone: Tone = Tone.PLAIN
    form: Form | None = None
    over: bool = False
    listed: list[Listed] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Look what can be resumed."""
        self._look()

    def _look(self) -> None:
        self.listed = [one for one in list_sessions(self.house.folder) if not one.closed and not one.void]

    @property
    def pending(self) -> str:
        """The half-typed line to offer."""
        return self.session.pending if self.session is not None else ""

    def enter(self, text: str) -> None:
        """Take one entered line."""
        self.house.tick()
        if self.session is not None:
            self.session.enter(text)
            if self.session.room.over:
                self._back_to_start(self.session)
            return
        self.saying, self.tone = "", Tone.PLAIN
        try:
            self._take(read_line(text))
        except (RecordError, BadProtocol, BadSettings) as error:
            self._say(str(error).split("\n")[0], Tone.STOP)

    def view(self) -> ChairView:
        """Give what to show."""
        if self.session is not None:
            return self.session.view()
        return ChairView(
            title="stepper",
            subtitle=self.house.settings.heading,
            banner="PRACTICE" if self.house.clock.test else "",
            steps=(),
            canals=(),
            prompt=self._prompt(),
            armed="",
            readback="",
            saying=self.saying or CAUTION,
            saying_tone=self.tone,
            band=None,
            remarks=(),
            more_remarks=0,
            log=(),
            covered=False,
            over=self.over,
        )

    def clocks(self) -> Clocks:
        """Give the clocks."""
        if self.session is not None:
            return self.session.clocks()
        return Clocks(time_of_day(self.house.clock.now()), "", "", "")

    def typing(self, line: str) -> None:
        """Keep a half-typed line, where there is a session to keep it for."""
        if self.session is not None:
            self.session.typing(line)

    def move(self, direction: str) -> None:
        """Pass an arrow on."""
        if self.session is not None:
            self.session.move(direction)

    def take_offer(self) -> None:
        """Take the offer."""
        if self.session is not None:
            self.session.take_offer()

    def menu(self) -> None:
        """Open the menu."""
        self.enter("/")

    def bells(self) -> int:
        """Tell how often to ring."""
        return self.session.bells() if self.session is not None else 0

    def leave(self) -> None:
        """Close what is open."""
        if self.session is not None:
            self.session.leave()

    def _back_to_start(self, session: Session) -> None:
        """Close a session that is over and show the start screen again: the next patient is on the way."""
        session.leave()
        self.session, self.form = None, None
        self._look()
        self._say(session.room.saying or "Left; the session is saved and can be resumed.", Tone.GOOD)

    def _say(self, text: str, tone: Tone) -> None:
        self.saying, self.tone = text, tone

    def _prompt(self) -> Prompt:
        if self.form is None:
            ways = [Choice("1", "new session")]
            ways += [Choice(str(place), _label(one)) for place, one in enumerate(self.listed[:SHOWN], start=2)]
            return Prompt(
                "Start", "", "Resume a session, or open a new one", "a number", tuple(ways), "", "", "", LEGEND
            )
        return self._form_prompt(self.form)

    def _form_prompt(self, form: Form) -> Prompt:
        asked, protocol = form.asked(), self.house.protocol
        people = [one for one in protocol.person if one.role == asked]
        choices = tuple(Choice(str(one.number), one.name) for one in people)
        texts = {
            "patient": ("Patient number", "1 to 12 digits, no name"),
            "tooth": ("Tooth", "two digits, ISO 3950, as 36"),
            "clinician": ("Clinician", "a number"),
            "assistant": ("Who keys", "a number"),
        }
        if asked != "sure":
            question, hint = texts[asked]
            return Prompt("New session", "", question, hint, choices, "", "", "", LEGEND)
        text = (
            f"Patient {form.patient}, tooth {form.tooth}, {describe(form.tooth)}, {person(protocol, form.clinician)}."
        )
        ways = (Choice("1", "yes, open it"), Choice("2", "no, key it again"))
        return Prompt("New session", "", f"{text} Right?", "a number", ways, "", "", "", LEGEND)

    def _take(self, line: Line) -> None:
        if isinstance(line, Command) and line.name is CommandName.MENU:
            self.over = self.form is None
            self.form = None
            return
        typed = line.fields[0] if isinstance(line, Answer) and len(line.fields) == 1 and line.canals is None else ""
        if self.form is None:
            self._choose(typed)
        else:
            self._fill_in(self.form, typed)

    def _choose(self, typed: str) -> None:
        number = int(typed) if typed.isdecimal() and len(typed) < 4 else 0
        if number == 1:
            self.form = Form()
        elif 2 <= number < 2 + len(self.listed[:SHOWN]):
            journal, case, said = resume(self.listed[number - 2].path, self.house.clock)
            self._hand_over(journal, case)
            if self.session is not None:
                self.session.room.log("resume", app=case.header.app)
                half = self.session.pending
                here = f" Half typed before: {half}  (.. wipes it)" if half else ""
                self.session.room.say((said or "Resumed: everything logged is here.") + here, Tone.GOOD)
        else:
            self._say(f"Type a number from 1 to {1 + len(self.listed[:SHOWN])}, or / to leave.", Tone.WARN)

    def _fill_in(self, form: Form, typed: str) -> None:
        asked = form.asked()
        if asked == "sure":
            if typed == "1":
                self._open(form)
            else:
                self.form = Form()
            return
        value = self._read(asked, typed)
        if isinstance(value, str):
            self._say(value, Tone.WARN)
        elif asked in ("patient", "tooth") and isinstance(value, Digits):
            setattr(form, asked, value.value)
        elif isinstance(value, Digits):
            setattr(form, asked, int(value.value))

    def _read(self, asked: str, typed: str) -> Value | str:
        """Read one answer of the form, or say what is allowed."""
        lengths = {"patient": (1, 12), "tooth": (2, 2)}.get(asked, (1, 3))
        question = DigitsQuestion(kind="digits", id=asked, prompt=asked, least=lengths[0], most=lengths[1])
        value = question.parse(typed, self.house.protocol)
        if isinstance(value, Refusal):
            return value.sentence
        if not isinstance(value, Digits):
            return "Type digits."
        if asked == "tooth" and not is_tooth(value.value):
            return f"{value.value}: no such tooth; ISO 3950 has 11 to 48 and 51 to 85."
        people = [one.number for one in self.house.protocol.person if one.role == asked]
        if asked in ("clinician", "assistant") and int(value.value) not in people:
            return f"{value.value}: no {asked} has that number; type one of {', '.join(map(str, people))}."
        return value

    def _open(self, form: Form) -> None:
        house = self.house
        opening = Opening(
            form.patient, form.tooth, form.clinician, form.assistant, house.protocol_text, house.settings_text
        )
        journal, case = open_new(house.folder, house.clock, opening, house.sid)
        self._hand_over(journal, case)

    def _hand_over(self, journal: Journal, case: Case) -> None:
        typed = TypedLine(journal.path.with_suffix(".typed"))
        house = self.house
        self.session = Session(case, journal, house.clock, typed, sound=house.settings.sound, trace=house.trace)


def _label(one: Listed) -> str:
    if one.header is None:
        return one.fault
    when = local(one.header).strftime("%Y-%m-%d %H:%M")
    return f"patient {one.header.patient}, tooth {one.header.tooth}, opened {when}, {one.entries} entries"
