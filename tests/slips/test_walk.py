"""A share of every slip of one key in two whole visits; `python -m tests.slips` strikes them all."""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path
from unittest.mock import patch

import pytest

from stepper.session.modes import logging
from tests.slips.walk import NAMES, AmissError, Came, OneKey, Script, neighbours, one_key, slips, strike

SHARE = 150
SEED = 5


def test_the_keys_beside_a_key() -> None:
    assert neighbours("5") == "2468"
    assert neighbours("0") == ".12"
    assert neighbours("+") == "-69"
    assert neighbours("/") == "*8"


def test_the_slips_of_one_key_in_a_line() -> None:
    assert list(one_key("7")) == ["", "77", "4", "8"]
    assert "25/-0" in list(one_key("25/4-0"))
    assert "25/44-0" in list(one_key("25/4-0"))
    assert "25/5-0" in list(one_key("25/4-0"))
    assert "25/4-0" not in list(one_key("25/4-0"))


@pytest.mark.parametrize("name", NAMES)
def test_a_slip_of_one_key_is_refused_or_said_and_never_an_act(tmp_path: Path, name: str) -> None:
    keyed = Script(name, tmp_path)
    counts: Counter[Came] = Counter()
    for slip in random.Random(SEED).sample(list(slips(name)), SHARE):
        chair = keyed.chair_before(slip.number)
        counts[strike(chair, slip)] += 1
        keyed.put_away(chair)
    assert counts[Came.REFUSED] > SHARE / 2
    assert counts[Came.READ_BACK] > SHARE / 10


def test_a_slip_that_is_not_said_is_noticed(tmp_path: Path) -> None:
    keyed = Script(NAMES[0], tmp_path)
    number = keyed.lines.index("25/4-0")
    slip = OneKey(NAMES[0], number, "25/4-0", "15/4-0")
    assert strike(keyed.chair_before(number), slip) is Came.READ_BACK
    with patch.object(logging, "_say"), pytest.raises(AmissError, match=r"15/\.04"):
        strike(keyed.chair_before(number), slip)


def test_the_lines_of_a_script_come_to_the_end_of_the_visit(tmp_path: Path) -> None:
    """What is kept before each line is the visit as it was: the last lines close it from there."""
    keyed = Script(NAMES[1], tmp_path)
    chair = keyed.chair_before(len(keyed.lines) - 3)
    chair.key(*keyed.lines[-3:-1])
    assert chair.lobby.session is None
    assert chair.case.closed
