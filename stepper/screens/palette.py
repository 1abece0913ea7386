"""The colours: a dark and a light set, and the styles made of them. No meaning hangs on a colour alone.

The tones follow the Okabe-Ito set (sky blue: well, yellow: asks, vermillion: stops; bluish green marks what to type),
made lighter or darker until text reads with a contrast of 7:1 on each ground it stands on. On white that makes yellow
a brown, which some eyes cannot tell from vermillion; there what stops is a darker red.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from rich.style import Style

from stepper.session.view import Tone

ThemeName = Literal["dark", "light"]


@dataclass(frozen=True)
class Palette:
    """Colours as #rrggbb. Text stands on `ground` or `panel`, or as `ground` on one of the tones in a bar."""

    dark: bool
    ground: str
    panel: str
    ink: str
    quiet: str
    accent: str
    good: str
    warn: str
    stop: str

    def tone(self, tone: Tone) -> str:
        """Return the text colour of a tone."""
        tones = {Tone.QUIET: self.quiet, Tone.GOOD: self.good, Tone.WARN: self.warn, Tone.STOP: self.stop}
        return tones.get(tone, self.ink)


DARK: Final = Palette(
    dark=True,
    ground="#121212",
    panel="#262626",
    ink="#f4f4f4",
    quiet="#b8b8b8",
    accent="#4fd3a6",
    good="#7cc4ef",
    warn="#f0e442",
    stop="#ff9b70",
)
LIGHT: Final = Palette(
    dark=False,
    ground="#ffffff",
    panel="#eceff1",
    ink="#101010",
    quiet="#464646",
    accent="#00523b",
    good="#004a7c",
    warn="#664b00",
    stop="#66001f",
)
LIGHT_OF_16: Final = Palette(
    dark=False,
    ground="#ffffff",
    panel="#ffffff",
    ink="#000000",
    quiet="#000000",
    accent="#0000aa",
    good="#0000aa",
    warn="#aa00aa",
    stop="#aa0000",
)
"""Of the sixteen colours that every terminal has, the five that read on white whatever shade a terminal gives them.

On black the nearest ones to the dark set do; its panel is then as black as its ground.
"""

PALETTES: Final[dict[ThemeName, Palette]] = {"dark": DARK, "light": LIGHT}


def palette_for(theme: ThemeName, colours: str | None) -> Palette:
    """Return the set for a theme. `colours`: what the terminal has, `standard` where it is no more than sixteen."""
    return LIGHT_OF_16 if theme == "light" and colours == "standard" else PALETTES[theme]


@dataclass(frozen=True)
class Look:
    """The styles of one palette, by what they are for; and whether signs beyond ASCII can be shown."""

    palette: Palette
    utf8: bool = True

    @property
    def plain(self) -> Style:
        """Text in the main column."""
        return _style(self.palette.ink, self.palette.ground)

    @property
    def quiet(self) -> Style:
        """What is there to be found, not to be noticed."""
        return _style(self.palette.quiet, self.palette.ground)

    @property
    def accent(self) -> Style:
        """Numbers to type, and the mark beside the question."""
        return _style(self.palette.accent, self.palette.ground, bold=True)

    @property
    def strong(self) -> Style:
        """Values, and the question."""
        return _style(self.palette.ink, self.palette.ground, bold=True)

    @property
    def current(self) -> Style:
        """Where one is: reverse video, which every terminal has."""
        return _style(self.palette.ink, self.palette.ground, bold=True, reverse=True)

    def tone(self, tone: Tone, *, bold: bool = False) -> Style:
        """Show text of a tone in the main column."""
        return _style(self.palette.tone(tone), self.palette.ground, bold=bold)

    def panel(self, tone: Tone = Tone.PLAIN, *, bold: bool = False) -> Style:
        """Show text of a tone on the panel: header, steps, question."""
        return _style(self.palette.tone(tone), self.palette.panel, bold=bold)

    def panel_accent(self) -> Style:
        """Mark the line being typed, and the question."""
        return _style(self.palette.accent, self.palette.panel, bold=True)

    def bar(self, tone: Tone) -> Style:
        """Fill a bar over the whole width, one that cannot be missed."""
        return _style(self.palette.tone(tone), self.palette.ground, bold=True, reverse=True)


@lru_cache(maxsize=128)
def _style(colour: str, ground: str, *, bold: bool = False, reverse: bool = False) -> Style:
    return Style(color=colour, bgcolor=ground, bold=bold, reverse=reverse)
