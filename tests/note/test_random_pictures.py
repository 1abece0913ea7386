"""Whatever is logged, in whatever order, has pictures that can be read, and a page that reads back as composed."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepper.facts import entries as kinds
from stepper.facts.entries import Previous
from stepper.note.compose import compose
from stepper.note.html import render
from stepper.note.pictures import pictures
from stepper.note.spent_words import spent_rows
from tests.cases import Log, ready
from tests.note.html_reading import expected, parsed
from tests.note.svg import read
from tests.note.test_random import brought, log_one


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data(), st.integers(1, 14), st.booleans())
def test_any_log_has_pictures_that_know_their_entries(data: st.DataObject, more: int, second: bool) -> None:
    log = Log(previous=Previous(sid="first-visit", head="ab" * 32)) if second else ready(Log())
    for canal in (1, 2) if second else ():
        log.log(kinds.Carried, **brought(canal))
    log.answer("diagnosis", complaint="biting")
    for _ in range(more):
        log_one(data.draw, log)
    case = log.case()
    drawn = pictures(case)
    assert drawn
    for one in drawn:
        sheet = read(one.svg)
        assert (sheet.title, sheet.told) == (one.title, one.told.text)
        assert all(0 <= x <= sheet.width and 0 <= y <= sheet.height for x, y in sheet.corners())
    for one in (*(picture.told for picture in drawn), *spent_rows(case)):
        assert one.text
        assert one.entries
        assert 0 <= one.entries[0] <= one.entries[-1] < len(log.entries)
        assert tuple(sorted(set(one.entries))) == one.entries
    composed = compose(case)
    assert parsed(render(composed, drawn)).pieces == expected(composed, drawn)
