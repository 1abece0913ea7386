"""Where things live. Functions only: importing this makes no folder."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from platformdirs import user_data_path

SECRETS = "keys"
"""The folder of the secret keys, inside a data folder."""

_PACKAGE = Path(__file__).resolve().parents[1]


def data_dir(override: Path | None = None) -> Path:
    """Return the folder of all that the practice keeps: `override`, or the platform's place for user data."""
    return override if override is not None else user_data_path("stepper", appauthor=False)


def sessions_dir(data: Path) -> Path:
    """Return the folder of the session files inside a data folder."""
    return data / "sessions"


def private_dirs(data: Path) -> tuple[Path, ...]:
    """Return the folders in which everything is for the owner's eyes only, outermost first."""
    return data, sessions_dir(data), data / SECRETS


def settings_path(data: Path) -> Path:
    """Return the settings file inside a data folder."""
    return data / "practice.toml"


def recipients_path(data: Path) -> Path:
    """Return the file of the public keys that copies are encrypted to, inside a data folder."""
    return data / "recipients.txt"


def bundled(name: Literal["protocols", "sample_sessions"]) -> Path:
    """Return a folder that comes with the program: inside an installed package, or at the top of a checkout."""
    installed = _PACKAGE / "_data" / name
    # asked first, because beside an installed package another one's folder may have this name
    return installed if installed.is_dir() else _PACKAGE.parent / name
