"""A page of a text, such as the note, over the whole width: a heading that says which page it is, then its rows."""

from __future__ import annotations

from rich.cells import cell_len
from textual.strip import Strip

from stepper.screens.palette import Look
from stepper.screens.rows import clean, cut, strip
from stepper.session.view import Page, Tone


def text_rows(page: Page, width: int, height: int, look: Look) -> list[Strip]:
    """Return exactly `height` rows."""
    place = f"page {page.number} of {page.of} "
    title = cut(f" {page.title}", width - len(place) - 1)
    gap = " " * (width - len(place) - cell_len(title))
    heading = strip(width, look.panel(), (title, look.panel(bold=True)), (f"{gap}{place}", look.panel(Tone.QUIET)))
    rows = [strip(width, look.plain, (clean(row), look.plain)) for row in page.rows]
    blank = Strip.blank(width, look.plain)
    return [heading, *rows, *([blank] * (height - 1 - len(rows)))][:height]
