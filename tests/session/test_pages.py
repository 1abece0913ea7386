"""Texts by pages: every row once, no page too high, headings with what they head, and one's place kept."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from stepper.session.pages import PagedText

ROWS = st.lists(st.sampled_from(["a row", "another row", ""]), max_size=90).map(tuple)


def pages_of(text: PagedText) -> list[tuple[str, ...]]:
    while text.turn(-1):
        pass
    found = [text.page()]
    while text.turn(1):
        found.append(text.page())
    assert [page.number for page in found] == list(range(1, len(found) + 1))
    assert {page.of for page in found} == {len(found)}
    return [page.rows for page in found]


@given(ROWS, st.integers(-1, 40))
def test_every_row_stands_on_one_page_and_none_is_too_high(rows: tuple[str, ...], height: int) -> None:
    pages = pages_of(PagedText("A note", rows, height))
    assert [row for page in pages for row in page if row] == [row for row in rows if row]
    assert sum(pages, ()) == rows
    assert max(len(page) for page in pages) <= max(height, 1)
    assert len(pages) <= 1 or all(pages)


@given(ROWS, st.integers(1, 40), st.integers(1, 40), st.integers(0, 9))
def test_what_stands_at_the_head_stays_in_sight_when_the_screen_changes(
    rows: tuple[str, ...], before: int, after: int, turns: int
) -> None:
    numbered = tuple(f"{number} {row}" if row else row for number, row in enumerate(rows))
    text = PagedText("A note", numbered, before)
    for _ in range(turns):
        text.turn(1)
    head = text.page().rows[:1]
    text.fit(after)
    assert set(head) <= {*text.page().rows, ""}


def test_a_page_ends_at_a_blank_row_near_its_foot() -> None:
    rows = ("A", "-", "1", "2", "3", "", "B", "-", "4", "", "C", "-", "5")
    assert pages_of(PagedText("A note", rows, 8)) == [rows[:6], rows[6:]]
    assert pages_of(PagedText("A note", rows, 11)) == [rows[:10], rows[10:]]
    assert pages_of(PagedText("A note", rows, 13)) == [rows]
    far = ("A", "", *rows[2:5] * 4)
    assert pages_of(PagedText("A note", far, 8))[0] == far[:8], "far from its foot"
    assert pages_of(PagedText("A note", ("row",) * 20, 8)) == [("row",) * 8, ("row",) * 8, ("row",) * 4]


def test_there_is_no_page_before_the_first_or_after_the_last() -> None:
    text = PagedText("A note", ("row",) * 20, 10)
    assert not text.turn(-1)
    assert text.turn(1)
    assert not text.turn(1)
    assert text.page().number == 2
