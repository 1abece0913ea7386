"""Session files with anything in them, and `stepper check` on them: an exit code and a sentence, no traceback."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from stepper.cli.main import main
from stepper.record.chain import genesis, hash_in, seal
from tests.campaign.changes import SAMPLES
from tests.campaign.proofs import PROOFS


@pytest.mark.parametrize("name", ["fuzz", "large files", "strange paths"])
def test_anything_gets_an_exit_code_and_a_sentence(name: str) -> None:
    tally = PROOFS[name].for_each_change()
    assert tally.bad == 0, tally.told
    assert tally.count >= PROOFS[name].least
    if name == "fuzz":  # it proves something only if all kinds of files got as far as they can
        assert {"anything 2", "spoilt 1", "spoilt 2", "sealed anew 0", "sealed anew 1", "sealed anew 2"} <= set(
            tally.seen
        )


def test_a_machine_clock_that_counted_for_ever_gets_a_sentence(tmp_path: Path) -> None:
    rows, head = (SAMPLES / "plain-single-canal.jsonl").read_bytes().split(b"\n")[:-1], ""
    path = tmp_path / "plain-single-canal.jsonl"
    for number, row in enumerate(rows):
        entry = json.loads(row)
        del entry["hash"]
        if number == 5:
            entry["mono_us"] = 10**30
        line = seal(json.dumps(entry, separators=(",", ":"), ensure_ascii=False).encode(), head or genesis(path.stem))
        rows[number], head = line, hash_in(line)
    path.write_bytes(b"\n".join([*rows, b""]))
    assert main(["note", str(path)]) in (0, 1)


@pytest.mark.parametrize("command", ["check", "note"])
def test_a_last_entry_that_does_not_hold_is_spoken_of(
    tmp_path: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    sample = SAMPLES / "plain-single-canal.jsonl"
    bent = bytearray(sample.read_bytes())
    bent[-100] ^= 1
    path = tmp_path / sample.name
    path.write_bytes(bent)
    main([command, str(path)])
    told = "".join(capsys.readouterr())
    assert "cut off" in told or "unfinished" in told
