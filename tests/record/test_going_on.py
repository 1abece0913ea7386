"""Going on in a new file through power cuts and failing calls, and what is taken for a file that was never begun."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from stepper.record import continuing
from stepper.record.continuing import SIGNATURE, cut_off_path, go_on, goes_on_in, is_begun, last_path, next_path
from stepper.record.journal import Journal
from stepper.record.problems import Busy, NotSaved
from stepper.record.register import register
from stepper.record.system import Os
from stepper.record.verify import read
from stepper.session import store
from tests.campaign.going_on import going_on_cuts
from tests.campaign.proofs import PROOFS
from tests.campaign.safeguards import NoFolderSync, NoSync
from tests.campaign.tally import Trial
from tests.record.sessions import clock, logged


@pytest.mark.parametrize("name", ["going on", "going on, faults"])
def test_nothing_is_lost_in_either_file(name: str) -> None:
    tally = PROOFS[name].for_each_change()
    assert tally.bad == 0, tally.told
    assert tally.count >= PROOFS[name].least
    kinds = {"damaged", "given up", "signed"}
    if name == "going on":
        assert {one for one in tally.seen if one.endswith(": not begun")} == {f"{kind}: not begun" for kind in kinds}
        assert tally.seen["damaged: made anew beside what was left"]
    else:
        assert {f"{kind}: {how}" for kind in kinds for how in ("done", "notsaved", "retired")} == set(tally.seen)


@pytest.mark.parametrize("without", [NoSync, NoFolderSync])
def test_the_proof_notices_that_nothing_is_synced(without: Callable[[Os], Os]) -> None:
    assert going_on_cuts(Trial(3, without=without)).bad


@pytest.mark.parametrize("taken_for_begun", [lambda path: path.exists(), lambda _: False])
def test_the_proof_notices_a_wrong_sight_of_what_was_begun(
    monkeypatch: pytest.MonkeyPatch, taken_for_begun: Callable[[Path], bool]
) -> None:
    for module in (continuing, store):
        monkeypatch.setattr(module, "is_begun", taken_for_begun)
    assert going_on_cuts(Trial(6)).bad


def test_the_proof_notices_that_what_was_left_is_thrown_away(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(continuing, "_set_aside", lambda new, _: new.unlink())
    assert going_on_cuts(Trial(12)).bad


def gone_on(folder: Path) -> Journal:
    path, entries = logged(folder)
    return go_on(path, read(path).entries[0], entries[-1], clock(), 1)


@pytest.mark.parametrize("left", [b"", b'{"v":1,"seq":0,', bytes(300), b"anything\nat all\n"])
def test_what_was_cut_off_is_not_begun_and_is_kept_beside_the_new_file(tmp_path: Path, left: bytes) -> None:
    path, entries = logged(tmp_path)
    new = next_path(path)
    new.write_bytes(left)
    assert not is_begun(new) and last_path(path) == path
    assert goes_on_in(path, ()) == ("", False)
    made = go_on(path, read(path).entries[0], entries[-1], clock(), 1)
    made.close()
    assert made.path == new and is_begun(new) and last_path(path) == new
    assert cut_off_path(new).read_bytes() == left
    assert read(new).entries[0]["continues"] == {"sid": path.stem, "entries": 4, "head": entries[-1]["hash"]}


def test_a_file_that_holds_an_entry_is_begun_whatever_became_of_its_first(tmp_path: Path) -> None:
    journal = gone_on(tmp_path)
    journal.append("fact", {}, 1)
    journal.close()
    data = bytearray(journal.path.read_bytes())
    data[20] ^= 1
    journal.path.write_bytes(data)
    assert not read(journal.path).entries and is_begun(journal.path)


def test_a_registered_file_is_begun_whatever_became_of_it(tmp_path: Path) -> None:
    journal = gone_on(tmp_path)
    journal.close()
    journal.path.write_bytes(b"")
    assert not is_begun(journal.path)
    register(tmp_path, journal.sid, 1, journal.head)
    assert is_begun(journal.path)


def test_what_is_no_plain_file_is_left_where_it_is(tmp_path: Path) -> None:
    path, entries = logged(tmp_path)
    new = next_path(path)
    makers: tuple[Callable[[], None], ...] = (new.mkdir, lambda: new.symlink_to("nowhere"), lambda: os.mkfifo(new))
    for make in makers:
        make()
        assert is_begun(new)
        with pytest.raises(NotSaved, match="cannot be made"):
            go_on(path, read(path).entries[0], entries[-1], clock(), 1)
        new.rmdir() if new.is_dir() else new.unlink()


def test_a_file_that_another_program_is_beginning_is_left_to_it(tmp_path: Path) -> None:
    journal = gone_on(tmp_path)
    path, new = tmp_path / f"{journal.path.name.removesuffix('.2.jsonl')}.jsonl", journal.path
    os.truncate(new, 0)  # as it is while its first entry is being written
    found = read(path)
    with pytest.raises(Busy, match="open in another program"):
        go_on(path, found.entries[0], found.entries[-1], clock(), 1)
    assert new.exists() and not cut_off_path(new).exists()
    journal.close()


def test_a_signature_is_named_as_such(tmp_path: Path) -> None:
    path, entries = logged(tmp_path)
    made = go_on(path, read(path).entries[0], {**entries[-1], "kind": SIGNATURE}, clock(), 1)
    made.close()
    assert made.last["continues"] == {"sid": path.stem, "entries": 4, "head": entries[-1]["hash"], "addendum": True}
