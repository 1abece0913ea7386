"""Colours: contrast (W3C, WCAG 2.x, relative luminance; formula from memory), and told apart under colour blindness.

Also what is left of them on terminals with 256 and 16 colours.
"""

from __future__ import annotations

from itertools import combinations

import pytest
from rich.color import Color, ColorSystem, ColorType

from stepper.screens.palette import PALETTES, Palette, ThemeName, palette_for
from stepper.session.view import Tone

# Matrices for full colour blindness on linear RGB: Machado, Oliveira and Fernandes 2009, from memory.
BLINDNESS = {
    "none": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.01182, 0.04294, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.3039)),
}

Triple = tuple[float, float, float]


def linear(colour: str) -> Triple:
    red, green, blue = (int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5))
    curve = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in (red, green, blue)]
    return (curve[0], curve[1], curve[2])


def contrast(one: str, other: str) -> float:
    light, dark = sorted(
        (0.2126 * red + 0.7152 * green + 0.0722 * blue for red, green, blue in (linear(one), linear(other))),
        reverse=True,
    )
    return (light + 0.05) / (dark + 0.05)


def oklab(rgb: Triple) -> Triple:
    """OKLab as its author published it in 2020; coefficients from memory."""
    red, green, blue = (min(max(part, 0.0), 1.0) for part in rgb)
    long = (0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue) ** (1 / 3)
    middle = (0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue) ** (1 / 3)
    short = (0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue) ** (1 / 3)
    return (
        0.2104542553 * long + 0.7936177850 * middle - 0.0040720468 * short,
        1.9779984951 * long - 2.4285922050 * middle + 0.4505937099 * short,
        0.0259040371 * long + 0.7827717662 * middle - 0.8086757660 * short,
    )


def seen(colour: str, blindness: str) -> Triple:
    rgb = linear(colour)
    parts = [sum(weight * part for weight, part in zip(row, rgb, strict=True)) for row in BLINDNESS[blindness]]
    return oklab((parts[0], parts[1], parts[2]))


def test_the_contrast_formula_gives_its_two_ends() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


def readable(text: dict[Tone | str, str], grounds: set[str], values: float) -> None:
    for ground in grounds:
        for name, colour in text.items():
            least = 4.5 if name in (Tone.QUIET, "accent") else values
            assert contrast(colour, ground) >= least, (name, colour, ground)


def texts(palette: Palette) -> dict[Tone | str, str]:
    return {**{tone: palette.tone(tone) for tone in Tone}, "accent": palette.accent}


@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_every_text_reads_on_every_ground(palette: Palette) -> None:
    readable(texts(palette), {palette.ground, palette.panel}, values=7)


def of_256(colour: str) -> str:
    return Color.parse(colour).downgrade(ColorSystem.EIGHT_BIT).get_truecolor().hex


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_every_text_reads_in_256_colours(theme: ThemeName) -> None:
    palette = palette_for(theme, "256")
    assert palette == PALETTES[theme]
    grounds = {of_256(palette.ground), of_256(palette.panel)}
    readable({name: of_256(colour) for name, colour in texts(palette).items()}, grounds, values=4.5)


SIXTEEN = {
    # Shades of the sixteen colours, from memory: those of text consoles, and those of the oldest window terminal.
    "console": "000000 aa0000 00aa00 aa5500 0000aa aa00aa 00aaaa aaaaaa 555555 ff5555 55ff55 ffff55 5555ff ff55ff "
    "55ffff ffffff",
    "window": "000000 cd0000 00cd00 cdcd00 0000ee cd00cd 00cdcd e5e5e5 7f7f7f ff0000 00ff00 ffff00 5c5cff ff00ff "
    "00ffff ffffff",
}


def of_16(colour: str, shades: str) -> str:
    taken = Color.parse(colour).downgrade(ColorSystem.STANDARD)
    assert taken.type == ColorType.STANDARD
    assert taken.number is not None
    return f"#{SIXTEEN[shades].split()[taken.number]}"


@pytest.mark.parametrize("shades", SIXTEEN)
@pytest.mark.parametrize("theme", ["dark", "light"])
def test_every_text_reads_in_16_colours(theme: ThemeName, shades: str) -> None:
    palette = palette_for(theme, "standard")
    grounds = {of_16(palette.ground, shades), of_16(palette.panel, shades)}
    readable({name: of_16(colour, shades) for name, colour in texts(palette).items()}, grounds, values=4.5)


@pytest.mark.parametrize("blindness", BLINDNESS)
@pytest.mark.parametrize("theme", ["dark", "light"])
def test_the_tones_stay_apart_for_every_eye(theme: ThemeName, blindness: str) -> None:
    tones = [PALETTES[theme].tone(tone) for tone in (Tone.GOOD, Tone.WARN, Tone.STOP)]
    for one, other in combinations(tones, 2):
        distance = (
            100 * sum((a - b) ** 2 for a, b in zip(seen(one, blindness), seen(other, blindness), strict=True)) ** 0.5
        )
        assert distance >= 10, (one, other)
