"""What a protocol has to draw from: where its roles are, and answers for each of its questions."""

from __future__ import annotations

import random
from collections.abc import Iterable
from itertools import pairwise, product

from stepper.kinds.asking import Question
from stepper.protocol.models import Protocol

Value = dict[str, object]
Values = dict[str, Value]
HEADERS = ("4711", "36", "37")
"""Patient and tooth of every session, and another tooth."""


def choice(*options: str) -> Value:
    return {"kind": "choice", "options": list(options)}


def digits(value: str) -> Value:
    return {"kind": "digits", "value": value}


def number(value: object) -> Value:
    return {"kind": "number", "value": str(value)}


def depth(short_mm: str) -> Value:
    return {"kind": "depth", "short_mm": short_mm}


def absent(why: str) -> Value:
    return {"kind": "absent", "why": why}


def size(hundredths: int, taper: str) -> Value:
    return {"kind": "size", "size": hundredths, "taper": taper}


def instrument(hundredths: int, taper: str, short_mm: str) -> Value:
    return {"kind": "instrument", "size": hundredths, "taper": taper, "short_mm": short_mm}


class Chart:
    """The questions of a protocol, by role and by step, with a few answers to each."""

    def __init__(self, protocol: Protocol) -> None:
        self.protocol = protocol
        self.steps = [step.id for step in protocol.step]
        self.of_tooth = {step.id for step in protocol.step if step.scope == "T"}
        self.many = {step.id for step in protocol.step if step.many}
        self.where: dict[str, list[tuple[str, str]]] = {}
        self.questions: dict[tuple[str, str], Question] = {}
        self.answers: dict[tuple[str, str], list[Value]] = {}
        for step in protocol.step:
            for question in step.question:
                self.where.setdefault(question.role or "", []).append((step.id, question.id))
                self.questions[(step.id, question.id)] = question
                self.answers[(step.id, question.id)] = _answers(question, protocol)
        self.kinds: dict[object, list[tuple[str, str]]] = {}
        for at, one in self.questions.items():
            if one.role != "canals":
                self.kinds.setdefault(getattr(one, "kind", ""), []).append(at)
        self.incidents = {
            kind.id: {question.id: _answers(question, protocol) for question in kind.question}
            for kind in protocol.incident
        }
        canals = self.question("canals").options_of(protocol)
        self.names, self.labels = [one.id for one in canals], [one.label for one in canals]

    def question(self, role: str) -> Question:
        """The first question of a role."""
        return self.questions[self.where[role][0]]

    def id_of(self, role: str) -> str:
        """The id of the first question of a role."""
        return self.where[role][0][1]

    def purpose(self, step: str) -> str:
        """The id of the question for the purpose of the files of a step."""
        return next(name for where, name in self.where["purpose"] if where == step)

    def any_question(self, draw: random.Random) -> tuple[str, str]:
        """Draw a question, rare kinds as often as common ones."""
        return draw.choice(self.kinds[draw.choice(list(self.kinds))])

    def value(self, draw: random.Random, step: str, name: str) -> Value:
        """Draw an answer to a question."""
        return draw.choice(self.answers[(step, name)])


def _answers(question: Question, protocol: Protocol) -> list[Value]:
    kind = getattr(question, "kind", "")
    if kind == "choice":
        return _choices(question, protocol)
    if kind == "number":
        return _numbers(question)
    if kind == "size":
        return [size(d0, taper) for d0, taper in product((25, 30, 35, 40), ("0.04", "0.04", "0.06"))]
    if kind == "instrument":
        files = product((20, 25, 30, 35), ("0.02", "0.04", "0.06"), ("0", "0.5", "1.5", "-0.5"))
        return [instrument(*file) for file in files]
    if kind == "digits":
        return [digits(one) for one in HEADERS]
    return _OTHERS[kind]


def _choices(question: Question, protocol: Protocol) -> list[Value]:
    options = [option.id for option in question.options_of(protocol)]
    found = [choice(one) for one in options]
    if getattr(question, "many", False):
        found += [choice(*pair) for pair in pairwise(options[1:])]
    return found


def _numbers(question: Question) -> list[Value]:
    if question.role == "working_length":
        return [number(mm) for mm in ("20", "20", "20.5", "21", "17")]
    least, most = getattr(question, "least", 0), getattr(question, "most", 1)
    return [number(one) for one in (least, least + 1, (least + most) // 2, most)]


def _dates(days: Iterable[str]) -> list[Value]:
    return [{"kind": "date", "value": day} for day in days]


_OTHERS: dict[str, list[Value]] = {
    "depth": [depth(mm) for mm in ("0", "0.5", "1", "2", "-0.5")],
    "date": _dates(("2026-03-02", "2026-02-14", "2026-06-30")),
    "expiry": [
        {"kind": "expiry", "year": year, "month": month}
        for year, month in ((2027, 1), (2027, 12), (2026, 3), (2026, 2), (2025, 12))
    ],
    "span": [{"kind": "span", "seconds": seconds} for seconds in (10, 60, 300)],
    "time": [{"kind": "time", "hour": hour, "minute": 30} for hour in (8, 23)],
    "text": [{"kind": "text", "value": words} for words in ("as it was", "other")],
    "lot": [digits("7001"), digits("7009"), {"kind": "scan", "raw": "]d2017001"}],
}
