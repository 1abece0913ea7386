"""Pictures in the PDF: with words for who cannot see them, side by side where there is room, to one scale."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from stepper.note.shape import Picture, Sentence
from tests.note.printed import Printed, pieces, printed
from tests.note.test_markdown import of

POINTS_PER_MM = 72 / 25.4
PAGE_MM = 210
NOTE = of("before", "after")


@dataclass(frozen=True)
class Slope:
    """A slanting line as it stands on a page, in mm from the left and from below."""

    page: int
    left: float
    top: float
    wide: float
    high: float


def ruler(name: str, wide: int, high: int = 40) -> Picture:
    """A drawing of a unit a mm, framed, with a word in it and a line that falls 5 mm on its way of 30."""
    shapes = f'<path d="M0 0H{wide}V{high}" stroke="#000"/><path d="M0 2L30 7" stroke="#000"/>'
    words = f'<text x="2" y="20" font-size="4" font-family="sans-serif">{name}</text>'
    size = f'width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}"'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{shapes}{words}</svg>'
    return Picture(f"Title {name}", svg, Sentence(f"What {name} shows, in words.", (3, 4)))


def slopes(found: Printed) -> list[Slope]:
    """The slanting lines of a whole file, in the order in which they are drawn."""
    seen: list[Slope] = []
    for number, page in enumerate(found.reader.pages):
        here = (0.0, 0.0)

        def visit(what: bytes, at: list[float], matrix: list[float], _: object, number: int = number) -> None:
            nonlocal here
            if what in (b"m", b"l"):
                a, b, c, d, e, f = matrix
                x, y = (float(one) for one in at)
                before, here = here, ((a * x + c * y + e) / POINTS_PER_MM, (b * x + d * y + f) / POINTS_PER_MM)
                wide, high = here[0] - before[0], before[1] - here[1]
                if what == b"l" and abs(wide) > 0.1 and abs(high) > 0.1:
                    seen.append(Slope(number, *before, wide, high))

        page.extract_text(visitor_operand_before=visit)
    return seen


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_each_picture_is_to_scale_and_has_its_words(count: int) -> None:
    names = ["Q", "W", "Z", "K"][:count]
    pictures = [ruler(name, 40 + 5 * place) for place, name in enumerate(names)]
    found = printed(NOTE, pictures)
    assert found.alternatives == tuple(one.told.text for one in pictures)
    assert found.tagged.count("/Figure") == count
    lines = slopes(found)
    assert [(one.wide, one.high) for one in lines] == [pytest.approx((30, 5), abs=0.01)] * count
    assert len({round(one.top, 2) for one in lines[:3]}) == 1
    assert [one.left for one in lines[:3]] == sorted({one.left for one in lines[:3]})
    assert all(one.top < lines[0].top - 40 for one in lines[3:])


def test_one_that_is_too_wide_is_shrunk_into_the_page() -> None:
    (line,) = slopes(printed(NOTE, [ruler("Q", 400)]))
    assert line.wide == pytest.approx(6 * line.high)
    assert 160 < line.wide / 30 * 400 < PAGE_MM - 2 * line.left + 0.01


def test_a_picture_is_not_torn_apart_and_stands_before_the_last_section() -> None:
    found = printed(NOTE, [ruler(name, 150, 150) for name in ("Q", "W", "Z")])
    assert [one.page for one in slopes(found)] == [0, 1, 2]
    for name, page in zip(("Q", "W", "Z"), found.pages, strict=True):
        assert [f"Title {name} [3, 4]", name] == [one.replace("\xa0", " ") for one in page.split("\n") if name in one]
    assert "\nEnd " in found.pages[-1]


def test_pictures_take_no_word_from_the_note() -> None:
    pictures = [ruler(name, 50) for name in ("Q", "W")]
    words = " ".join(" ".join(printed(NOTE, pictures).pages).split())
    rest = " ".join(word for word in words.split() if word not in ("Q", "W"))
    assert rest.replace("Title [3, 4] ", "") == " ".join(pieces(NOTE))
