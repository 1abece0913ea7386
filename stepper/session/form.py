"""The start screen's form for a new session: whose tooth, who is there, and once more."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.facts.values import Digits
from stepper.kinds.questions.digits import DigitsQuestion
from stepper.lines.refusal import Refusal
from stepper.note.words import person
from stepper.protocol.models import Protocol
from stepper.session.store import Opening
from stepper.session.view import Choice, Prompt
from stepper.sums.iso3950 import describe, is_tooth

TITLE = "New session"
QUESTIONS = {
    "patient": ("Patient number", "1 to 12 digits, no name"),
    "tooth": ("Tooth", "two digits, ISO 3950, as 36"),
    "clinician": ("Clinician", "a number"),
    "assistant": ("Who keys", "a number"),
}
DIGITS = {"patient": (1, 12), "tooth": (2, 2)}


@dataclass(slots=True)
class Form:
    """What has been answered of a new session, in the order asked."""

    patient: str = ""
    tooth: str = ""
    clinician: int = 0
    assistant: int = 0

    def asked(self) -> str:
        """Name what is asked next."""
        return next((name for name in QUESTIONS if not getattr(self, name)), "sure")

    def prompt(self, protocol: Protocol, legend: str) -> Prompt:
        """Say what is asked next."""
        asked = self.asked()
        if asked == "sure":
            tooth = f"tooth {self.tooth}, {describe(self.tooth)}"
            text = f"Patient {self.patient}, {tooth}, {person(protocol, self.clinician)}. Right?"
            ways = (Choice("1", "yes, open it"), Choice("2", "no, key it again"))
            return Prompt(TITLE, "", text, "a number", ways, "", "", "", legend)
        question, hint = QUESTIONS[asked]
        people = tuple(Choice(str(one.number), one.name) for one in protocol.person if one.role == asked)
        return Prompt(TITLE, "", question, hint, people, "", "", "", legend)

    def take(self, protocol: Protocol, typed: str) -> str:
        """Take one answer; gives what is allowed instead, or nothing. All is asked anew where it was not right."""
        asked = self.asked()
        if asked == "sure":
            self.patient, self.tooth, self.clinician, self.assistant = "", "", 0, 0
            return ""
        least, most = DIGITS.get(asked, (1, 3))
        question = DigitsQuestion(id=asked, prompt=asked, least=least, most=most)
        value = question.parse(typed, protocol)
        if isinstance(value, Refusal):
            return value.sentence
        if not isinstance(value, Digits):
            return "Type digits."
        if asked == "tooth" and not is_tooth(value.value):
            return f"{value.value}: no such tooth; ISO 3950 has 11 to 48 and 51 to 85."
        if asked in DIGITS:
            setattr(self, asked, value.value)
            return ""
        people = [one.number for one in protocol.person if one.role == asked]
        if int(value.value) not in people:
            return f"{value.value}: no {asked} has that number; type one of {', '.join(map(str, people))}."
        setattr(self, asked, int(value.value))
        return ""

    def answers(self, typed: str) -> bool:
        """Tell whether a line says yes to all that was answered."""
        return self.asked() == "sure" and typed == "1"

    def opening(self, protocol: str, settings: str) -> Opening:
        """Give what the session is opened with."""
        return Opening(self.patient, self.tooth, self.clinician, self.assistant, protocol, settings)
