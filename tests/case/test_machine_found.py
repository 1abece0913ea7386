"""What the random walk came upon, each as the shortest log that shows it."""

from __future__ import annotations

from tests.case.visit import at_fill


def test_clear_shut_when_a_new_row_does_not_say_that_the_dam_is_on() -> None:
    for word in ("--", "-/", "-."):
        visit = at_fill()
        visit.answer("isolation", 0, 2, dam=word)
        assert visit.shut() == {"clear"}
        visit.answer("isolation", 0, 3, dam="on", tight="yes", clamped="46", through="1")
        assert visit.shut() == set()
