"""The bundled protocol with one line changed, and what the loader says of it."""

from __future__ import annotations

import re
from functools import cache

import pytest

from stepper.protocol.load import load_text
from stepper.protocol.problems import BadProtocol
from stepper.record.places import bundled

FILE = "scrap.toml"


@cache
def whole() -> str:
    return (bundled("protocols") / "one_visit.toml").read_text(encoding="utf-8")


def change(text: str, after: str, old: str, new: str) -> tuple[str, int]:
    """Replace the first `old` that stands after `after`; give the text and the line, from 1, where it stood."""
    start = text.index(after) if after else 0
    at = text.index(old, start)
    return text[:at] + new + text[at + len(old) :], text.count("\n", 0, at) + 1


def refused(text: str) -> tuple[str, ...]:
    """Give the sentences that a text is refused with."""
    with pytest.raises(BadProtocol) as caught:
        load_text(text, FILE)
    assert all("\n" not in one and one.isprintable() for one in caught.value.sentences)
    return caught.value.sentences


def lines_of(sentences: tuple[str, ...]) -> list[int | None]:
    return [int(found[1]) if (found := re.match(r"[^:]*, line (\d+):", one)) else None for one in sentences]
