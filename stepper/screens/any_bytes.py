"""Bytes that are no UTF-8 must not end the input.

Textual's reader decodes strictly: one stray byte from a terminal or a wedge scanner ends its thread, and with it the
program, with a trace full of variables. Here such a byte becomes the replacement character, which no answer accepts.
"""

from __future__ import annotations

import codecs
from collections.abc import Callable
from functools import partial

from textual.drivers import linux_driver


def bear_any_bytes() -> None:
    """Have the reader of keys put a replacement character for what it cannot decode."""
    linux_driver.getincrementaldecoder = _lenient  # type: ignore[assignment, attr-defined]


def _lenient(encoding: str) -> Callable[[], codecs.IncrementalDecoder]:
    return partial(codecs.getincrementaldecoder(encoding), errors="replace")
