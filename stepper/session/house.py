"""The house: where sessions live, what new ones are opened under, and whether its sound can be heard."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from stepper.facts.ringing import Tested
from stepper.protocol.models import Protocol
from stepper.protocol.settings import Settings
from stepper.record.clock import Clock
from stepper.session.sound_test import WORDS, SoundTest, day_of, drawn, tested
from stepper.session.tracing import Trace

if TYPE_CHECKING:
    from stepper.session.replay import Replay


@dataclass(frozen=True, slots=True)
class House:
    """Where sessions live and what new ones are opened under. `tick` moves a set clock; `sid` names its session.

    `rings` draws how often the sound test rings.
    """

    folder: Path
    clock: Clock
    protocol: Protocol
    protocol_text: str
    settings: Settings
    settings_text: str
    tick: Callable[[], None]
    trace: Trace | None = None
    sid: str | None = None
    rings: Callable[[], int] = drawn

    @property
    def tested(self) -> Tested:
        """What the sound test of today came to."""
        return tested(self.folder, day_of(self.clock.now()))

    @property
    def sound(self) -> str:
        """Say in the list of the start screen how the sound test stands."""
        return WORDS[self.tested] if self.settings.sound else "sound test: sound is switched off"

    def sound_test(self) -> SoundTest | None:
        """Begin the sound test; there is none while sound is switched off."""
        return SoundTest(self.folder, day_of(self.clock.now()), self.rings()) if self.settings.sound else None

    def replay(self, path: Path, why: str) -> Replay:
        """Open a session to be replayed; `why` it is only to be read, if it is. Raises Unreadable."""
        from stepper.session.replay import open_replay  # the chair is up without what a replay needs
        from stepper.session.review import Study

        return open_replay(path, why, Study(self.clock, self.folder.parent))
