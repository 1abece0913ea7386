"""Tables in columns of plain text."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from stepper.note.columns import BETWEEN, laid_out, widths
from stepper.note.text import WIDTH, render
from tests.cases import Log, fill, fitted, opened, shaped
from tests.note.reading import note, words

CELLS = st.lists(st.sampled_from(["a", "mm", "mesiobuccal", "cusp", "x" * 30]), max_size=8).map(" ".join)


@settings(deadline=None)
@given(st.data(), st.integers(1, 7))
def test_no_line_is_wider_than_the_page_and_no_word_is_lost(data: st.DataObject, count: int) -> None:
    row = st.tuples(*([CELLS] * count))
    titles, rows = data.draw(row), data.draw(st.lists(row, min_size=1, max_size=5))
    lines = list(laid_out(titles, rows, WIDTH))
    assert all(len(line) <= WIDTH for line in lines)
    assert all(line == line.rstrip() for line in lines)
    told = "".join("".join(lines).split()).replace("-", "")
    assert len(told) == sum(len(cell.replace(" ", "")) for one in (titles, *rows) for cell in one)


@settings(deadline=None)
@given(st.data(), st.integers(1, 7))
def test_words_are_cut_only_where_there_is_no_room_for_them(data: st.DataObject, count: int) -> None:
    row = st.tuples(*([CELLS] * count))
    titles, rows = data.draw(row), data.draw(st.lists(row, min_size=1, max_size=5))
    room = WIDTH - len(BETWEEN) * (count - 1)
    columns = zip(titles, *rows, strict=True)
    longest = [max([1, *(len(word) for cell in column for word in cell.split())]) for column in columns]
    wide = widths(titles, rows, room)
    assert sum(wide) <= room
    if sum(longest) <= room:
        assert all(width >= word for width, word in zip(wide, longest, strict=True))


def test_what_fits_stays_on_one_line_without_rules_between_the_rows() -> None:
    assert list(laid_out(("Canal", "Cone"), (("MB", "35/.04"), ("ML", "-")), 40)) == [
        "Canal  Cone",
        "-----  ------",
        "MB     35/.04",
        "ML     -",
    ]


def test_a_long_cell_goes_on_below_itself_and_rules_part_the_rows() -> None:
    rows = (("MB", "from the mesiobuccal cusp"), ("ML", "-"))
    assert list(laid_out(("Canal", "Length"), rows, 22)) == [
        "Canal  Length",
        "-----  ---------------",
        "MB     from the",
        "       mesiobuccal",
        "       cusp",
        "-----  ---------------",
        "ML     -",
    ]


def five() -> Log:
    log = opened(Log(), "mb+ml+db+dl+mm")
    for canal in range(1, 6):
        fitted(shaped(log, canal), canal)
        fill(log, canal, outside=canal == 5)
    return log


def test_five_canals_can_be_read_at_eighty_columns() -> None:
    text = render(note(five()))
    part = text.split("\nCANALS\n------\n")[1].split("\n\n")[0].split("\n")
    assert max(len(line) for line in part) <= WIDTH
    at = [part[0].index(title) for title in ("Canal", "Outcome", "Working", "Gauge", "Master", "Cone", "Level")]
    rows = [line for line in part if line[:1].isdigit()]
    assert [row.split()[1] for row in rows] == ["MB", "ML", "DB", "DL", "MM"]
    cells = words(five(), "Canals")
    for row, cell in zip(rows, cells, strict=True):
        begun = [row[place:].split("  ")[0] for place in at]
        assert all(told and whole.startswith(told) for told, whole in zip(begun, cell, strict=True)), (begun, cell)
    assert len(part) <= 3 + 5 * 4, "a row takes at most three lines and a rule"
