"""Mistakes in a protocol, as data: where, what is wrong, what is allowed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from stepper.lines.refusal import shown, visible

Where = tuple[str | int, ...]
"""The way to a key: table names and places, such as ("step", 3, "question", 0, "id")."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake."""

    where: Where
    wrong: str
    allowed: str = ""

    def sentence(self, name: str, raw: object, line: int | None = None) -> str:
        """Say it of the file `name` with the content `raw`; `line` is 1-based and only given where it is known."""
        place = f"{name}, line {line}" if line else name
        what = f"{_way(self.where, raw)} {self.wrong}".strip()
        return visible(f"{place}: {what}" + (f"; {self.allowed}" if self.allowed else ""))


class BadProtocol(Exception):  # noqa: N818 - it is a verdict on the file, said in the user's words
    """A protocol that is refused, with all its problems as ready sentences."""

    def __init__(self, sentences: tuple[str, ...]) -> None:
        super().__init__("\n".join(sentences))
        self.sentences = sentences


def quoted(value: object) -> str:
    """Write a value of the file as a sentence repeats it: cut short where it is long."""
    text = repr(value)
    return text if len(text) <= 60 else f"{text[:60]}..."


def step_into(here: object, part: str | int) -> object:
    """Go one step down into lists and tables; None where there is nothing of that name."""
    if isinstance(here, list) and isinstance(part, int) and part < len(here):
        return here[part]
    return here.get(part) if isinstance(here, dict) else None


def nearest(word: str, known: Iterable[str]) -> str:
    """Offer the nearest known spelling, or list what is known."""
    names = sorted(known)
    close = get_close_matches(word, names, n=1, cutoff=0.6)
    if close:
        return f"did you mean {close[0]!r}?"
    return f"allowed: {', '.join(names[:24])}" + (" ..." if len(names) > 24 else "")


def _way(where: Where, raw: object) -> str:
    """Write the way to a key with the ids that stand there, as `step shaping, question file, key kind`."""
    words: list[str] = []
    here: object = raw
    for part in where:
        here = step_into(here, part)
        if isinstance(part, str):
            words.append(shown(part))
        elif words:
            label = here.get("id", here.get("number", part + 1)) if isinstance(here, dict) else part + 1
            words[-1] += f" {shown(str(label))}"
    return ", ".join(words)
