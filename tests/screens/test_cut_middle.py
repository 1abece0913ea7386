"""A long text in few cells keeps what tells it apart: its last figures."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from stepper.screens.rows import cut_middle


@pytest.mark.parametrize(
    ("text", "width", "shown"),
    [
        ("Saline 0.9 %", 12, "Saline 0.9 %"),
        ("Sodium hypochlorite 3 %", 12, "Sodium h…3 %"),
        ("Nickel-titanium rotary file 35/.06", 12, "Nicke…35/.06"),
        ("Chlorhexidine 2 %", 12, "Chlorhex…2 %"),
        ("Mepivacaine 3 % without epinephrine", 12, "Mepivacaine…"),
        ("Dam sheet, without latex", 12, "Dam sheet, …"),
        ("anything", 0, ""),
        ("anything", 1, "…"),
    ],
)
def test_the_end_stays_where_it_is_short(text: str, width: int, shown: str) -> None:
    assert cut_middle(text, width) == shown


@given(st.text(max_size=60), st.integers(0, 40))
def test_it_never_takes_more_cells_than_there_are(text: str, width: int) -> None:
    assert cell_len(cut_middle(text, width)) <= width
