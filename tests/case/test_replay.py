"""What is on the disk, read and folded anew, is the live case: after every line of the scripts, and of a bad day."""

from __future__ import annotations

import datetime as dt
import random
import shutil
from pathlib import Path

import pytest

from stepper.kinds.outcome import outcome_of
from stepper.session.store import read_case
from tests.case.looking import same
from tests.drive import Chair, script
from tests.protocols import second_visit
from tests.samples import FOLDER, SAMPLES, SCRIPTS, Sample

PLAIN = SCRIPTS / "plain_single.keys"

MOVES: tuple[tuple[str, ...], ...] = (
    ("10/", "40/4-0"),
    ("10/", "10/2-0**3"),
    ("10/", "35/4-0"),
    ("10/", "2--", "30/4-0"),
    ("10/", "", "35/4"),
    ("11/", "1**3**-2"),
    ("11/", "2**2**-1", "1"),
    ("11/", "3--", "2**2**-2"),
    ("12/", "0**1"),
    ("12/", "1--", "0**1", "/", "1", "1"),
    ("12/", "-/"),
    ("12/--",),
    ("13/", "35/4", "0**1**1"),
    ("14/", "1", "1"),
    ("7/", "20.5**22.5**20.5**1**1", "2"),
    ("7/", "21**21**21**2**1"),
    ("5/", "2"),
    ("5/", "1**1**11**1"),
    ("2/", "5183", "12", "11", "11"),
    (".", "1", "1", "0", "1"),
    (".", "1", "1", "1", "0", "1"),
    (".", "2", "1", "1", "35/4", "1"),
    (".", "1", "2", "1", "1"),
    (".", "3", "2", "-/"),
    (".", "2", "1", "--", "2"),
    ("/", "1"),
    ("//", "5"),
    ("//", "0"),
    ("+", "1"),
    ("",),
    ("..",),
    ("]1234",),
    ("1",),
    ("2",),
)
"""What may be keyed: files, rinses, dryings and fits, also late; corrections, incidents, absences, slips."""


def is_open(chair: Chair) -> bool:
    """Whether a session is open at the chair."""
    return chair.lobby.session is not None


def replayed(chair: Chair) -> None:
    """Hold the live case against the file read anew."""
    if not is_open(chair):
        return
    found, case, why = read_case(chair.path)
    assert found.damage is None and case is not None, why
    assert same(case, chair.case)
    assert (case.departures, case.owed, case.confirmed) == (
        chair.case.departures,
        chair.case.owed,
        chair.case.confirmed,
    )
    assert (case.overruled, case.incidents, case.details) == (
        chair.case.overruled,
        chair.case.incidents,
        chair.case.details,
    )
    assert (case.rung, case.misses, case.dropped, case.ended) == (
        chair.case.rung,
        chair.case.misses,
        chair.case.dropped,
        chair.case.ended,
    )


def seated(sample: Sample, folder: Path, minutes: int = 0) -> Chair:
    """Sit down to a sample; before a second visit, the first lies in the folder."""
    start = dt.datetime.fromisoformat(sample.start) + dt.timedelta(minutes=minutes)
    if not sample.after:
        return Chair(folder / "sessions", start=start)
    (folder / "sessions").mkdir(mode=0o700, exist_ok=True)
    shutil.copyfile(FOLDER / f"{sample.after}.jsonl", folder / "sessions" / f"{sample.after}.jsonl")
    return Chair(folder / "sessions", protocol=second_visit.write(folder), start=start)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.name)
def test_read_and_folded_anew_it_is_the_live_case_after_every_line(tmp_path: Path, sample: Sample) -> None:
    chair, ends = seated(sample, tmp_path), set[str | None]()
    for line in script(SCRIPTS / sample.keys):
        if line.startswith("KILL"):
            chair.session.leave()
            chair = seated(sample, tmp_path, minutes=60)
            continue
        chair.key(line)
        replayed(chair)
        ends = {outcome_of(chair.case.told, one) for one in chair.case.told.canals} if is_open(chair) else ends
    assert ends and None not in ends, "the script came to its end"


@pytest.mark.parametrize("seed", range(6))
def test_so_it_is_whatever_is_struck(tmp_path: Path, seed: int) -> None:
    draw, lines = random.Random(seed), script(PLAIN)
    chair = Chair(tmp_path)
    chair.key(*lines[: draw.randint(25, len(lines) - 4)])
    entries = len(chair.case.entries)
    for _ in range(25):
        for line in draw.choice(MOVES):
            chair.key(line)
            replayed(chair)
            if not is_open(chair):
                break
        if not is_open(chair):
            break
    else:
        assert len(chair.case.entries) > entries
