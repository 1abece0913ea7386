"""Making a protocol for tests out of the bundled one."""

from __future__ import annotations

from pathlib import Path


def in_place_of(made: str, old: str, new: str) -> str:
    """Replace a text that stands once."""
    assert made.count(old) == 1, f"the bundled protocol has {made.count(old)} times: {old}"
    return made.replace(old, new)


def written(folder: Path, name: str, text: str) -> Path:
    """Write a protocol into a folder and give the file."""
    path = folder / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return path
