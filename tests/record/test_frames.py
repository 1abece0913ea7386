"""The short way of writing an entry is the long way, byte for byte, or none."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.record.clock import Moment, since_1970_us
from stepper.record.frames import Frames
from stepper.record.journal import Journal
from stepper.record.members import UnfitError, encode, enveloped
from stepper.record.problems import NotSaved
from stepper.record.verify import read
from tests.record.sessions import START, begin

_TEXTS = st.text(st.characters(codec="utf-8"), max_size=12)
_JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**63), 2**63)
    | st.floats(allow_nan=False, allow_infinity=False)
    | _TEXTS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(_TEXTS, inner, max_size=3),
    max_leaves=8,
)
_BODIES = st.dictionaries(_TEXTS, _JSON, min_size=1, max_size=4)
_MOMENTS = st.builds(
    Moment,
    st.datetimes(dt.datetime(1000, 1, 1)).map(lambda at: since_1970_us(at.replace(tzinfo=dt.UTC))),
    st.sampled_from(["+00:00", "-09:30", "+05:45"]),
    st.sampled_from(["", "Etc/UTC", "America/Port-au-Prince"]) | _TEXTS,
    st.integers(-(10**17), 10**17),
    st.sampled_from(["set clock", '%d "%b" \\']) | _TEXTS,
)


@given(st.lists(st.tuples(_MOMENTS, _BODIES), min_size=1, max_size=4), st.none() | st.integers(1, 99))
def test_the_short_way_is_the_long_way(entries: list[tuple[Moment, dict[str, Any]]], by: int | None) -> None:
    frames = Frames()
    for seq, (moment, body) in enumerate(entries, start=7):
        try:
            long, _ = encode(enveloped(seq, "fact", moment, by, body))
        except UnfitError:
            return
        frames.learn("fact", moment, by)
        assert frames.line(seq, "fact", moment, by, body) in (long, None)
        plain = frames.line(seq, "fact", moment, by, {"step": "length", "values": {"length": "21.5"}})
        assert plain == encode(enveloped(seq, "fact", moment, by, {"step": "length", "values": {"length": "21.5"}}))[0]


def _at(second: int) -> Moment:
    return Moment(since_1970_us(START.replace(microsecond=0)) + second * 1_000_000, "+00:00", "", second, "b")


def test_a_full_second_keeps_its_decimals_and_a_new_minute_is_told() -> None:
    frames = Frames()
    frames.learn("fact", _at(0), 1)
    lines = [frames.line(1, "fact", _at(second), 1, {"a": 1}) or b"" for second in (0, 59, 60, 3600, 0)]
    times = [line[line.index(b'"t":"') + 5 :][:27].decode() for line in lines]
    assert [one[11:] for one in times] == [
        "08:40:00.000000Z",
        "08:40:59.000000Z",
        "08:41:00.000000Z",
        "09:40:00.000000Z",
        "08:40:00.000000Z",
    ]


@pytest.mark.parametrize(
    ("kind", "by", "body"),
    [
        ("other", 1, {"a": 1}),
        ("fact", 2, {"a": 1}),
        ("fact", 1, {}),
        ("fact", 1, {"seq": 1}),
        ("fact", 1, {"hash": ""}),
        ("fact", 1, {"a": "half \ud800 sign"}),
        ("fact", 1, {"a": 10**5000}),
        ("fact", 1, {"a": [[[1]] * 40]}),
        ("fact", 1, {"a": object()}),
    ],
)
def test_what_it_does_not_know_it_leaves_to_the_long_way(kind: str, by: int | None, body: dict[str, object]) -> None:
    frames = Frames()
    frames.learn("fact", _at(0), 1)
    assert frames.line(1, kind, _at(0), by, body) is None


@pytest.mark.parametrize("value", [float("nan"), Decimal("1.5"), b"x", "half \ud800 sign"])
def test_the_first_of_its_kind_is_looked_at_and_what_is_no_json_refused(tmp_path: Path, value: object) -> None:
    journal = begin(tmp_path)
    before = journal.path.read_bytes()
    for write in (
        lambda: journal.append("fact", {"value": value}, 1),
        lambda: journal.append_typed("fact", {"value": value}, 1, _at(0)),
    ):
        with pytest.raises(NotSaved, match="Nothing was saved: the entry"):
            write()
        assert journal.path.read_bytes() == before
    journal.close()


def test_both_ways_make_one_chain(tmp_path: Path) -> None:
    journal = begin(tmp_path)
    written = [journal.last]
    for number in range(6):
        if number % 2:
            written.append(journal.append("fact", {"number": number}, 1))
        else:
            journal.append_typed("fact", {"number": number}, 1, _at(number))
            written.append(journal.last)
    journal.close()
    opened = Journal.resume(journal.path, journal._clock)
    assert list(opened.entries) == written
    assert opened.journal.last == written[-1]
    opened.journal.close()
    found = read(journal.path)
    assert (found.damage, found.head) == (None, written[-1]["hash"])
