"""The names of keys, and the sign that each one stands for.

Plain terminals call the keypad's signs `slash asterisk minus plus full_stop`; terminals that speak the kitty
keyboard protocol call them `divide multiply subtract add decimal`, and older ones of these send no character with
them. Any other sign is called by its Unicode name in small letters, or by one of a few shorter names.
"""

from __future__ import annotations

import unicodedata
from typing import Final

ENTER: Final = frozenset({"enter", "ctrl+j"})
"""Inside a terminal multiplexer, and before the program holds the terminal, the keypad's Enter is a line feed."""

ARROWS: Final = frozenset({"up", "down", "left", "right"})
NAVIGATION: Final = frozenset({"home", "end", "insert", "delete", "pageup", "pagedown"})
"""What the keypad sends besides the arrows while Num Lock is off; some terminals send names in `kp_` instead."""

NUM_LOCK_JUNK: Final = "\ue053"
"""The keypad's 5 under the kitty protocol while Num Lock is off."""

SILENT: Final = frozenset(
    {"num_lock", "caps_lock", "scroll_lock", "iso_level3_shift", "iso_level5_shift", "<ignore>"}
    | {f"{side}_{name}" for side in ("left", "right") for name in ("shift", "control", "alt", "super", "hyper", "meta")}
)
"""Keys that some terminals report when they are pressed on their own."""

_OPERATORS: Final = {"divide": "/", "multiply": "*", "subtract": "-", "add": "+"}
"""Named for what they do, whatever character a terminal sends with them."""

_SCANNER_SIGNS: Final = {
    "ctrl+d": "\x04",
    "ctrl+backslash": "\x1c",
    "ctrl+right_square_bracket": "\x1d",
    "ctrl+circumflex_accent": "\x1e",
    "ctrl+underscore": "\x1f",
}
"""Separators inside a code (EOT, FS, GS, RS, US), which a scanner sends as Ctrl and a key."""

_NAMED_SIGNS: Final = {
    **{unicodedata.name(sign).lower().replace(" ", "_").replace("-", "_"): sign for sign in map(chr, range(32, 127))},
    **{"slash": "/", "backslash": "\\", "at": "@", "minus": "-", "plus": "+", "underscore": "_"},
    **{"decimal": ".", "separator": ",", "equal": "="},
    **_OPERATORS,
}

_LEAVING: Final = "Ctrl+Q leaves: all that was entered is kept"
_SAID: Final = {
    "ctrl+c": f"Ctrl+C does nothing here. {_LEAVING}",
    "ctrl+z": f"Ctrl+Z does nothing here: . and Enter corrects an entry. {_LEAVING}",
}
APPLICATION_KEYPAD: Final = "application_keypad"
"""A key that only an application keypad sends, and that means + on some terminals and a comma on others."""

_FUNCTION_KEYS: Final = {"f1": "Num Lock", "f2": "/", "f3": "*", "f4": "-", APPLICATION_KEYPAD: "+"}
"""What the keypad sends in application mode on some terminals, and the key that was then pressed."""


def is_lone_separator(key: str) -> bool:
    """Say whether the key is one that a person may press by mistake, and that no scan begins with."""
    return key in _SCANNER_SIGNS and key != "ctrl+right_square_bracket"


def sign_of(key: str, character: str | None) -> str | None:
    """Return the character that a key types, or None where it types none."""
    if named := _SCANNER_SIGNS.get(key) or _OPERATORS.get(key):
        return named
    if character and unicodedata.category(character[0]) not in ("Cc", "Co"):
        return character
    if character is None and key.startswith("shift+"):
        plain = _sign_named(key.removeprefix("shift+")) or ""
        return plain.upper() if plain.isalpha() or plain == " " else None
    return _sign_named(key)


def is_untold_sign(key: str, character: str | None) -> bool:
    """Say whether the key is Shift with a sign whose outcome the terminal does not tell: layouts differ there."""
    shifted = character is None and key.startswith("shift+") and _sign_named(key.removeprefix("shift+"))
    return bool(shifted) and sign_of(key, character) is None


def _sign_named(key: str) -> str | None:
    return key if len(key) == 1 and key.isprintable() else _NAMED_SIGNS.get(key)


def said_of(key: str) -> str:
    """Return what to say of a key that is no part of a line."""
    if meant := _FUNCTION_KEYS.get(key):
        return (
            f"The terminal sent a function key; nothing was changed. If it was {meant} on the keypad, "
            "switch off the terminal's application keypad mode"
        )
    return _SAID.get(key) or f"The key {key} means nothing here; nothing was changed"
