"""Which proof notices which safeguard that was taken out: the proof that the proofs prove something."""

from __future__ import annotations

import fcntl
import os

import pytest

from stepper.record.system import Os
from tests.campaign.proofs import PROOFS
from tests.campaign.safeguards import NOTICED_BY, QUICK, SAFEGUARDS, Without, noticing, table
from tests.campaign.tally import Trial


def test_no_quick_proof_fails_while_all_safeguards_stand() -> None:
    found = {name: proof(Trial(rounds)) for name, (proof, rounds) in QUICK.items()}
    assert {name: tally.told for name, tally in found.items() if tally.bad} == {}


@pytest.mark.parametrize("name", SAFEGUARDS)
def test_a_safeguard_that_is_taken_out_is_noticed(name: str) -> None:
    assert noticing(name) == NOTICED_BY[name]


def test_every_safeguard_and_every_quick_proof_is_in_the_table() -> None:
    assert set(NOTICED_BY) == set(SAFEGUARDS)
    noticed = {proof for proofs in NOTICED_BY.values() for proof in proofs}
    assert all(NOTICED_BY.values())
    assert noticed == set(QUICK)
    assert table(NOTICED_BY).count("x") >= len(SAFEGUARDS)


class Hoarding(Without):
    """Says of an entry that it is written, and keeps it to itself until the next one comes."""

    def __init__(self, system: Os) -> None:
        super().__init__(system)
        self.kept = b""
        self.whole = 0

    def write(self, handle: int, data: bytes) -> int:
        self.whole = max(self.whole, os.fstat(handle).st_size) + len(data)
        self.system.write(handle, self.kept) if self.kept else None
        self.kept = data
        return len(data)

    def size(self, handle: int) -> int:  # noqa: ARG002
        return self.whole

    def lstat(self, path: str) -> os.stat_result:
        found = list(self.system.lstat(path))
        found[6] = self.whole
        return os.stat_result(found)


def test_kills_notice_a_writer_that_keeps_an_entry_to_itself() -> None:
    assert PROOFS["kills"].run(Trial(50, without=Hoarding)).bad


def test_a_crowd_notices_that_there_is_no_lock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fcntl, "flock", lambda *_: None)
    assert PROOFS["crowd"].run(Trial(100)).bad
