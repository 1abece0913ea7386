"""What a parser says when what was typed cannot be read, and how typed text is shown in a sentence."""

from __future__ import annotations

from dataclasses import dataclass

SHOWN_AT_MOST = 40
"""Characters of what was typed that a sentence repeats, those that are spelt out counted by the letter."""


@dataclass(frozen=True)
class Refusal:
    """What was typed is no value here; `sentence` says what, where and what is allowed."""

    sentence: str


def visible(typed: str) -> str:
    """Return the text with every character that has no shape of its own spelt out, as in `<U+001D>`.

    Control characters, direction marks and lone surrogates would otherwise garble a screen, a note or a file.
    """
    if typed.isprintable():  # nearly always, and this is asked of every text on the screen
        return typed
    return "".join(sign if sign.isprintable() else f"<U+{ord(sign):04X}>" for sign in typed)


def shown(typed: str) -> str:
    """Return the text as a sentence repeats it: visible, and cut short where it is long."""
    length = 0
    for kept, sign in enumerate(typed):
        length += len(visible(sign))
        if length > SHOWN_AT_MOST:
            return f"{visible(typed[:kept])}..."
    return visible(typed)


def refuse(typed: str, why: str) -> Refusal:
    """Return the refusal of `typed`, its sentence opening with what was typed."""
    repeated = shown(typed.strip(" \t"))
    return Refusal(f"{repeated}: {why}" if repeated else f"Nothing typed: {why}")
