"""What a terminal may send besides keys that Textual knows: it must neither end the input nor type what was not meant.

Textual's reader decodes strictly: one stray byte from a terminal or a wedge scanner ends its thread, and with it the
program, with a trace full of variables. Here such a byte becomes the replacement character, which no answer accepts.
And a sequence that it does not know it takes for so many typed letters; here the keypad's are known.
"""

from __future__ import annotations

import codecs
from collections.abc import Callable
from functools import partial
from types import SimpleNamespace
from typing import Final

from textual._ansi_sequences import ANSI_SEQUENCES_KEYS
from textual.drivers import linux_driver

from stepper.lines.key_names import APPLICATION_KEYPAD, NUM_LOCK_JUNK

_KEYPAD: Final = {
    "\x1bOE": NUM_LOCK_JUNK,
    "\x1bOX": "=",
    "\x1bOl": (SimpleNamespace(value=APPLICATION_KEYPAD),),
}
"""Of a keypad in application mode: its 5 while Num Lock is off, and two that few keypads have."""


def bear_any_bytes() -> None:
    """Have the reader of keys put a replacement character for what it cannot decode, and know every keypad."""
    linux_driver.getincrementaldecoder = _lenient  # type: ignore[assignment, attr-defined]
    ANSI_SEQUENCES_KEYS.update(_KEYPAD)  # type: ignore[attr-defined]


def _lenient(encoding: str) -> Callable[[], codecs.IncrementalDecoder]:
    return partial(codecs.getincrementaldecoder(encoding), errors="replace")
