"""The least size of the screen, known without loading anything that paints."""

from __future__ import annotations

from typing import Final

LEAST_WIDTH: Final = 80
LEAST_HEIGHT: Final = 24
