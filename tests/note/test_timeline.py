"""The timeline, read back from its SVG: each bar as long as the time it stands for, each lane named and summed up."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings

from stepper.facts import entries as kinds
from stepper.facts.ringing import Sound
from stepper.lines.refusal import visible
from stepper.note.pictures import TIMELINE, pictures
from stepper.note.shape import Picture
from stepper.note.spent import spent
from stepper.note.vector import LETTER
from tests.case.visit import Visit
from tests.cases import Log
from tests.note.svg import Part, Sheet, read
from tests.note.test_markdown import HOSTILE
from tests.note.test_spent import SHAPING, S, begun, in_one_line, logs

D = Decimal
NEAR = D("0.02")
"""Figures are written to hundredths of a mm on the sheet: twice that for the two ends of a bar."""


def timeline(log: Log) -> Picture:
    return next(one for one in pictures(log.case()) if one.title == TIMELINE)


def axis(sheet: Sheet) -> tuple[Decimal, Decimal]:
    """Where the start is drawn, and the mm to a minute, as the figures at the top tell."""
    ticks = {}
    for (across, _), text in sheet.parts["axis"].texts:
        if text.isdecimal():
            ticks[D(text)] = across
    assert set(ticks.values()) <= {path[0][0] for path in sheet.parts["axis"].paths}
    last = max(ticks)
    return ticks[D(0)], (ticks[last] - ticks[D(0)]) / last


def bars(sheet: Sheet, lane: Part) -> list[tuple[Decimal, Decimal]]:
    """The bars of a lane, in minutes from the start."""
    start, per_min = axis(sheet)
    boxes = [path for path in lane.paths if len(path) == 4]
    return [((path[0][0] - start) / per_min, (path[1][0] - start) / per_min) for path in boxes]


def words(sheet: Sheet) -> list[list[str]]:
    return [[one for one in lane.text() if one] for lane in sheet.lanes]


def test_bars_are_as_long_as_the_time() -> None:
    log = begun()  # the access took 20 seconds
    log.wait(2)
    log.answer("shaping", 1, **SHAPING)  # 140 seconds
    log.wait(10)
    log.answer("shaping", 2, **SHAPING)  # 620 seconds, of them nothing keyed in any
    sheet = read(timeline(log).svg)
    _, per_min = axis(sheet)
    found = [bars(sheet, lane) for lane in sheet.lanes]
    expected = [[(0, D(20) / 60)], [(D(20) / 60, D(160) / 60)], [(D(160) / 60, D(780) / 60)], [(D(160) / 60, 13)]]
    assert words(sheet) == [["Access", "<1"], ["Shaping", "MB", "2"], ["ML", "10"], ["Nothing keyed", "10"]]
    for lane, wanted in zip(found, expected, strict=True):
        for (since, until), (first, last) in zip(lane, wanted, strict=True):
            assert abs(since - first) * per_min <= NEAR
            assert abs(until - last) * per_min <= NEAR
    assert [text for _, text in sheet.parts["axis"].texts if ":" in text][:3] == ["09:00", "09:02", "09:04"]


def test_canals_keyed_together_share_a_lane_and_their_time() -> None:
    log = begun()
    in_one_line(log, "shaping", 1, 2, **SHAPING)
    log.wait(1)
    in_one_line(log, "irrigation", 1, 2, solution="edta_17")
    log.answer("irrigation", 3, solution="edta_17")
    log.wait(2)
    in_one_line(log, "drying", 1, 2, dryness="dry")
    log.close()
    assert words(read(timeline(log).svg)) == [
        ["Access", "<1"],
        ["Shaping", "MB, ML", "<1"],
        ["Irrigation", "MB, ML", "1"],
        ["D", "<1"],
        ["Drying", "MB, ML", "3"],
        ["EDTA 17 %", "MB, ML", "3"],
        ["D", "3"],
    ]


def test_the_time_away_has_a_lane() -> None:
    log = begun()
    log.wait(30)
    log.log(kinds.Resume, app="test")
    assert ["Session not open", "30"] in words(read(timeline(log).svg))


def test_marks_stand_at_their_moment_and_are_told_below() -> None:
    log = begun()
    log.wait(3)
    log.incident("shaping", 1, "separated_file")
    log.wait(3)
    log.log(Sound, remark="expired:1:1", times=2, silent=False)
    log.close()
    sheet = read(timeline(log).svg)
    start, per_min = axis(sheet)
    part = sheet.parts["marks"]
    triangle = next(path for path in part.paths if len(path) == 3)
    assert abs((triangle[0][0] - start) / per_min - D(220) / 60) * per_min <= NEAR
    assert abs((part.rings[0][0] - start) / per_min - D(440) / 60) * per_min <= NEAR
    assert [text for text in part.text() if len(text) == 1] == ["a", "b"]
    assert {"a 09:03 incident, Separated file.", "b 09:07 rang twice: expired."} <= set(part.text())


def test_the_picture_says_in_words_what_it_shows() -> None:
    log = begun()
    log.answer("shaping", 1, **SHAPING)
    log.wait(2)
    log.answer("shaping", 2, **SHAPING)
    told = timeline(log).told
    assert told.text.startswith("In all 3 min, 09:00 to 09:03. Access under 1 min. Shaping 3 min (MB <1, ML 2).")
    assert told.entries == (0, 1, 2, 3)


def test_a_long_name_keeps_to_its_column() -> None:
    log = begun()
    log.found(4, "a name of a canal that is much too long for where it stands")
    log.answer("shaping", 4, **SHAPING)
    sheet = read(timeline(log).svg)
    start, _ = axis(sheet)
    ((across, _), name) = sheet.lanes[1].texts[1]
    assert name.startswith("a name of")
    assert name.endswith("…")
    assert across + len(name) * LETTER * D("2.3") <= start


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_names_are_words_and_stay_on_the_sheet(text: str) -> None:
    log = begun()
    log.found(4, text)
    log.answer("shaping", 4, **SHAPING)
    log.incident("shaping", 4, text)
    sheet = read(timeline(log).svg)
    assert visible(text).strip()[:4] in " ".join(sheet.words())
    assert all(sign.isprintable() for sign in sheet.told)


@settings(deadline=None, max_examples=40)
@given(logs())
def test_any_visit_is_on_the_sheet_and_all_of_its_time(log: Visit) -> None:
    known = spent(log.case())
    sheet = read(timeline(log).svg)
    assert all(0 <= x <= sheet.width and 0 <= y <= sheet.height for x, y in sheet.corners())
    for part in (*sheet.parts.values(), *sheet.lanes):
        for (x, y), text in part.texts:
            assert 0 <= x <= sheet.width
            assert 0 <= y <= sheet.height
            assert x + len(text) * LETTER * D("2.3") <= sheet.width or x == sheet.width or len(text) <= 6
    steps = {one.step for one in known.work}
    assert len(sheet.lanes) >= len(steps)
    _, per_min = axis(sheet)
    drawn = sorted(bar for lane in sheet.lanes for bar in bars(sheet, lane))
    last = max(until for _, until in drawn)
    assert last * per_min <= D(known.whole.us) / S / 60 * per_min + D(
        "0.35"
    )  # what is too short to be seen is 0.3 wide
