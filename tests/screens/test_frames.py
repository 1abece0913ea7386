"""The pinned screens: word for word and style for style as they were looked at and kept."""

from __future__ import annotations

import pytest

from tests.frames import FRAMES, frames

NAMES = sorted(path.name for path in FRAMES.glob("*.txt"))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    return frames(tmp_path_factory.mktemp("frames"))


def test_every_screen_has_its_frame(made: dict[str, str]) -> None:
    assert sorted(made) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_pinned_screen_is_as_it_was(made: dict[str, str], name: str) -> None:
    assert made[name] == (FRAMES / name).read_text(encoding="utf-8"), (
        "look at it; if it is meant, `python -m tests.frames` keeps it"
    )


@pytest.mark.parametrize("name", NAMES)
def test_every_style_on_a_screen_is_one_of_the_palette(name: str) -> None:
    text, _, styles = (FRAMES / name).read_text(encoding="utf-8").partition(f"\n{'=' * 80}\n")
    assert "?" not in styles
    assert len(text.split("\n")) == len(styles.rstrip("\n").split("\n"))
