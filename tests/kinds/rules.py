"""Cases of rules: what is logged, and what each kind of rule then says, of which canal and on which entries."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from stepper.case.judge import remarks
from stepper.protocol.load import load_text
from stepper.protocol.models import Protocol
from tests.cases import Log
from tests.protocol.scraps import change, whole

Said = list[tuple[int, tuple[int, ...], str]]
"""What a rule says: the canal (0: the tooth), the entries it goes by, the sentence."""


@dataclass(frozen=True)
class Case:
    """A log for a tooth under the bundled protocol with these edits, and the rule that is listened to."""

    kind: str
    rule: str
    tooth: str
    edits: tuple[tuple[str, str, str], ...]
    build: Callable[[Log], Said]

    @property
    def name(self) -> str:
        return f"{self.kind}: {self.build.__name__}"


CASES: list[Case] = []


def case(
    kind: str, rule: str, tooth: str = "46", edits: tuple[tuple[str, str, str], ...] = ()
) -> Callable[[Callable[[Log], Said]], Callable[[Log], Said]]:
    """Register a case; the function logs, and gives what it expects to be said."""

    def keep(build: Callable[[Log], Said]) -> Callable[[Log], Said]:
        CASES.append(Case(kind, rule, tooth, edits, build))
        return build

    return keep


@cache
def edited(edits: tuple[tuple[str, str, str], ...]) -> Protocol:
    """Load the bundled protocol with edits: after which text, what is replaced, by what."""
    text = whole()
    for after, old, new in edits:
        text, _ = change(text, after, old, new)
    return load_text(text, "edited.toml")


def said(log: Log, rule: str) -> Said:
    """Give what a rule says of a log, by canal and by entries."""
    now = log.case()
    found = [(one.canal, one.evidence, one.text) for one in remarks(now, now.told) if one.rule == rule]
    return sorted(found)
