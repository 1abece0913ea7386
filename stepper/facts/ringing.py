"""The entries about the program's own sound: that it rang, and whether it can be heard."""

from enum import StrEnum

from stepper.facts.entry import Entry


class Tested(StrEnum):
    """What the sound test of the day came to: heard, not heard, or not made today."""

    HEARD = "heard"
    NOT_HEARD = "not_heard"
    NOT_TODAY = "not_today"


class Sound(Entry, tag="sound", frozen=True):
    """The program rang for a remark; `silent` where the practice has switched sound off."""

    remark: str
    times: int
    silent: bool


class SoundState(Entry, tag="sound_state", frozen=True):
    """Whether the program can be heard, as a session is opened or resumed. It is no fact of the visit.

    `on`: the practice has not switched sound off; `tested`: the sound test of that day.
    """

    on: bool
    tested: Tested
