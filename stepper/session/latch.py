"""The latch that the menus and the screen lock share: whether the screen can be locked, and that somebody wishes it."""

from __future__ import annotations

from dataclasses import dataclass

NUMBER = 14
"""The number of `lock the screen` in the menus of a session and of a replay."""
AT_ONCE = f"/{NUMBER}"
"""The line that locks at once, wherever one is."""
WORDS = "lock the screen"
NONE = "The screen does not lock here: nobody has a PIN (stepper pin), or practice.toml says never."


@dataclass(slots=True)
class Latch:
    """`lockable`: somebody's PIN could open the screen again; `wished`: it is to lock after the line of the moment."""

    lockable: bool = False
    wished: bool = False

    def lock(self) -> None:
        """Wish it, from a menu."""
        self.wished = True

    def taken(self) -> bool:
        """Tell whether it is wished, once."""
        wished, self.wished = self.wished, False
        return wished
