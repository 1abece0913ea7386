"""The cone: where it rests is foretold once it is keyed, and until then nothing gives the file away."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.drive import Chair
from tests.session.chairside import CUT, DESIGNED, page, sums, to_cone
from tests.session.stations import seated


@pytest.fixture
def flared(tmp_path: Path) -> Chair:
    """A front tooth, one canal of 22 mm, at the flare."""
    return seated(tmp_path / "sessions", "flare")


REST = (
    "Cone 40/.04 in a canal cut by 40/.04: nominally it rests at length; within the tolerances "
    "2.25 mm beyond to 2.25 mm short."
)


def test_once_the_cone_is_keyed_it_is_foretold_where_it_rests(flared: Chair) -> None:
    flared.key(*DESIGNED, *CUT, "40/4")
    assert to_cone(flared).prompt.blind
    view = flared.key("40/4")
    assert view.prompt.question == "Where the cone sits"
    assert sums(view) == (REST,)  # 0.07 of the cone and 0.02 of the file, by 0.04: both from memory
    assert sums(flared.key("0**1**1")) == ()


def test_a_cone_that_does_not_enter_and_one_that_may_not(flared: Chair) -> None:
    flared.key(*DESIGNED, *CUT, "40/4")
    to_cone(flared)
    flared.key("140/4", "2", "1**1")
    assert sums(flared.session.view()) == (
        "Cone 140/.04 in a canal cut by 40/.04: nominally it does not enter the cut part.",
    )


def test_nothing_before_the_cone_tells_where_one_would_rest(flared: Chair) -> None:
    flared.key(*DESIGNED, *CUT, "40/4")
    for line in ("1**4**-2**31", "2**2**-2", "1**4**-2", "", "0**1", "", "1**11"):
        view = flared.key(line)
        assert not any("Cone" in one for one in sums(view))


def test_a_comparison_does_not_stand_beside_the_blind_cone(flared: Chair) -> None:
    flared.key(*DESIGNED, *CUT, "40/4", "13/", "1**11", "10/", "45/4-0", "", "45/4")
    assert "45/.04 against the canal as gauged" in sums(flared.session.view())[0]
    view = flared.key("13/")
    assert view.prompt.blind
    assert sums(view) == ()
    assert "45/.04 against the canal as gauged" in sums(flared.key("11/"))[0]


SIGNS = ("", "/", "-", ".", "*", "++", "+", "//", "99", "11*1")
MENU = [str(number) for number in range(1, 14)]
DEEPER = (("//", "1"), ("//", "1", ""), ("/", "21", "1"), ("/", "6", "2"))


@pytest.mark.parametrize("lines", [*((one,) for one in SIGNS), *(("/", one) for one in MENU), *DEEPER])
def test_while_the_cone_is_blind_nothing_gives_the_file_away(flared: Chair, lines: tuple[str, ...]) -> None:
    flared.key("25/6-0", "", "40-0", "", "40/4-0", "", "40/4", "2")  # no size over the gauge: asked, and owed
    to_cone(flared)
    assert sums(flared.session.view()) == ()
    for line in lines:
        flared.key(line)
        for size in ((80, 24), (120, 40), (200, 60)):
            text = " ".join(page(flared, size))
            assert "40/" not in text
            assert "gauging file 40" not in text
            assert "Cone" in text


@pytest.mark.parametrize("number", ["1", "2", "10"])
def test_correct_look_back_and_draw_are_covered(flared: Chair, number: str) -> None:
    flared.key(*DESIGNED, *CUT, "40/4")
    to_cone(flared)
    view = flared.key("/", number)
    assert view.saying == "Covered: answer what is asked from its source first."
    assert view.prompt.blind
    assert view.page is None


def test_what_waits_is_there_again_once_the_cone_is_read(flared: Chair) -> None:
    flared.key("25/6-0", "", "40-0", "", "40/4-0", "", "40/4", "2")
    to_cone(flared)
    assert not any("Master apical" in one.text for one in flared.key("/").prompt.choices)
    flared.key("0", "40/4")
    assert any("Master apical" in one.text for one in flared.key("/").prompt.choices)


def test_what_waits_about_the_tooth_or_another_canal_is_not_covered(tmp_path: Path) -> None:
    chair = seated(tmp_path / "sessions", "both measured")
    chair.key("8/", "12*25/6-0", "9/", "12*40-0", "10/", "12*40/4-0", "1*", "", "1*40/4", "2", "1*", "13/", "1**11")
    assert chair.session.view().prompt.blind
    assert not any("Master apical" in one.text for one in chair.key("/").prompt.choices)
    chair.key("0", "2*", "1**11")
    assert chair.session.view().prompt.blind
    assert any("B: Master apical" in one.text for one in chair.key("/").prompt.choices)


def test_a_cone_that_was_refused_is_not_read_aloud_as_right(flared: Chair) -> None:
    flared.key("25/6-0", "", "40-0", "", "40/4-0", "", "40/4", "2")
    to_cone(flared)
    view = flared.key("45/4")
    assert view.prompt.title.startswith("STOP")
    assert view.readback == ""
    assert flared.key("*").readback == "", "nor by repeating it"
    view = flared.key("1", "40/4")
    assert "40/.04" in view.readback
