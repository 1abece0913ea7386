"""One key after another becomes the line. Every key passes here in the order it arrived, and nothing waits.

Keys come under the names that a terminal program gives them; plain and kitty-protocol terminals name the same keypad
key differently, and some send no character with it. The name is looked at first, the character second.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias, cast

from stepper.lines.grammar import KEYPAD
from stepper.lines.key_names import (
    ARROWS,
    ENTER,
    NAVIGATION,
    NUM_LOCK_JUNK,
    SILENT,
    is_lone_separator,
    is_untold_sign,
    sign_of,
)
from stepper.lines.refusal import shown

DOUBLED_ENTER_S: Final = 0.7
"""An empty Enter no later than this, in seconds, after the last Enter is a bounce of the finger."""

MOST_TYPED: Final = 500
"""Characters of a typed line."""

MOST_SCANNED: Final = 2_000
"""Characters of a scan, and of words of a person's own."""

MASK: Final = "•"
"""Stands for each character of a line that nobody may read; no key types it."""

NUM_LOCK: Final = "Num Lock is off; press Num Lock, then type on. Nothing was changed"
ARROW: Final = "That was an arrow key: if a digit was meant, Num Lock is off"
_MOVED: Final = "Num Lock is off; press Num Lock. The keys before it were arrows and have moved: look where you are"
_LOST_ENTER: Final = (
    "Enter was not taken: the key before it was no digit. If one was meant, press Num Lock and type it; "
    "if not, press Enter again"
)

Direction: TypeAlias = Literal["up", "down", "left", "right"]


@dataclass(frozen=True)
class Typed:
    """The line has changed; this is all of it."""

    line: str


@dataclass(frozen=True)
class Entered:
    """Enter was pressed on this line; the next one begins empty."""

    line: str


@dataclass(frozen=True)
class Ignored:
    """A key that rightly does nothing: a doubled Enter, or a key such as Shift on its own."""


@dataclass(frozen=True)
class NotOurs:
    """A key that is no part of a line; whoever listens for it may have it."""

    key: str


@dataclass(frozen=True)
class NumLockOff:
    """The keypad sends cursor keys; the line is as it was."""

    sentence: str


@dataclass(frozen=True)
class KeyRefused:
    """Something typed was not taken, and the sentence says so."""

    sentence: str


@dataclass(frozen=True)
class MoveWish:
    """An arrow on an empty line: move between canals or steps."""

    direction: Direction


@dataclass(frozen=True)
class WipeLine:
    """Esc: the line is forgotten."""


@dataclass(frozen=True)
class TakeOffer:
    """Tab on an empty line: take what is offered."""


@dataclass(frozen=True)
class OpenMenu:
    """A question mark on an empty line."""


Press: TypeAlias = (
    Typed | Entered | Ignored | NotOurs | NumLockOff | KeyRefused | MoveWish | WipeLine | TakeOffer | OpenMenu
)


class KeyBuffer:
    """The line typed so far, and what the next key makes of it.

    A line of which a character was lost (it was full, or a terminal did not say which sign was meant) is never
    entered: Enter wipes it and says so, because a scan cut short may look like another, sound one. Backspace means
    that a person has looked, so the line may be entered again.

    While Num Lock is off the keypad's digits are lost, and its 2, 4, 6 and 8 are arrows, which move on an empty line.
    So an Enter right after such a key is not taken the first time: the line lacks a digit, if one was meant.

    `bounces` is False where an empty Enter can do no harm: then it may follow as fast as it will.

    A masked line is entered as it was typed, and read nowhere else. `words` are a person's own, and may be long.
    """

    def __init__(self) -> None:
        self._line = ""
        self._incomplete = False
        self._last_enter: float | None = None
        self._lost_digit: Literal["", "arrow", "other"] = ""
        self.bounces = True
        self.words = False
        self._masked = False

    @property
    def line(self) -> str:
        """All that is typed since the last Enter, separators of a scan included."""
        return self._line

    @property
    def seen(self) -> str:
        """The line as it may be shown."""
        return MASK * len(self._line) if self._masked else self._line

    def mask(self, *, on: bool) -> bool:
        """Mask what is typed from now on, or show it again. Tell whether it begins, which wipes what was half typed."""
        begins = on and not self._masked
        if begins:
            self._begin("")
        self._masked = on
        return begins

    @property
    def scanning(self) -> bool:
        """Whether the line is a scan: it opens with `]` and lasts until Enter."""
        return self._line.startswith("]")

    def press(self, key: str, character: str | None, now: float) -> Press:
        """Take one key, by its name and the character it carries, at `now` in seconds of a clock that never jumps."""
        if key in ENTER:
            return self._enter(now)
        if key in ARROWS or key in NAVIGATION or key.startswith("kp_") or key == NUM_LOCK_JUNK:
            return self._no_digit(key)
        if key in SILENT:
            return Ignored()
        self._lost_digit = ""
        if key == "backspace":
            return self._backspace()
        if key == "escape":
            self._begin("")
            return WipeLine()
        if key == "tab":
            return Ignored() if self._line else TakeOffer()
        return self._press_sign(key, character)

    def paste(self, text: str, now: float) -> list[Press]:
        """Take a pasted text, character for character; a line end in it is Enter.

        Of characters that follow one another only the last `Typed` is told, and the same refusal only once.
        """
        self._lost_digit = ""
        results: list[Press] = []
        for sign in text.replace("\r\n", "\n"):
            result = self._enter(now) if sign in "\r\n" else self._add(sign)
            if results and isinstance(result, Typed) and isinstance(results[-1], Typed):
                results[-1] = result
            elif not (results and isinstance(result, KeyRefused) and results[-1] == result):
                results.append(result)
        return results

    def _begin(self, line: str) -> None:
        self._line = line
        self._incomplete = False

    def _no_digit(self, key: str) -> Press:
        if key in ARROWS and not self._line:
            self._lost_digit = "arrow"
            return MoveWish(cast(Direction, key))
        moved = self._lost_digit == "arrow"
        self._lost_digit = self._lost_digit or "other"
        return NumLockOff(_MOVED if moved else NUM_LOCK)

    def _enter(self, now: float) -> Press:
        lost_digit, self._lost_digit = self._lost_digit, ""
        if self.bounces and lost_digit:
            return NumLockOff(_LOST_ENTER)
        line, seen, since = self._line, self.seen, self._last_enter
        self._last_enter = now
        soon = since is not None and now - since <= DOUBLED_ENTER_S
        if self.bounces and soon and not line.strip(" \t"):
            return Ignored()
        incomplete = self._incomplete
        self._begin("")
        if incomplete:
            what = "scan it again" if line.startswith("]") else "type it again"
            return KeyRefused(f"{shown(seen)}: not entered, since not all of it was taken; {what}")
        return Entered(line)

    def _backspace(self) -> Press:
        self._begin(self._line[:-1])
        return Typed(self._line)

    def _press_sign(self, key: str, character: str | None) -> Press:
        if is_untold_sign(key, character):
            self._incomplete = bool(self._line)
            return KeyRefused("This terminal does not say which sign was typed with Shift; the sign was not taken")
        sign = sign_of(key, character)
        if sign is None or (not self._line and is_lone_separator(key)):
            return NotOurs(key)
        if sign == "?" and not self._line:
            return OpenMenu()
        return self._add(sign)

    def _add(self, sign: str) -> Press:
        if sign == "," and KEYPAD.issuperset(self._line):
            sign = "."  # the keypad's decimal comma; in a scan or in words a comma stays one
        most = MOST_SCANNED if self.scanning or self.words else MOST_TYPED
        if len(self._line) + len(sign) > most:
            self._incomplete = True
            return KeyRefused(f"Line full: {most} characters at most, the rest is not taken. Enter wipes the line")
        self._line += sign
        return Typed(self._line)
