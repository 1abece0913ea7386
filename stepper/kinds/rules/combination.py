"""Two answers that do not go together."""

from typing import ClassVar

from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Name, Place, Table


class Side(Table, frozen=True):
    """One of the two: a question named `step.question` and the options that count."""

    question: Place
    any: tuple[Name, ...]


class Combination(Rule, tag="combination", frozen=True):
    """Speaks when both sides are chosen, both of the tooth. Gaps: one, other."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"one", "other"})

    one: Side
    other: Side

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.one.question, self.other.question)

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:  # noqa: ARG002 - it names its questions
        """Look at both."""
        if canal:
            return None
        first, second = seen.view.fact(self.one.question, 0), seen.view.fact(self.other.question, 0)
        one = set(seen.view.chosen(self.one.question, 0)) & set(self.one.any)
        other = set(seen.view.chosen(self.other.question, 0)) & set(self.other.any)
        if first is None or second is None or not one or not other:
            return None
        words = {"one": ", ".join(sorted(one)), "other": ", ".join(sorted(other))}
        return Finding(
            tuple(sorted({first.seq, second.seq})), {key: text.replace("_", " ") for key, text in words.items()}
        )
