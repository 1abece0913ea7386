"""Each slip of the table: refused and nothing logged, or read back with canal and value and taken back in two lines."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepper.facts.values import Absent, Choice, Value
from stepper.screens.page import page_rows
from stepper.screens.palette import Look, palette_for
from stepper.session.modes.asking import Asking
from stepper.session.modes.correcting import SpokenYes
from stepper.session.modes.remarking import AskAgain
from stepper.session.view import ChairView, Tone
from tests.drive import Chair
from tests.session.plausible import asking, mode
from tests.session.stations import seated
from tests.session.ways import speaking
from tests.slips.shape import Held, Opens, Place, ReadBack, Refused, Slip
from tests.slips.table import SLIPS

LOOK = Look(palette_for("dark", "truecolor"))
Facts = dict[tuple[str, int, int, str], Value]


def of(kind: type) -> list[object]:
    return [pytest.param(one, id=one.name) for one in SLIPS if isinstance(one.follows, kind)]


def at(place: Place, folder: Path) -> Chair:
    chair = seated(folder, place.at)
    chair.key(*place.before)
    return chair


def facts(chair: Chair) -> Facts:
    """Every fact of the record that says something, by where it belongs."""
    return {
        (step, canal, row.number, name): fact.value
        for (step, canal), rows in chair.case.told.rows.items()
        for row in rows
        for name, fact in row.facts.items()
        if not isinstance(fact.value, Absent)
    }


def spoken(view: ChairView) -> str:
    band = view.band.text if view.band is not None else ""
    return f"{view.saying} | {view.readback} | {band}"


def painted(chair: Chair, view: ChairView) -> str:
    """The whole screen at 80x24, in one line, so that a folded sentence can be found."""
    rows = page_rows(view, chair.lobby.clocks(), "", None, (80, 24), LOOK)
    return " ".join(" ".join(row.text for row in rows).split())


@pytest.mark.parametrize("slip", of(Refused))
def test_it_is_refused_in_words_and_nothing_is_logged(tmp_path: Path, slip: Slip) -> None:
    assert isinstance(slip.follows, Refused)
    chair = at(slip.place, tmp_path)
    kept, before = chair.path.read_bytes(), chair.session.view()
    view = chair.key(slip.struck)
    assert slip.follows.words in view.saying
    assert chair.path.read_bytes() == kept
    assert view.prompt == before.prompt, "the same is asked again"
    assert (view.band, chair.bells) == (None, chair.bells)


@pytest.mark.parametrize("slip", of(ReadBack))
def test_it_is_read_back_and_taken_back_in_two_lines(tmp_path: Path, slip: Slip) -> None:
    follows = slip.follows
    assert isinstance(follows, ReadBack)
    meant = at(slip.place, tmp_path / "meant")
    if not follows.undone:
        meant.key(slip.place.meant, *follows.covered)
    chair = at(slip.place, tmp_path / "struck")
    view = chair.key(slip.struck)
    assert follows.words in spoken(view)
    assert follows.words in painted(chair, view), "it can be read at the least size"
    assert facts(chair) != facts(meant)
    assert (follows.rings in speaking(chair)) if follows.rings else asking(chair)
    assert bool(view.band) == bool(follows.rings and view.band), "nothing else rings"
    _take_back(chair, follows)
    assert asking(chair)
    left = {key: value for key, value in facts(chair).items() if facts(meant).get(key) != value}
    assert set(facts(meant)) <= set(facts(chair))
    assert all(isinstance(value, Choice) for value in left.values()), "what went with it: the purpose of no file"
    assert not left or "--" in follows.mend


def _take_back(chair: Chair, follows: ReadBack) -> None:
    """Key the two lines, and what the clinician says to them; a blind question is read again instead."""
    if type(mode(chair)) is AskAgain:
        chair.key(follows.mend)
        return
    chair.key(*follows.leave, *follows.covered, ".", follows.mend)
    assert type(mode(chair)) is SpokenYes
    chair.key("1")


@pytest.mark.parametrize("slip", of(Held))
def test_it_is_held_before_it_is_done(tmp_path: Path, slip: Slip) -> None:
    follows = slip.follows
    assert isinstance(follows, Held)
    chair = at(slip.place, tmp_path)
    before = facts(chair)
    view = chair.key(slip.struck)
    assert speaking(chair) == {follows.rule}
    assert follows.words in view.prompt.question
    assert facts(chair) == before
    view = chair.key(follows.back)
    assert "Held back, not done: " in view.saying
    assert facts(chair) == before
    assert asking(chair)


@pytest.mark.parametrize("slip", of(Opens))
def test_what_it_opens_says_so_and_is_left_by_one_line(tmp_path: Path, slip: Slip) -> None:
    follows = slip.follows
    assert isinstance(follows, Opens)
    chair = at(slip.place, tmp_path)
    before, asked = facts(chair), chair.session.view().prompt
    view = chair.key(slip.struck)
    assert view.prompt.title.startswith(follows.title)
    assert facts(chair) == before
    moved = type(mode(chair)) is Asking
    assert not moved or not slip.struck or view.saying.startswith("At "), "where one is now is said"
    view = chair.key(follows.back)
    assert view.prompt == asked
    assert facts(chair) == before
    assert view.saying_tone is not Tone.STOP
