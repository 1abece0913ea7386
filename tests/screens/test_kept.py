"""What was painted before is given again only where it would be painted the same."""

from __future__ import annotations

from rich.segment import Segment
from textual.strip import Strip

from stepper.screens.kept import KeptRows, kept


def row(text: str) -> Strip:
    return Strip([Segment(text)])


def test_the_same_arguments_give_the_very_same_and_others_do_not() -> None:
    made: list[tuple[list[int], int]] = []

    @kept
    def painted(first: list[int], *, width: int) -> list[int]:
        made.append((first, width))
        return [*first, width]

    given = painted([1, 2], width=80)
    assert painted([1, 2], width=80) is given
    assert painted([1, 2], width=81) == [1, 2, 81]
    assert painted([1, 3], width=80) == [1, 3, 80]
    assert len(made) == 3


def test_only_the_last_few_are_kept() -> None:
    made: list[int] = []

    @kept
    def painted(first: int) -> int:
        made.append(first)
        return first

    for _ in range(2):
        for number in range(20):
            assert painted(number) == number
    assert made == [*range(20), *range(20)]


def test_rows_are_known_by_their_strips_and_by_where_these_stand() -> None:
    rows, made = KeptRows(), 0
    one, other = row("one"), row("other")

    def join() -> Strip:
        nonlocal made
        made += 1
        return Strip.join([one, other])

    first = rows.of((one, other), (0, 3), join)
    assert rows.of((one, other), (0, 3), join) is first
    rows.of((one, other), (0, 4), join)
    rows.of((other, one), (0, 3), join)
    rows.of((one, row("other")), (0, 3), join)
    assert made == 4


def test_strips_that_are_gone_are_never_taken_for_others() -> None:
    """An id may come back once its object is gone: what is kept holds its strips."""
    rows = KeptRows()
    for number in range(5000):
        part = row(str(number))
        assert rows.of((part,), (), lambda part=part: Strip.join([part])).text == str(number)  # type: ignore[misc]
