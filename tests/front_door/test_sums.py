"""The sums through the real program: typed on the keypad, read off its screen, and no word of them in the log."""

from __future__ import annotations

import signal
from pathlib import Path

from tests.drive import script
from tests.samples import SCRIPTS
from tests.terminal import Terminal, chair

PLAIN = script(SCRIPTS / "plain_single.keys")
GAUGED = PLAIN.index("35-1**1") + 1
DECLARED = PLAIN.index("35/4") + 1
CONE = PLAIN.index("35/4", DECLARED)


def shown(terminal: Terminal) -> str:
    """Give the middle column as running text: the steps beside it cut off, the bar before it too."""
    return " ".join(" ".join(row[24:] for row in terminal.screen.display).replace("▌", " ").split())


def test_what_nobody_reckons_stands_beside_each_question(tmp_path: Path) -> None:
    with chair(tmp_path) as terminal:
        at = PLAIN.index("74") + 1
        terminal.key(PLAIN[:at])
        terminal.wait("epinephrine at most 200 µg")
        terminal.key(PLAIN[at:GAUGED])
        # By hand: 30/.02 loose at length proves 0.28; 35/.02 held 1 mm short (0.7 to 1.3) touches at the latest at
        # 16 mm, where it is at most 0.35 + .02 x 15.3 + 0.02 = 0.676 mm wide.
        terminal.wait("0.28-0.68")
        assert "If the 35 was held at its tip: 0.28-0.37." in shown(terminal)
        terminal.key(["/", "10"])
        terminal.wait("page 1 of 2")
        assert "Narrowest at length: 0.28-0.68 mm" in terminal.text
        assert "NO UPPER BOUND" in terminal.text
        assert "ledge, a curve" in terminal.text
        terminal.key(["0"])
        terminal.key(PLAIN[GAUGED:DECLARED])
        terminal.wait("35/.04 against the canal as")
        assert "1 ISO size over 30." in shown(terminal)
        assert "30 G in 35/.04: loose down to length (smallest cut). Protocol: 2 mm short." in shown(terminal)
        terminal.kill(signal.SIGKILL)
    with chair(tmp_path) as terminal:
        terminal.key(["11"])
        terminal.wait("35/.04 against the canal as")  # it is reckoned anew, not remembered
        terminal.key(PLAIN[DECLARED:CONE])
        terminal.wait("Cone, size and taper")
        assert "35/.04" not in terminal.text
        terminal.key(["/", "10"])
        terminal.wait("Covered")
        assert "35/.04" not in terminal.text
        terminal.key(["35/4"])
        terminal.wait("Where the cone sits")
        assert "nominally it rests at length; within the tolerances 2.25 mm beyond to 2.25 mm short." in shown(terminal)
    (path,) = (tmp_path / "sessions").glob("*.jsonl")
    log = path.read_text(encoding="utf-8").split("\n", 1)[1]
    assert not any(word in log for word in ("straight canal", "0.28", "nominally", "as gauged"))
