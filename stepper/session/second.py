"""The start screen's form for a second visit: which session it goes on from, who is there, and once more."""

from __future__ import annotations

from dataclasses import dataclass, field

from stepper.case.carry import carry
from stepper.case.state import Case
from stepper.kinds.outcome import outcome_of
from stepper.note.words import local, person
from stepper.protocol.models import Protocol
from stepper.record.problems import RecordError
from stepper.session.lists import Pages
from stepper.session.previous import to_go_on_from
from stepper.session.store import Earlier, Listed, Opening, read_case
from stepper.session.view import Choice, Prompt
from stepper.sums.iso3950 import describe, is_tooth

TITLE = "Second visit"
MOST_WORDS = 3
"""How many things that were not carried over are named before the visit is opened; the note names them all."""


@dataclass(slots=True)
class SecondForm:
    """What has been answered of a second visit, in the order asked."""

    pages: Pages
    earlier: Earlier | None = None
    people: dict[str, int] = field(default_factory=dict)
    labels: dict[int, str] = field(default_factory=dict)

    def prompt(self, protocol: Protocol, legend: str) -> Prompt:
        """Say what is asked next."""
        if self.earlier is None:
            ways = tuple(Choice(one.number, self._label(int(one.number))) for one in self.pages.choices())
            asked = "Which visit does it go on from?"
            return Prompt(TITLE, "", asked, self.pages.hint(), ways, "", "", "", legend)
        role = self._asked()
        if role:
            question = {"clinician": "Clinician", "assistant": "Who keys"}[role]
            there = tuple(Choice(str(one.number), one.name) for one in protocol.person if one.role == role)
            return Prompt(TITLE, "", question, "a number", there, "", "", "", legend)
        ways = (Choice("1", "yes, open it"), Choice("2", "no, key it again"))
        sure, left = self._sure(protocol, self.earlier), _left_out(self.earlier)
        return Prompt(TITLE, "", sure, "a number", ways, "", "", "", legend, card=left)

    def take(self, protocol: Protocol, typed: str) -> str:
        """Take one answer; gives what to say, or nothing. Raises RecordError for a session that cannot be used."""
        if self.earlier is None:
            return self._choose(typed)
        role = self._asked()
        if not role:
            self.earlier, self.people = None, {}
            return ""
        known = [one.number for one in protocol.person if one.role == role]
        if not typed.isdecimal() or len(typed) > 3 or int(typed) not in known:
            return f"{typed}: no {role} has that number; type one of {', '.join(map(str, known))}."
        self.people[role] = int(typed)
        return ""

    def answers(self, typed: str) -> bool:
        """Tell whether a line says yes to all that was answered."""
        return self.earlier is not None and not self._asked() and typed == "1"

    def opening(self, protocol: str, settings: str) -> tuple[Opening, Earlier]:
        """Give what the session is opened with: patient and tooth are those of the earlier one, as corrected there."""
        assert self.earlier is not None
        told = self.earlier.case.told
        people = self.people
        return (
            Opening(told.patient, told.tooth, people["clinician"], people["assistant"], protocol, settings),
            self.earlier,
        )

    def _choose(self, typed: str) -> str:
        if not typed and self.pages.turn():
            return ""
        listed = self.pages.of(int(typed)) if typed.isdecimal() and len(typed) < 5 else None
        if listed is None:
            return f"Type a number from 1 to {self.pages.last}, or / to go back."
        self.earlier = to_go_on_from(listed.path)
        return ""

    def _asked(self) -> str:
        return next((role for role in ("clinician", "assistant") if role not in self.people), "")

    def _label(self, number: int) -> str:
        """Name a session; it is read once, since every repaint asks for it."""
        listed = self.pages.of(number)
        if number not in self.labels and listed is not None:
            self.labels[number] = _label(listed)
        return self.labels[number]

    def _sure(self, protocol: Protocol, earlier: Earlier) -> str:
        told = earlier.case.told
        tooth = f"tooth {told.tooth}" + (f", {describe(told.tooth)}" if is_tooth(told.tooth) else "")
        mended = " (corrected then, and not confirmed)" if told.header_unconfirmed else ""
        text = f"Patient {told.patient}, {tooth}{mended}, second visit after {local(earlier.case.header).date()}"
        return f"{text}, {person(protocol, self.people['clinician'])}. Right?"


def _left_out(earlier: Earlier) -> tuple[str, ...]:
    """Say what is not carried over as certain, the first of it where there is much."""
    left = [f"{one.name}, {words}" for one in carry(earlier.case) for words in one.left_out]
    lines = [f"Not carried over as certain: {words}." for words in left[:MOST_WORDS]]
    return (
        (*lines, f"And {len(left) - MOST_WORDS} more; the note names all.") if len(left) > MOST_WORDS else tuple(lines)
    )


def _label(one: Listed) -> str:
    try:
        _, case, why = read_case(one.path)
    except RecordError as error:
        return str(error)
    if case is None:
        return why
    told = case.told
    ended = "damaged" if one.fault else _outcomes(case)
    return f"patient {told.patient}, tooth {told.tooth}, {local(case.header).date()}: {ended}"


def _outcomes(case: Case) -> str:
    """Write the outcomes in few words, canals that ended alike together."""
    alike: dict[str, list[str]] = {}
    for number, canal in case.told.canals.items():
        alike.setdefault(outcome_of(case.told, number) or "no outcome", []).append(canal.name)
    return ", ".join(f"{' '.join(names)} {ended.replace('_', ' ')}" for ended, names in alike.items())
