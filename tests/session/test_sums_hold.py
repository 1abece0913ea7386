"""Whatever files are keyed at flare, gauging and shaping: no sum and no drawing fails, and all of it has room."""

from __future__ import annotations

import re
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepper.case.fold import fold
from stepper.kinds.gauged import gauged
from stepper.screens.page_size import text_height
from stepper.session.modes.drawing import Drawing
from stepper.sums.iso3630 import SIZES
from tests.drive import Chair
from tests.session.chairside import page, sums
from tests.session.plausible import home, mode
from tests.session.stations import seated
from tests.sums.test_gauging_words import PROPOSES

sizes = st.sampled_from(SIZES)
tapers = st.sampled_from(("", "/1", "/2", "/2", "/4", "/4", "/6", "/8", "/12", "/.035"))
depths = st.one_of(
    st.sampled_from(("-0", "-0", "-0", "-0.5", "-1", "-1.5", "-2", "+0.5", "+2")),
    st.integers(0, 4000).map(lambda whole: f"-{whole / 100:.2f}"),
)
stock = st.sampled_from(("0/51", "0/54", "0/62", "0/74"))
named = st.tuples(sizes, tapers).map(lambda both: f"{both[0]}{both[1] or '/4'}")
files = st.tuples(st.one_of(named, named, named, stock), depths).map("".join)
cut_lines = st.tuples(files, st.sampled_from(("", "", "", "**1", "**2", "**3", "**4"))).map("".join)
gauges = st.tuples(sizes, tapers, depths, st.sampled_from(("", "", "**1", "**2"))).map(
    lambda four: f"{four[0]}{four[1]}{four[2]}{four[3]}"
)
lines = st.lists(
    st.one_of(
        st.tuples(st.just("8/"), cut_lines),
        st.tuples(st.just("9/"), gauges),
        st.tuples(st.just("9/"), gauges),
        st.tuples(st.just("9/"), gauges),
        st.tuples(st.just("10/"), cut_lines),
        st.tuples(st.just("10/"), st.just(""), named),
        st.tuples(st.just("7/"), st.just("21**21**21**1**1")),
        st.tuples(st.just("9/"), st.just("3--"), gauges),
    ),
    min_size=1,
    max_size=14,
)


def looked_at(chair: Chair) -> None:
    """Paint what is shown, and the drawing, on the smallest screen and on a large one."""
    said = sums(chair.session.view())
    assert not [one for one in said if PROPOSES.search(re.sub("^(Cone|Files) ", "", one))]
    page(chair)
    page(chair, (200, 60))
    for size in ((80, 24), (120, 40)):
        chair.session.fit(text_height(size[1]))
        chair.key("/", "10")
        assert isinstance(mode(chair), Drawing)
        for _ in range(2):
            drawn = chair.session.view().page
            assert drawn is not None
            assert len(drawn.rows) <= text_height(size[1]), "\n".join(drawn.rows)
            assert all(len(row) <= 78 for row in drawn.rows)
            page(chair, size)
            chair.key("+")
        chair.key("")


@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
@given(lines)
def test_whatever_is_keyed_no_sum_fails_and_everything_has_room(keyed: list[tuple[str, ...]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        chair = seated(Path(folder) / "sessions", "flare")
        try:
            for group in keyed:
                for line in group:
                    chair.key(line)
                    assert home(chair, 6)
            looked_at(chair)
            kept, anew = chair.case, fold(chair.case.protocol, chair.case.entries)
            assert gauged(kept.seen(kept.told), 1) == gauged(anew.seen(anew.told), 1)
        finally:
            chair.session.leave()
