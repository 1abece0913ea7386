"""The note says where the wall clock jumped, and nothing where it ran on: asleep, over midnight, kept right."""

from __future__ import annotations

import datetime as dt

import pytest
from msgspec.structs import replace

from stepper.note.jumps import jumps
from tests.cases import Log, examined


def visit() -> Log:
    return examined(Log())


def told(log: Log) -> list[str]:
    return [one.text for one in jumps(log.case())]


def moved(log: Log, by: dt.timedelta, *, off: str | None = None, boot: str | None = None, start: int = 4) -> Log:
    """From an entry on, the wall clock says something else; the machine's own clock runs on."""
    for seq in range(start, len(log.entries)):
        one = log.entries[seq]
        log.entries[seq] = replace(one, t=one.t + by, off=off or one.off, boot=boot or one.boot)
    return log


def test_a_clock_that_runs_on_is_not_spoken_of() -> None:
    log = visit()
    log.wait(60 * 26)  # over midnight, and asleep: the machine's own clock counts that too
    log.answer("diagnosis", row=1, restorable="yes")
    assert told(log) == []


@pytest.mark.parametrize(
    ("by", "said"),
    [
        (dt.timedelta(hours=1, seconds=5), "the clock was put forward by 1:00:05 h"),
        (dt.timedelta(minutes=-3), "the clock was put back by 0:03:00 h"),
        (dt.timedelta(days=-2), "the clock was put back by 2 days and 0:00:00 h"),
        (dt.timedelta(days=1, hours=2), "the clock was put forward by 1 day and 2:00:00 h"),
        (dt.timedelta(seconds=5), "the clock was put forward by 0:00:05 h"),
    ],
)
def test_a_clock_that_was_set_is(by: dt.timedelta, said: str) -> None:
    assert told(moved(visit(), by)) == [f"Between entries 3 and 4 {said}."]


def test_a_few_seconds_are_the_clock_being_kept_right() -> None:
    assert told(moved(visit(), dt.timedelta(seconds=4.9))) == []


def test_summer_time_changes_what_is_shown_and_no_duration() -> None:
    log = moved(visit(), dt.timedelta(0), off="+02:00")
    assert told(log) == ["Between entries 3 and 4 local time went from UTC+01:00 to UTC+02:00."]
    assert [one.mono_us for one in log.entries] == sorted(one.mono_us for one in log.entries)


def test_both_at_once_are_said_in_one_sentence() -> None:
    log = moved(visit(), dt.timedelta(hours=-1), off="+02:00")
    assert told(log) == [
        "Between entries 3 and 4 the clock was put back by 1:00:00 h and local time went from UTC+01:00 to UTC+02:00."
    ]


def test_after_a_restart_only_a_clock_that_stands_earlier_can_be_told() -> None:
    assert told(moved(visit(), dt.timedelta(hours=5), boot="boot-2")) == []
    assert told(moved(visit(), dt.timedelta(hours=-5), boot="boot-2")) == [
        "Between entries 3 and 4 the machine was started again, and its clock stood earlier than before."
    ]


def test_it_stands_in_the_note_with_the_two_entries() -> None:
    from stepper.note.compose import compose
    from stepper.protocol import sections as titles

    log = moved(visit(), dt.timedelta(minutes=30))
    (section,) = [one for one in compose(log.case()).sections if one.title == titles.TIMES]
    (sentence,) = [one for one in section.sentences if "put forward" in one.text]
    assert sentence.entries == (3, 4)


def test_the_order_of_what_was_logged_stays() -> None:
    straight, set_back = visit(), moved(visit(), dt.timedelta(days=-400))
    assert set_back.case().told == straight.case().told
