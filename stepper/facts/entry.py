"""What every entry of a log carries, whatever its kind."""

import datetime as dt

from stepper.facts.record import Kind


class Entry(Kind, frozen=True):
    """What every entry carries. `mono_us` is monotonic since `boot`, in microseconds; `t` is UTC and only shown."""

    seq: int
    t: dt.datetime
    off: str
    tz: str
    mono_us: int
    boot: str
    by: int | None
