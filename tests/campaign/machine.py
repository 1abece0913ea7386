"""Hypothesis plays with one session: entries, crashes in a write, clocks set back, a second writer, bits turned over.

At all times the entries in the file are those that were acknowledged.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import tempfile
from collections.abc import Callable
from pathlib import Path

from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from stepper.record.clock import Moment, since_1970_us
from stepper.record.journal import Journal
from stepper.record.members import Entry
from stepper.record.problems import Busy, NotSaved, RecordError, Retired
from stepper.record.system import Os
from stepper.record.verify import judge, read
from tests.campaign.disk import Killed
from tests.campaign.story import RECOVERED
from tests.campaign.tally import Tally, Trial, as_it_is
from tests.record.sessions import SID, START, put

STEPS = 30
_TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
_VALUES = st.none() | st.booleans() | st.integers(-(2**53), 2**53) | _TEXTS | st.lists(st.integers(0, 9), max_size=4)


class Wayward:
    """A clock that is set back and forward, and a machine that is started anew."""

    test = True

    def __init__(self) -> None:
        self.wall, self.mono_us, self.boots = START, 0, 0

    def now(self) -> Moment:
        self.mono_us += 1
        return Moment(since_1970_us(self.wall), "+00:00", "", self.mono_us, f"boot {self.boots}")


class Fails(Os):
    """Ends the program after so many bytes of the next write, or fails the next call of a name."""

    def __init__(self) -> None:
        self.crash_after: int | None = None
        self.failing = ""

    def write(self, handle: int, data: bytes) -> int:
        self._fail("write")
        if self.crash_after is None:
            return super().write(handle, data)
        part = data[: self.crash_after % (len(data) + 1)]
        self.crash_after = None
        super().write(handle, part) if part else None
        raise Killed

    def fdatasync(self, handle: int) -> None:  # noqa: ARG002
        self._fail("fdatasync")

    def fsync(self, handle: int) -> None:
        """No power is cut here, so that nothing has to wait for the disk."""

    def ftruncate(self, handle: int, size: int) -> None:
        self._fail("ftruncate")
        super().ftruncate(handle, size)

    def _fail(self, name: str) -> None:
        if self.failing == name:
            self.failing = ""
            raise OSError(5, "Input/output error")


class Record(RuleBasedStateMachine):
    """One session, and the list of what was acknowledged."""

    without: Callable[[Os], Os] = staticmethod(as_it_is)

    def __init__(self) -> None:
        super().__init__()
        memory = Path("/dev/shm")
        self.place = tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None)
        self.clock, self.fails = Wayward(), Fails()
        self.system = type(self).without(self.fails)
        self.acknowledged: list[Entry] = []
        self.unsure: str | None = None
        self.journal: Journal | None = None
        self.number = 0

    @initialize()
    def begin(self) -> None:
        self.journal = Journal.create(Path(self.place.name), self.clock, {}, 1, sid=SID, system=self.system)
        self.acknowledged = [self.journal.last]

    @property
    def path(self) -> Path:
        return Path(self.place.name) / f"{SID}.jsonl"

    @precondition(lambda self: self.journal is not None)
    @rule(value=_VALUES, by=st.none() | st.integers(1, 5))
    def append(self, value: object, by: int | None) -> None:
        assert self.journal is not None
        self.acknowledged.append(put(self.journal, {"value": value}, by))

    @precondition(lambda self: self.journal is not None)
    @rule(after=st.integers(0, 2_000), size=st.integers(0, 1_500))
    def crash(self, after: int, size: int) -> None:
        self.fails.crash_after = after
        self._appended_to_no_avail("x" * size, Killed)

    @precondition(lambda self: self.journal is not None)
    @rule(call=st.sampled_from(["write", "fdatasync"]))
    def fail(self, call: str) -> None:
        self.fails.failing = call
        self._appended_to_no_avail("y", NotSaved if call == "write" else Retired)

    def _appended_to_no_avail(self, text: str, expected: type[BaseException]) -> None:
        assert self.journal is not None
        self.number += 1
        mark = f"{self.number}{text}"
        try:
            put(self.journal, {"text": mark})
        except expected:
            pass
        else:
            raise AssertionError("acknowledged, and it was never written")
        if expected is not NotSaved:
            self.unsure = mark
            self.close()

    @precondition(lambda self: self.journal is not None)
    @rule()
    def close(self) -> None:
        assert self.journal is not None
        self.journal.close()
        self.journal = None

    @precondition(lambda self: self.journal is None)
    @rule(crash_after=st.none() | st.integers(0, 600))
    def reopen(self, crash_after: int | None) -> None:
        """Open it again; the program may be killed while it keeps an unfinished end."""
        self.fails.crash_after = crash_after
        try:
            opened = Journal.resume(self.path, self.clock, system=self.system)
        except Killed:
            return
        finally:
            self.fails.crash_after = None
        self.journal = opened.journal
        self._take_in(list(opened.entries))
        self.unsure = None

    def _take_in(self, entries: list[Entry]) -> None:
        """One entry more may be there, the one that was being written when the program ended, and what was kept."""
        count = len(self.acknowledged)
        assert entries[:count] == self.acknowledged
        for entry in entries[count:]:
            assert entry["kind"] == RECOVERED or entry["text"] == self.unsure
        facts = [entry for entry in entries[count:] if entry["kind"] != RECOVERED]
        assert len(facts) <= 1
        assert not facts or self.unsure is not None
        self.acknowledged = entries

    @rule(seconds=st.integers(-(10**9), 10**9))
    def set_the_clock(self, seconds: int) -> None:
        with contextlib.suppress(OverflowError):
            self.clock.wall += dt.timedelta(seconds=seconds)

    @rule()
    def start_the_machine_anew(self) -> None:
        self.clock.boots += 1
        self.clock.mono_us = 0

    @precondition(lambda self: self.journal is not None)
    @rule()
    def second_writer(self) -> None:
        try:
            Journal.resume(self.path, self.clock).journal.close()
        except Busy:
            return
        raise AssertionError("a second writer was let in")

    @rule(place=st.integers(0), bit=st.integers(0, 7))
    def turn_a_bit_over(self, place: int, bit: int) -> None:
        """Turn it over in a copy: it is seen, and what stands before it is believed."""
        data = bytearray(self.path.read_bytes())
        data[place % len(data)] ^= 1 << bit
        try:
            found = judge(bytes(data), SID)
        except RecordError:
            return
        assert found.damage is not None or found.unfinished
        assert len(data[: found.size]) <= place % len(data)
        assert list(found.entries) == self.acknowledged[: len(found.entries)]

    @invariant()
    def what_was_acknowledged_is_in_the_file(self) -> None:
        if not self.acknowledged:
            return
        found = read(self.path)
        assert found.damage is None
        entries, count = list(found.entries), len(self.acknowledged)
        assert entries[:count] == self.acknowledged
        if self.journal is not None:
            assert (len(entries), found.unfinished) == (count, b"")
        else:
            assert len(entries) <= count + 2

    def teardown(self) -> None:
        if self.journal is not None:
            self.journal.close()
        self.place.cleanup()


def plays(trial: Trial) -> Tally:
    """Play so many games, of at most so many steps each."""
    tally = Tally("games of the state machine")

    class Game(Record):
        without = staticmethod(trial.without)

        def teardown(self) -> None:
            super().teardown()
            tally.one("played")

    limits = settings(
        max_examples=trial.rounds,
        stateful_step_count=STEPS,
        database=None,
        deadline=None,
        phases=[Phase.generate, Phase.shrink] if trial.without is as_it_is else [Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    try:
        run_state_machine_as_test(seed(trial.seed)(Game), settings=limits)
    except Exception as failure:
        notes = "\n".join(getattr(failure, "__notes__", ()))
        tally.violated(f"{type(failure).__name__}: {failure}\n{notes}")
    return tally
