"""Pictures in the PDF: with words for who cannot see them, side by side where there is room, to one scale."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from xml.etree import ElementTree

import pytest

from stepper.note import pdf
from stepper.note.outputs import FORMATS
from stepper.note.pictures import pictures
from stepper.note.shape import Picture, Sentence
from tests.note.printed import Printed, entries_of, pieces, printed, read
from tests.note.test_markdown import of
from tests.note.test_pdf import SAMPLES, told

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
    assert [one.wide for one in slopes(found)] == [pytest.approx(30, abs=0.01)] * 3
    for name, page in zip(("Q", "W", "Z"), found.pages, strict=True):
        lines = page.splitlines()
        assert lines.index(name) + 1 == lines.index("[3, 4]")
    assert "\nEnd " in found.pages[-1]


def test_pictures_take_no_word_from_the_note() -> None:
    pictures = [ruler(name, 50) for name in ("Q", "W")]
    words = " ".join(" ".join(printed(NOTE, pictures).pages).split())
    rest = " ".join(word for word in words.split() if word not in ("Q", "W"))
    assert rest.replace("[3, 4] ", "") == " ".join(pieces(NOTE))


def test_signs_without_a_glyph_are_spelt_out_in_a_drawing_too() -> None:
    signs = "\u4e2d\U0001f9b7\u05d0"
    one = ruler(signs + "ř Ω Ж ≤ &amp;", 90)
    found = printed(NOTE, [replace(one, told=Sentence(f"Words: {signs}", (1,)))])
    assert "<U+4E2D><U+1F9B7><U+05D0>ř Ω Ж ≤ &\n" in found.pages[0]
    assert found.alternatives == ("Words: <U+4E2D><U+1F9B7><U+05D0>",)


def test_the_fonts_have_a_glyph_for_each_sign_in_a_drawing() -> None:
    signs = [chr(sign) for sign in range(0xA1, 0x3000) if pdf._shown(chr(sign)) == chr(sign)]
    assert len(signs) > 1000
    words = "".join(f'<text font-weight="{weight}">{"".join(signs)}</text>' for weight in ("normal", "bold"))
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" font-family="sans-serif">{words}</svg>'
    assert printed(NOTE, [Picture("Signs", svg, Sentence("x", (0,)))]).pages


@pytest.mark.parametrize("session", SAMPLES, ids=lambda one: one.stem)
def test_the_pictures_of_a_sample_are_printed_with_their_words(session: Path) -> None:
    of_session = told(session)
    drawn = pictures(of_session.case)
    found = read(FORMATS["pdf"](of_session))
    assert found.alternatives == tuple(one.told.text for one in drawn)
    words = "".join("".join(found.pages).split())
    for one in drawn:
        assert f"[{entries_of(one.told)}]".replace(" ", "") in words
        for said in ElementTree.fromstring(one.svg).iter("{http://www.w3.org/2000/svg}text"):
            assert "".join((said.text or "").split()) in words
