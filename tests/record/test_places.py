from __future__ import annotations

from pathlib import Path

import pytest

from stepper.record import places


def test_a_folder_given_wins_and_nothing_is_made(tmp_path: Path) -> None:
    data = places.data_dir(tmp_path / "elsewhere")
    assert data == tmp_path / "elsewhere"
    assert places.sessions_dir(data) == data / "sessions"
    assert places.settings_path(data) == data / "practice.toml"
    assert list(tmp_path.iterdir()) == []


def test_the_platforms_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
    data = places.data_dir()
    assert data.is_relative_to(tmp_path)
    assert data.name == "stepper"


def test_what_comes_with_a_checkout() -> None:
    top = Path(__file__).parents[2]
    assert places.bundled("protocols") == top / "protocols"
    assert places.bundled("sample_sessions") == top / "sample_sessions"


def test_what_comes_with_a_wheel(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "stepper"
    (package / "_data" / "protocols").mkdir(parents=True)
    (tmp_path / "protocols").mkdir()  # some other package's
    monkeypatch.setattr(places, "_PACKAGE", package)
    assert places.bundled("protocols") == package / "_data" / "protocols"
