"""What is kept in order and by kind is what sorting and searching everything would give."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from stepper.facts.state import Canal, FileUse, Rinse

PLACES = st.tuples(st.integers(0, 9), st.integers(0, 1), st.integers(0, 9))
PUTS = st.lists(st.tuples(st.integers(0, 6), PLACES, st.sampled_from((20, 25)), st.sampled_from(("cut", "patency"))))


def use(size: int, purpose: str, place: tuple[int, int, int]) -> FileUse:
    return FileUse(size, Decimal("0.04"), Decimal(0), None, purpose, place, place[2], None, False)


@given(PUTS)
def test_files_stand_in_their_order_and_by_kind(puts: list[tuple[int, tuple[int, int, int], int, str]]):
    canal = Canal(1, "MB")
    for key, place, size, purpose in puts:
        canal.file_rows["shaping", key] = use(size, purpose, place)
        wanted = sorted(dict(canal.file_rows).values(), key=lambda one: one.place)
        assert list(canal.files) == wanted
        kinds = {(one.size, one.purpose) for one in wanted}
        found = canal.kinds_of_files
        assert {(one.size, one.purpose) for one in found} == kinds and len(found) == len(kinds)
        for one in found:
            alike = [other.place for other in wanted if (other.size, other.purpose) == (one.size, one.purpose)]
            assert one.place == min(alike)
        assert [one.place for one in found] == sorted(one.place for one in found)
        for one in canal.file_rows.lasts:
            alike = [other.place for other in wanted if (other.size, other.purpose) == (one.size, one.purpose)]
            assert one.place == max(alike)


@given(PUTS, PLACES)
def test_the_last_rinse_of_a_family_before_a_place(
    puts: list[tuple[int, tuple[int, int, int], int, str]], place: tuple[int, int, int]
):
    canal = Canal(1, "MB")
    for key, at, _, family in puts:
        canal.rinse_rows["irrigation", key] = Rinse("one", family, at, at[2], False)
    for family in ("cut", "patency", "none"):
        earlier = [one.place for one in canal.rinse_rows.values() if one.family == family and one.place < place]
        found = canal.rinse_rows.last_before(family, place)
        assert (found.place if found else None) == max(earlier, default=None)
