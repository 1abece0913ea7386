"""Power cuts and failing disks, simulated below the journal; single faults are in test_faults.py."""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest

from tests.campaign.disk import Disk
from tests.campaign.power import failed_syncs_resumed
from tests.campaign.proofs import PROOFS
from tests.campaign.registers import register_cuts
from tests.campaign.tally import Trial


def test_no_power_cut_takes_what_was_acknowledged() -> None:
    tally = PROOFS["power cuts"].for_each_change()
    assert tally.bad == 0, tally.told
    assert tally.count >= PROOFS["power cuts"].least
    # it proves something only if it left all that a power cut may leave
    assert set(tally.seen) == {"whole", "unfinished", "no file", "not begun", "called damaged at its end"}


def test_no_failing_call_takes_what_was_acknowledged() -> None:
    tally = PROOFS["faults"].for_each_change()
    assert tally.bad == 0, tally.told
    assert tally.count >= PROOFS["faults"].least
    assert set(tally.seen) == {"not saved", "retired"}


def test_what_a_failed_sync_left_is_not_gone_on_with() -> None:
    tally = failed_syncs_resumed(Trial(5))
    assert tally.bad == 0, tally.told


def test_a_power_cut_does_not_spoil_the_register() -> None:
    tally = register_cuts(Trial(5))
    assert tally.bad == 0, tally.told


def test_the_disk_itself(tmp_path: Path) -> None:
    disk = Disk(tmp_path, random.Random(1))
    path = tmp_path / "file"
    with path.open("wb", buffering=0) as file:
        number = file.fileno()
        disk.write(number, b"a" * 600)
        images = {disk.cut(path) for _ in range(300)}
        assert {None, b"", b"a" * 600} <= images
        assert {b"a" * 512 + bytes(88), bytes(512) + b"a" * 88} <= images
        disk.fdatasync(number)
        assert {disk.cut(path) for _ in range(50)} == {None, b"a" * 600}
        disk.write(number, b"b" * 600)
        images = {disk.cut(path) for _ in range(300)}
        assert all(image is None or image.startswith(b"a" * 600) for image in images)
        disk.ftruncate(number, 600)
        disk.fdatasync(number)
    assert {disk.cut(path) for _ in range(50)} == {None, b"a" * 600}
    handle = os.open(tmp_path, os.O_RDONLY)
    disk.fsync(handle)
    os.close(handle)
    assert {disk.cut(path) for _ in range(50)} == {b"a" * 600}


def test_a_failed_sync_may_lose_anything_that_waited_and_no_later_one_brings_it(tmp_path: Path) -> None:
    left = set()
    for seed in range(40):
        disk = Disk(tmp_path, random.Random(seed))
        path = tmp_path / f"file {seed}"
        with path.open("wb", buffering=0) as file:
            disk.write(file.fileno(), b"a" * 512)
            disk.plan = lambda call: OSError(5, "Input/output error") if call == "fdatasync" else None
            with pytest.raises(OSError, match="Input/output error"):
                disk.fdatasync(file.fileno())
            disk.plan = lambda _: None
            disk.write(file.fileno(), b"b" * 512)
            disk.fdatasync(file.fileno())
        left.add(disk.files[path.stat().st_ino].durable)
    assert left == {b"a" * 512 + b"b" * 512, bytes(512) + b"b" * 512}
