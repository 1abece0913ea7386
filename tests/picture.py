"""`python -m tests.picture VIEW PATH [WIDTHxHEIGHT] [dark|light]` writes a picture (SVG) of an invented view."""

from __future__ import annotations

import asyncio
import os
import re
import sys
from pathlib import Path
from typing import cast

from stepper.screens.app import ChairApp
from stepper.screens.palette import PALETTES, ThemeName
from stepper.session.view import ChairView, Clocks
from tests.screens.desks import FakeDesk
from tests.screens.views import VIEWS


async def picture(
    view: ChairView,
    size: tuple[int, int] = (80, 24),
    theme: ThemeName = "dark",
    pending: str = "35/4-0",
    clocks: Clocks | None = None,
) -> str:
    """Return the SVG of a view at a size (width, height), with a line half typed."""
    os.environ["COLORTERM"] = "truecolor"  # a picture has every colour, whatever the terminal it is made from
    desk = FakeDesk(view, pending=pending)
    desk.time = clocks or desk.time
    app = ChairApp(desk, Path("crash"), theme)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        svg = app.export_screenshot(title="stepper")
    svg = re.sub(r"@font-face {.*?}\s*", "", svg, flags=re.DOTALL)  # nothing is fetched to show it
    svg = re.sub(r"font-family: [^;]*;", "font-family: 'DejaVu Sans Mono', Menlo, Consolas, monospace;", svg)
    return svg.replace("<text ", '<text xml:space="preserve" ')


def main(arguments: list[str]) -> int:
    if len(arguments) < 2 or arguments[0] not in VIEWS:
        print(f"{__doc__}\nViews: {', '.join(VIEWS)}")
        return 2
    width, height = (arguments[2:] or ["80x24"])[0].split("x")
    theme = cast(ThemeName, (arguments[3:] or ["dark"])[0])
    if theme not in PALETTES:
        print(f"Theme {theme}: dark or light")
        return 2
    svg = asyncio.run(picture(VIEWS[arguments[0]], (int(width), int(height)), theme))
    Path(arguments[1]).write_text(svg, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
