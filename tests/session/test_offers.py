"""What Enter offers leads somewhere else, and the line that tells what can follow is in the order asked."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.session.stations import VISIT, seated


def test_a_step_come_back_to_does_not_offer_itself(tmp_path: Path) -> None:
    chair = seated(tmp_path, "access")
    chair.key("3/", "85**6.2027**601", "6/")
    assert not chair.session.view().prompt.offer.startswith("Access")


def test_what_is_asked_last_does_not_offer_itself(tmp_path: Path) -> None:
    chair = seated(tmp_path, "anaesthesia")
    chair.key("74", "22**1.8**1**1", "")
    assert chair.session.view().prompt.question == "Effect tested"
    view = chair.key("4/", "22**0.9**1**1", "")
    assert view.prompt.question == "Effect tested"
    assert view.prompt.offer != "Effect tested"


@pytest.mark.parametrize("seed", range(6))
def test_no_offer_ever_leads_to_where_one_is(tmp_path: Path, seed: int) -> None:
    draw = random.Random(seed)
    chair = seated(tmp_path, draw.choice(["length", "shaping", "irrigation"]))
    lines = [line for place in VISIT.values() for line in place if "{" not in line]
    for _ in range(60):
        chair.key(draw.choice([*lines, "", "", *(f"{number}/" for number in range(1, 18))]))
        if chair.lobby.session is None:
            return
        room = chair.session.room
        before = (chair.session.view().prompt, room.cursor)
        if before[0].offer and before[0].title[:1].isdigit():
            chair.key("")
            after = (chair.session.view().prompt, room.cursor)
            assert after != before, before[0].offer


@pytest.mark.parametrize(
    ("station", "keys", "then"),
    [
        (
            "anaesthesia",
            ("74",),
            "** volume, site, aspiration?, [epinephrine limit: 1 usual, 2 cardiac patient, lower]",
        ),
        ("coronal seal", (), "** thickness?, cover, restorer, restore by?"),
        ("shaping", (), "** [purpose: 1 cut, 2 recapitulate, 3 patency, 4 scout]"),
        ("isolation", (), "** tight?, clamped?, through?"),
        ("coronal seal", ("3",), "** restorer, restore by?"),
    ],
)
def test_what_can_follow_is_told_in_the_order_asked(
    tmp_path: Path, station: str, keys: tuple[str, ...], then: str
) -> None:
    chair = seated(tmp_path, station)
    chair.key(*keys)
    assert chair.session.view().prompt.then == then
