"""The time of an entry: on the wall, and on a clock that nobody can set."""

import datetime as dt
import os
import time
import uuid
from pathlib import Path
from typing import Protocol
from zoneinfo import ZoneInfo

from msgspec import Struct


class Moment(Struct, frozen=True, gc=False):
    """One instant.

    `wall_us` counts microseconds since 1970 by the wall clock, in UTC; `offset` is what the wall clock here was ahead
    of that ("+01:00"); `tz` is the IANA name of the zone, or "" where it is not known. `mono_us` counts microseconds
    since the machine was started (time asleep included, where the system can tell); it compares only with moments of
    the same `boot`.
    """

    wall_us: int
    offset: str
    tz: str
    mono_us: int
    boot: str

    @property
    def wall(self) -> dt.datetime:
        """The time by the wall clock, in UTC."""
        return _EPOCH + self.wall_us * _MICROSECOND


_EPOCH = dt.datetime.fromtimestamp(0, dt.UTC)
_MICROSECOND = dt.timedelta(microseconds=1)
_QUARTER_US = 15 * 60 * 1_000_000
_BOOTTIME = getattr(time, "CLOCK_BOOTTIME", None)
"""Unlike the plain monotonic clock it counts while asleep."""


class Clock(Protocol):
    """Anything that tells the time; `test` is true for a clock that was set, so that its sessions are practice."""

    @property
    def test(self) -> bool:
        """Whether this clock was set."""

    def now(self) -> Moment:
        """Tell the time now."""


class SystemClock:
    """The clock of this machine."""

    test = False

    def __init__(self) -> None:
        self._tz = _zone_name()
        self._boot = _boot_id()
        self._quarter, self._offset = -1, ""

    def now(self) -> Moment:
        """Tell the time now."""
        wall_us = time.time_ns() // 1000
        quarter = wall_us // _QUARTER_US
        if quarter != self._quarter:  # clocks are put forward and back at the turn of one, wherever they are
            self._quarter = quarter
            self._offset = offset_text(dt.datetime.fromtimestamp(quarter * _QUARTER_US // 1_000_000).astimezone())
        return Moment(wall_us, self._offset, self._tz, _since_start_us(), self._boot)


class SetClock:
    """A clock for tests, practice and samples: it starts where it is told and moves only as it is told.

    Each call of `now` moves it on by `tick_s` seconds afterwards. Its zone is that of `start`.
    """

    test = True

    def __init__(self, start: dt.datetime, tick_s: float = 0.0) -> None:
        if start.tzinfo is None:
            raise ValueError("A set clock starts at a time with an offset from UTC, such as 2026-11-24T08:40:00+01:00.")
        self._zone = start.tzinfo
        self._wall = start.astimezone(dt.UTC)
        self._tick_s = tick_s

    def advance(self, seconds: float) -> None:
        """Move the clock on by so many seconds."""
        self._wall += dt.timedelta(seconds=seconds)

    def now(self) -> Moment:
        """Tell the time set; `mono_us` is counted from 1970, so that it also grows from one run to a later one."""
        wall = self._wall
        self.advance(self._tick_s)
        tz = self._zone.key if isinstance(self._zone, ZoneInfo) else ""
        wall_us = since_1970_us(wall)
        return Moment(wall_us, offset_text(wall.astimezone(self._zone)), tz, wall_us, "set clock")


def since_1970_us(wall: dt.datetime) -> int:
    """Give the microseconds of an aware time since 1970."""
    return (wall - _EPOCH) // _MICROSECOND


def utc_text(wall: dt.datetime) -> str:
    """Write an aware time in UTC with all six decimals, so that such texts sort as the times do."""
    return wall.astimezone(dt.UTC).isoformat(timespec="microseconds").removesuffix("+00:00") + "Z"


def offset_text(local: dt.datetime) -> str:
    """Write how far an aware local time is ahead of UTC, in whole minutes: `+01:00`."""
    ahead = local.utcoffset()
    minutes = int(ahead.total_seconds()) // 60 if ahead else 0
    hours, rest = divmod(abs(minutes), 60)
    return f"{'-' if minutes < 0 else '+'}{hours:02d}:{rest:02d}"


def _since_start_us() -> int:
    return (time.monotonic_ns() if _BOOTTIME is None else time.clock_gettime_ns(_BOOTTIME)) // 1000


def _boot_id() -> str:
    try:
        return Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError):
        return str(uuid.uuid4())


def _zone_name() -> str:
    named = os.environ.get("TZ") or os.path.realpath("/etc/localtime").partition("zoneinfo/")[2]
    try:
        return ZoneInfo(named).key
    except (ValueError, OSError, LookupError):
        return ""
