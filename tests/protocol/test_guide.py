"""The practice manager's guide names everything that a protocol can name, and nothing else."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

from stepper.kinds.all_computed import COMPUTED
from stepper.kinds.judging import Limits
from stepper.kinds.union import AnyQuestion, AnyRule
from stepper.protocol.holding import MARKED
from stepper.protocol.models import Occasion
from stepper.protocol.roles import ROLES

GUIDE = (Path(__file__).parents[2] / "protocols" / "README.md").read_text(encoding="utf-8")


def kinds(union: object) -> set[str]:
    """Give the names of the kinds in a union."""
    return {str(kind.__struct_config__.tag) for kind in get_args(union)}


def table(heading: str) -> set[str]:
    """Give the names in code in the first column of the table behind a heading of a section or of a column."""
    rows = GUIDE[GUIDE.index(heading) :].split("\n\n")
    tabled = next(block for block in rows if block.lstrip().startswith("| "))
    return {name for row in tabled.splitlines()[2:] for name in re.findall(r"`(\w+)`", row.split("|")[1])}


def test_it_names_every_kind_of_question():
    assert {name.strip("` ") for row in table("| kind | answer |") for name in [row]} | {"date"} >= kinds(AnyQuestion)


def test_it_names_every_kind_of_rule():
    assert table("| kind | speaks when |") == kinds(AnyRule)


def test_it_names_every_computed_value():
    assert table("| value | what it is |") == set(COMPUTED)


def test_it_names_every_limit():
    assert {name for name in Limits.__struct_fields__ if f"`{name}`" not in GUIDE} <= {
        "at_length_mm",
        "span_mm",
        "dry_within_mm",
    }  # these three are explained beside their figures in the file itself


def test_it_names_every_role():
    told = {"canals", "reference", "tooth_counted", "damp_mm"}  # explained beside their questions in the file itself
    assert {name for name in ROLES if f"`{name}`" not in GUIDE and name not in told} == set()


def test_it_names_every_item_that_a_question_is_marked_with():
    assert table("| item | what of the record |") - {"C", "incident"} == set(MARKED)


def test_it_names_every_condition_of_the_sheet():
    assert table("| key of `when` | holds if |") == set(Occasion.__struct_fields__)
