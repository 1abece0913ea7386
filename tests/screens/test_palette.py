"""Colours: contrast after WCAG 2.2 (formula from memory), told apart under colour blindness."""

from __future__ import annotations

from itertools import combinations

import pytest

from stepper.screens.palette import PALETTES, Palette
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


@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_every_text_reads_on_every_ground(palette: Palette) -> None:
    for ground in (palette.ground, palette.panel):
        assert contrast(palette.ink, ground) >= 7
        for tone in Tone:
            least = 4.5 if tone == Tone.QUIET else 7
            assert contrast(palette.tone(tone), ground) >= least, (tone, ground)
        assert contrast(palette.accent, ground) >= 4.5


@pytest.mark.parametrize("blindness", BLINDNESS)
def test_the_tones_stay_apart_for_every_eye(blindness: str) -> None:
    tones = [PALETTES["dark"].tone(tone) for tone in (Tone.GOOD, Tone.WARN, Tone.STOP)]
    for one, other in combinations(tones, 2):
        distance = (
            100 * sum((a - b) ** 2 for a, b in zip(seen(one, blindness), seen(other, blindness), strict=True)) ** 0.5
        )
        assert distance >= 10, (one, other)
