"""Opening the desk behind a screen that stands already."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from stepper.screens.desk import Desk

Opener: TypeAlias = "Callable[[], Desk]"
"""Makes the desk; raises `NotOpened` where it cannot be."""


REFUSED = 2
"""Exit code where the terminal cannot show the screens, or there is no desk."""


class NotOpened(Exception):  # noqa: N818 - it is a verdict, said in the user's words
    """There is no desk to sit at: the sentences say why."""
