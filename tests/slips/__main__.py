"""The command: strike every slip of one key in the sample scripts, count what came of each, list what is only said."""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from pathlib import Path

from tests.slips.lists import ONLY_SAID
from tests.slips.shape import ReadBack
from tests.slips.table import ONLY_READ_BACK, SLIPS
from tests.slips.walk import NAMES, AmissError, Came, Script, slips, strike


def main() -> int:
    """Give 1 if a slip is neither refused nor said, or does an act."""
    counts: Counter[Came] = Counter()
    amiss: list[str] = []
    with tempfile.TemporaryDirectory() as folder:
        for name in NAMES:
            (Path(folder) / name).mkdir()
            keyed = Script(name, Path(folder) / name)
            for slip in slips(name):
                chair = keyed.chair_before(slip.number)
                try:
                    counts[strike(chair, slip)] += 1
                except AmissError as error:
                    amiss.append(str(error))
                keyed.put_away(chair)
    print(f"one key dropped, doubled or struck beside, in {' and '.join(NAMES)}: {counts.total() + len(amiss)}")
    for came in Came:
        print(f"{counts[came]:6} {came}")
    print(f"{len(amiss):6} amiss")
    for wrong in amiss:
        print(f"       {wrong}")
    print(f"the table: {len(SLIPS)} slips at questions, {len(ONLY_READ_BACK)} of them only read back:")
    for one in ONLY_READ_BACK:
        assert isinstance(one.follows, ReadBack)
        print(f"       {one.name}: {one.follows.words}")
    print(f"said by a conversation, and not listed by `.`: {len(ONLY_SAID)}")
    for said in ONLY_SAID:
        print(f"       {said.station} | {' '.join(key or 'Enter' for key in said.keys)}: {said.words}")
    return 1 if amiss else 0


if __name__ == "__main__":
    sys.exit(main())
