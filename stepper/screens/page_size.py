"""The least size of the screen, known without loading anything that paints."""

from __future__ import annotations

from typing import Final

LEAST_WIDTH: Final = 80
LEAST_HEIGHT: Final = 24

_AROUND_TEXT: Final = 6
"""Rows that are no row of a page of text: header, banner, the page's heading, what is said, the line, the legend."""


def text_height(height: int) -> int:
    """Return the rows of a page of text on a screen of so many rows."""
    return max(height - _AROUND_TEXT, 1)
