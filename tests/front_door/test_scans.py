"""A scanner's burst through the real program: one entry with every byte of it, as plain and kitty terminals send it."""

from __future__ import annotations

import json
from pathlib import Path

from tests.protocol.scraps import change, whole
from tests.session.stations import keyed
from tests.terminal import chair

ITEM = "02000000000015"  # a prefix kept for use inside a company, from memory
SCAN = f"]d201{ITEM}10LOT-2026/03.A\x1d172805311125010121S770012"
"""60 characters with a separator among them."""


def test_a_burst_with_a_separator_is_one_entry_with_every_byte(tmp_path: Path) -> None:
    text, _ = change(whole(), "", 'id = "resin_sealer"\n', f'id = "resin_sealer"\ncodes = ["{ITEM}"]\n')
    protocol = tmp_path / "stock.toml"
    protocol.write_text(text, encoding="utf-8")
    assert len(SCAN) == 60
    _, lines = keyed("set-up")
    folder = tmp_path / "data"
    with chair(folder, options=("--protocol", str(protocol))) as terminal:
        terminal.key(["1", "4711", "11", "1", "2", "1", *lines])
        terminal.wait("Stock number of what is set up")
        terminal.send(SCAN + "\r" + SCAN.replace("LOT-2026", "LOT-2027") + "\r")
        terminal.wait("LOT-2027/03.A")
        terminal.wait("good until 31 May 2028")
    (path,) = folder.rglob("*.jsonl")
    entries = [json.loads(line) for line in path.read_bytes().splitlines()]
    scanned = [entry for entry in entries if "lot" in entry.get("values", {})]
    assert [entry["values"]["lot"]["raw"] for entry in scanned] == [SCAN, SCAN.replace("LOT-2026", "LOT-2027")]
    assert scanned[0]["values"] == {
        "item": {"kind": "choice", "options": ["resin_sealer"]},
        "expiry": {"kind": "expiry", "year": 2028, "month": 5, "day": 31},
        "lot": {"kind": "scan", "raw": SCAN, "lot": "LOT-2026/03.A", "code": ITEM},
    }


def test_a_kitty_terminal_sends_the_same_scan_by_other_names(tmp_path: Path) -> None:
    """Such a terminal reports the separator as Ctrl and ] (CSI 93;5u), as measured."""
    _, lines = keyed("set-up")
    with chair(tmp_path) as terminal:
        terminal.key(["1", "4711", "11", "1", "2", "1", *lines, "11"])
        terminal.wait("Its expiry")
        terminal.send("]d210L5\x1b[93;5u17280531\r")
        terminal.wait("good until 31 May 2028")
    (path,) = tmp_path.rglob("*.jsonl")
    last = json.loads(path.read_bytes().splitlines()[-1])
    assert last["values"]["lot"] == {"kind": "scan", "raw": "]d210L5\x1d17280531", "lot": "L5"}
