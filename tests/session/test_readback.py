"""What is read aloud after a line for several canals: the same of several is said once, and nothing is left out."""

from __future__ import annotations

from pathlib import Path

from tests.screens.test_page import page
from tests.session.stations import seated


def test_the_same_of_several_canals_is_said_once_with_all_their_names(tmp_path: Path) -> None:
    chair = seated(tmp_path, "three canals")
    chair.key("0*22", "0*21**21**21**2**1", "10/", "0*25/4-0", "")
    view = chair.key("0*25/4")
    assert view.readback == "MB, ML, D, master apical file 25/.04."
    assert "master apical file 25/.04." in " ".join(page(view).split())


def test_one_canal_is_said_by_itself(tmp_path: Path) -> None:
    chair = seated(tmp_path, "three canals")
    chair.key("0*22", "0*21**21**21**2**1", "10/", "0*25/4-0", "")
    assert chair.key("2*25/4").readback == "ML, master apical file 25/.04."
