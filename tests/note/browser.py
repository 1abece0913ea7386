"""A real browser without a window: a page opened, its document as it stands then, what it complained of, its print.

Where there is none the tests are skipped; with STEPPER_BROWSER_NEEDED set, as in continuous integration, they fail.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

import pytest

NEEDED = "STEPPER_BROWSER_NEEDED"
NAMES = ("chromium", "chromium-browser", "google-chrome")
FLAGS = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync", "--enable-logging=stderr"),
)


def found() -> str:
    """Give the browser; skip where there is none, unless there has to be one."""
    path = next((found for name in NAMES if (found := shutil.which(name))), None)
    if path is not None:
        return path
    if os.environ.get(NEEDED):
        pytest.fail(f"no browser is installed: one of {', '.join(NAMES)} is needed, since {NEEDED} is set")
    pytest.skip(f"no browser is installed: none of {', '.join(NAMES)}")


@dataclass(frozen=True)
class Opened:
    """A document after it was loaded, and what the page wrote to the browser's console."""

    document: str
    console: list[str]


def opened(page: Path, tmp_path: Path) -> Opened:
    """Open a page and give its document."""
    ran = _run(tmp_path, "--dump-dom", page.as_uri())
    return Opened(ran.stdout, [line for line in ran.stderr.splitlines() if "CONSOLE" in line])


def printed(page: Path, tmp_path: Path) -> Path:
    """Print a page to PDF."""
    out = tmp_path / "printed.pdf"
    _run(tmp_path, f"--print-to-pdf={out}", "--no-pdf-header-footer", page.as_uri())
    return out


def _run(tmp_path: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    folder = tmp_path / f"profile-{len(list(tmp_path.iterdir()))}"
    command = [found(), *FLAGS, f"--user-data-dir={folder}", *arguments]
    return subprocess.run(command, capture_output=True, encoding="utf-8", timeout=120, check=True)
