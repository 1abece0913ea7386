"""Whatever is keyed in a replay and in work on a record: nothing breaks, nothing logged is lost, the way leads back."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest

from stepper.note.compose import compose
from stepper.record.clock import SetClock
from stepper.record.continuing import last_path
from stepper.record.keys import new_key, read_keys
from stepper.record.places import bundled
from stepper.record.verify import read
from stepper.screens.page import page_rows
from stepper.screens.palette import DARK, Look
from stepper.session.replay import Replay, open_replay
from stepper.session.review import Study
from stepper.session.signing import signed_by
from stepper.session.store import read_case
from tests.session.test_review import PASSPHRASE, START

SAMPLES = sorted(bundled("sample_sessions").glob("*.jsonl"))
LINES = 160
SOME = (
    "",
    "",
    "",
    "-",
    "+",
    "*",
    ".",
    ".",
    "/",
    "//",
    "++",
    "0",
    "1",
    "1",
    "1",
    "2",
    "3",
    "4",
    "6",
    "8",
    "9",
    "10",
    "11",
)
MORE = (
    "12",
    "15",
    "16",
    "17",
    "18",
    "18",
    "19",
    "21",
    "22",
    "25",
    "40",
    "2*",
    "7/",
    "--",
    "-/",
    "-.",
    "20.5",
    "35/4-0",
)
ODD = (
    "words of one's own",
    "a\tb",
    "x..",
    "1**1",
    "]d2010",
    "ä ö ü \u202e",
    "99999999999",
    PASSPHRASE,
    "wrong passphrase",
)


LIKELY = {
    "Who is at the keys": ("1", "1", "3"),
    "Which words": ("words of one's own", "ä ö ü **", "--", ODD[-2]),
    "Whose words are they": ("1", "2", "0"),
    "Who signs": ("1",),
    "Where to": ("12", "15", "16", "17", "18", "18", "19"),
    "Into which section of the note": ("1", "6", "20"),
}
"""What is keyed mostly where that is asked, or chance alone would seldom come to the end of anything."""


def looked_at(replay: Replay) -> None:
    """Paint what is shown, as the screen would."""
    rows = page_rows(replay.view(), replay.clocks(), replay.pending, None, (80, 24), Look(DARK))
    assert len(rows) == 24
    assert {row.cell_length for row in rows} == {80}


def chosen(draw: random.Random, replay: Replay) -> str:
    """Choose a line; a page is often read to its end, or nothing would ever be signed."""
    page = replay.view().page
    if page is not None and draw.random() < 0.8:
        return "" if page.number < page.of else "1"
    if replay.view().masked:
        return draw.choice((PASSPHRASE, "wrong passphrase", ""))
    likely = LIKELY.get(replay.view().prompt.question.split("?")[0])
    if likely is not None and draw.random() < 0.7:
        return draw.choice(likely)
    return draw.choice(draw.choices((SOME, MORE, ODD), (6, 3, 1))[0])


@pytest.mark.parametrize("seed", range(8))
def test_nothing_breaks_and_nothing_that_was_logged_is_lost(seed: int, tmp_path: Path) -> None:
    draw = random.Random(seed)
    (tmp_path / "sessions").mkdir()
    path = tmp_path / "sessions" / SAMPLES[seed % len(SAMPLES)].name
    for one in SAMPLES:
        shutil.copy(one, tmp_path / "sessions" / one.name)
    new_key(tmp_path, 1, "Clinician 1", "C1", PASSPHRASE, "2026-11-20")
    clock = SetClock(START, tick_s=1)
    replay, files = open_replay(path, study=Study(clock, tmp_path)), dict[Path, bytes]()
    for _ in range(LINES):
        replay.enter(chosen(draw, replay))
        looked_at(replay)
        now = {one: one.read_bytes() for one in tmp_path.glob(f"sessions/{path.stem}*.jsonl")}
        assert all(now[one].startswith(before) for one, before in files.items()), "a session only grows"
        files = now
        if replay.over:
            replay.leave()
            replay = open_replay(path, study=Study(clock, tmp_path))
    for line in ("/", "/", "0", "0", "/", "5"):
        if not replay.over:
            replay.enter(line)
    replay.leave()
    last = last_path(path)
    found, case, fault = read_case(last)
    assert (found.damage, fault) == (None, "")
    assert case is not None
    assert compose(case).sentences
    assert not signed_by(last, read(last), read_keys(tmp_path)).wrong
    lines = (line for data in files.values() for line in data.splitlines() if b'"free_text"' not in line)
    assert not any(PASSPHRASE.encode() in line for line in lines), "but where it was typed for words"
