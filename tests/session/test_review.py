"""Work on a record after the visit, from its replay: corrected, written into, confirmed, settled, signed."""

from __future__ import annotations

import datetime as dt
import os
import shutil
from pathlib import Path

import pytest

from stepper.note.compose import compose
from stepper.note.markdown import render
from stepper.note.phrases import at
from stepper.record.clock import SetClock
from stepper.record.journal import Journal
from stepper.record.keys import new_key, read_keys
from stepper.record.places import bundled
from stepper.record.system import Os
from stepper.record.verify import read
from stepper.session.replay import Replay, open_replay
from stepper.session.review import Study
from stepper.session.signing import signed_by
from stepper.session.store import read_case

FOLDER = bundled("sample_sessions")
PASSPHRASE = "a long passphrase"
START = dt.datetime(2026, 11, 20, 18, 0, tzinfo=dt.timezone(dt.timedelta(hours=1)))
GAUGED = 25
"""The entry of the sample in which a gauging file was held, and what it says."""


@pytest.fixture
def data(tmp_path: Path) -> Path:
    (tmp_path / "sessions").mkdir()
    for path in FOLDER.glob("*.jsonl"):
        shutil.copy(path, tmp_path / "sessions" / path.name)
    return tmp_path


@pytest.fixture
def path(data: Path) -> Path:
    return data / "sessions" / "wrong-cone-caught.jsonl"


def replayed(path: Path, data: Path) -> Replay:
    clock = SetClock(START, tick_s=1)
    return open_replay(path, study=Study(clock, data))


def key(replay: Replay, *lines: str) -> str:
    """Enter lines and give what is said then."""
    for line in lines:
        replay.enter(line)
    return replay.view().saying


def asked(replay: Replay) -> str:
    return replay.view().prompt.question


def kinds(path: Path, since: int) -> list[str]:
    return [str(one["kind"]) for one in read(path).entries[since:]]


def test_an_entry_is_corrected_where_it_is_replayed_and_the_note_says_so(path: Path, data: Path) -> None:
    replay, before = replayed(path, data), len(read(path).entries)
    key(replay, str(GAUGED), ".")
    assert asked(replay) == "Who is at the keys?"
    assert len(read(path).entries) == before, "nothing is written before somebody has said who"
    key(replay, "1", "1", "2", "2", "1")
    entries = read(path).entries[before:]
    assert [one["kind"] for one in entries] == ["relief", "resume", "correction", "confirm"]
    assert [one["by"] for one in entries[1:]] == [1, 1, 1]
    assert entries[2]["of"] == GAUGED
    assert replay.view().title.startswith(f"REPLAY entry {before + 3} of {before + 3}")
    assert replay.view().saying == "Confirmed."
    note = render(compose(read_case(path)[1]))  # type: ignore[arg-type]
    assert "Held there, was yes, is no, loose or stopped short" in note
    here = [one.text for one in replay.view().note if one.here]
    assert len(here) == 1
    assert here[0].endswith(f"[{GAUGED}, {before + 2}, {before + 3}]")
    assert any(one.corrected and "gauging file 30/.02" in one.text for one in replay.view().note), (
        "the changed line too"
    )
    replay.leave()


def test_the_keys_are_asked_for_once_and_a_second_thing_begins_at_once(path: Path, data: Path) -> None:
    replay, before = replayed(path, data), len(read(path).entries)
    key(replay, str(GAUGED), ".", "1", "0")
    key(replay, "/", "15")
    assert asked(replay) == "Into which section of the note?"
    key(replay, "6")
    assert replay.view().prompt.title == "Write: Access"
    key(replay, "2* the pulp, 12** and 3/ and .. no more ; x..")
    assert replay.view().prompt.card == ("2* the pulp, 12** and 3/ and .. no more ; x..",), (
        "words are no line of the keypad"
    )
    key(replay, "1")
    assert kinds(path, before) == ["relief", "resume", "free_text"]
    told = read(path).entries[-1]
    assert (told["section"], told["said_by"], told["by"]) == ("Access", 1, 1)
    assert replay.view().note
    replay.leave()


def test_going_back_everywhere_writes_nothing_more(path: Path, data: Path) -> None:
    replay, content = replayed(path, data), path.read_bytes()
    for lines in (("0",), ("/",), ("9", "x", "1**1", "", "0")):
        key(replay, ".", *lines)
        assert replay.view().title.startswith("REPLAY"), lines
    assert path.read_bytes() == content
    key(replay, ".", "1")
    opened = path.read_bytes()
    for lines in ((".", "0"), (".", "/"), ("/", "15", "0"), ("/", "15", "1", ""), ("/", "15", "1", "words", "0", "")):
        key(replay, *lines)
        if not replay.view().title.startswith("REPLAY"):
            key(replay, "/")
        assert replay.view().title.startswith("REPLAY"), lines
    assert path.read_bytes() == opened
    replay.leave()


def test_a_visit_that_is_not_closed_belongs_to_the_chair(path: Path, data: Path) -> None:
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(lines[:40]))
    replay = replayed(path, data)
    assert "not closed" in key(replay, ".")
    assert path.read_bytes() == b"".join(lines[:40])


def test_what_is_damaged_or_open_elsewhere_is_only_read(path: Path, data: Path) -> None:
    clock = SetClock(dt.datetime(2026, 11, 20, 18, 0, tzinfo=dt.UTC))
    held = Journal.resume(path, clock).journal
    replay = replayed(path, data)
    assert "is open in another program" in key(replay, ".", "1")
    assert replay.view().title.startswith("REPLAY")
    held.close()
    bent = bytearray(path.read_bytes())
    bent[-3_000] ^= 1
    path.write_bytes(bent)
    assert key(replayed(path, data), ".") == "Only to be read here."
    assert path.read_bytes() == bytes(bent)


def test_a_full_disk_leaves_the_line_standing(path: Path, data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    replay = replayed(path, data)
    key(replay, str(GAUGED), ".", "1", "1", "2")
    before = path.read_bytes()
    monkeypatch.setattr(Os, "write", lambda *_: (_ for _ in ()).throw(OSError(28, "No space left on device")))
    assert "No space left" in key(replay, "2")
    assert replay.pending == "2"
    assert path.read_bytes() == before
    monkeypatch.undo()
    key(replay, "2", "1")
    assert read(path).entries[-1]["kind"] == "confirm"
    replay.leave()


def read_through(replay: Replay) -> int:
    """Turn to the last page; gives how many there are."""
    page = replay.view().page
    assert page is not None
    while page.number < page.of:
        assert "Read to the last page first" in key(replay, "1")
        key(replay, "")
        page = replay.view().page
        assert page is not None
    return page.of


def test_it_is_signed_only_once_it_was_read_to_the_end(path: Path, data: Path) -> None:
    made = new_key(data, 1, "Clinician 1", "C1", PASSPHRASE, "2026-11-20")
    replay, before = replayed(path, data), len(read(path).entries)
    key(replay, "/", "18", "1")
    assert read_through(replay) >= 4
    rows = replay.view().page
    assert rows is not None
    assert any("1 and Enter signs: I have read this record" in row for row in rows.rows)
    key(replay, "1", "1")
    assert replay.view().masked
    saved = path.read_bytes()
    assert "not the passphrase" in key(replay, "wrong one")
    assert path.read_bytes() == saved, "nothing is written for a wrong passphrase"
    assert replay.view().masked
    assert key(replay, PASSPHRASE) == "Signed by Clinician 1 (C1)."
    assert kinds(path, before)[-1] == "signature"
    assert signed_by(path, read(path), read_keys(data)).holds
    assert read(path).entries[-1]["key"] == made.id
    assert PASSPHRASE.encode() not in path.read_bytes()
    assert replay.view().title.startswith("REPLAY")
    assert not replay.view().masked


def test_what_comes_after_the_signature_is_an_addendum(path: Path, data: Path) -> None:
    new_key(data, 1, "Clinician 1", "C1", PASSPHRASE, "2026-11-20")
    replay = replayed(path, data)
    key(replay, "/", "18", "1")
    read_through(replay)
    key(replay, "1", "1", PASSPHRASE)
    signed = path.read_bytes()
    key(replay, str(GAUGED), ".", "1", "1", "2", "2", "1")
    replay.leave()
    second = path.with_name("wrong-cone-caught.2.jsonl")
    assert path.read_bytes() == signed, "the signed file is never written to again"
    assert kinds(second, 1)[-2:] == ["correction", "confirm"]
    case = read_case(second)[1]
    assert case is not None
    assert "NOT SIGNED" in {one.mark for one in compose(case).sentences}


def test_nobody_has_a_key(path: Path, data: Path) -> None:
    replay = replayed(path, data)
    key(replay, "/", "18", "1")
    read_through(replay)
    key(replay, "1")
    assert key(replay, "1") == "Nobody has a key yet: stepper key makes one."
    assert replay.view().title.startswith("REPLAY")
    replay.leave()


def test_nothing_that_is_confirmed_is_left_out_of_what_is_read(data: Path) -> None:
    path = data / "sessions" / "interrupted-and-corrected.jsonl"
    case = read_case(path)[1]
    assert case is not None
    assert case.departures
    replay = replayed(path, data)
    key(replay, "/", "18", "1")
    read_through(replay)
    rows: list[str] = []
    for _ in range(3):
        page = replay.view().page
        assert page is not None
        rows = [*page.rows, *rows]
        key(replay, "-")
    told = " ".join(" ".join(rows).split())
    for one in case.departures.values():
        assert one.reason in told
    replay.leave()


def test_what_a_correction_asks_is_asked_and_nothing_rings(path: Path, data: Path) -> None:
    replay, before = replayed(path, data), len(read(path).entries)
    key(replay, "21", ".", "1", "1", "1", "28", "1")
    assert "28 mm and image 25 mm are 3 mm apart" in " ".join((asked(replay), *replay.view().prompt.card))
    assert replay.view().title.startswith("REVIEW")
    assert replay.bells() == 0
    key(replay, "1", "1", "1")
    assert replay.view().title.startswith("REPLAY")
    assert kinds(path, before) == ["relief", "resume", "correction", "confirm", "departure"]
    replay.leave()


def test_an_alarm_of_a_correction_is_silent_too(path: Path, data: Path) -> None:
    replay, before = replayed(path, data), len(read(path).entries)
    cone = next(one["seq"] for one in reversed(read(path).entries) if "cone" in one.get("values", {}))  # type: ignore[operator]
    key(replay, str(cone), ".", "1", "1")
    replay.enter("30/4") if "Which fact" not in asked(replay) else key(replay, "1", "30/4")
    key(replay, "1")
    assert "sound" not in kinds(path, before)
    assert replay.bells() == 0
    case = read_case(path)[1]
    assert case is not None
    assert "STOP" in {one.mark for one in compose(case).sentences}
    replay.leave()


def test_a_wiped_line_changes_nothing_and_leaves_the_question(path: Path, data: Path) -> None:
    replay = replayed(path, data)
    key(replay, str(GAUGED), ".", "1", "1")
    question, content = asked(replay), path.read_bytes()
    assert key(replay, "2..") == ""
    assert asked(replay) == question
    assert path.read_bytes() == content
    replay.leave()


def test_a_disk_that_gives_up_lets_the_review_go_on_in_a_new_file(
    path: Path, data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    replay = replayed(path, data)
    key(replay, "/", "15", "1", "6", "These words are there already", "1")
    key(replay, str(GAUGED), ".", "1", "2")
    given_up, sync, failed = path.stat().st_ino, Os.fdatasync, list[int]()

    def fail_once(system: Os, handle: int) -> None:
        if os.fstat(handle).st_ino == given_up:
            failed.append(handle)
            raise OSError(5, "Input/output error")
        sync(system, handle)

    monkeypatch.setattr(Os, "fdatasync", fail_once)
    assert "Going on in wrong-cone-caught.2.jsonl: Enter logs the line again." in key(replay, "2")
    assert (replay.pending, len(failed)) == ("2", 1)
    key(replay, "2", "1")
    replay.leave()
    assert kinds(path.with_name("wrong-cone-caught.2.jsonl"), 1) == ["resume", "correction", "confirm"]


def test_what_waits_for_a_yes_and_what_the_record_lacks_is_read_before_signing(path: Path, data: Path) -> None:
    replay = replayed(path, data)
    key(replay, str(GAUGED), ".", "1", "1", "2", "2", "2")
    key(replay, "/", "18")
    rows: list[str] = []
    while True:
        page = replay.view().page
        assert page is not None
        rows += page.rows
        if page.number == page.of:
            break
        key(replay, "")
    told = " ".join(" ".join(rows).split())
    assert "LATE ENTRIES AND CORRECTIONS THAT YOU CONFIRM - entry 68: keyed wrong, entry 25: now no" in told
    assert "What a root canal record should hold" in told
    assert "NOTE OF A ROOT CANAL VISIT" in told
    replay.leave()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("\x07 a bell", "A sign in it cannot be seen (U+0007)"),
        ("a \x1b[31m red", "A sign in it cannot be seen (U+001B)"),
        ("left \u202e right", "A sign in it cannot be seen (U+202E)"),
        ("nul \x00", "A sign in it cannot be seen (U+0000)"),
        ("18", "Words have letters"),
        ("15.", "Words have letters"),
        ("/", "Words have letters"),
    ],
)
def test_what_is_no_text_is_refused_in_words_and_stands_again(words: str, said: str, path: Path, data: Path) -> None:
    replay, content = replayed(path, data), path.read_bytes()
    key(replay, "/", "15", "1", "6")
    assert said in key(replay, words)
    assert replay.pending == words, "it can be mended, and need not be typed anew"
    assert replay.view().prompt.question == "Which words?"
    assert path.read_bytes() == content
    replay.leave()


def test_what_is_open_elsewhere_is_only_read_even_once_it_is_free(path: Path, data: Path) -> None:
    replay = open_replay(path, "Open elsewhere.", replayed(path, data)._study)
    assert replay.view().saying == "Open elsewhere."
    assert key(replay, ".") == "Only to be read here."
    assert key(replay, "/", "18") == "Only to be read here."


def test_after_the_visit_no_clock_runs_on(path: Path, data: Path) -> None:
    replay = replayed(path, data)
    key(replay, "64")
    assert replay.clocks().running
    key(replay, "65")
    assert replay.clocks().running == ()
    assert replay.clocks().now == "15:07"


def test_sums_stand_beside_the_entry_as_they_stood_then(path: Path, data: Path) -> None:
    replay = replayed(path, data)
    key(replay, str(GAUGED))
    assert (
        replay.view()
        .prompt.sums[0]
        .startswith("Round, straight canal assumed: narrowest width at length 0.23-0.63 mm.")
    )
    key(replay, "30")
    assert any(one.startswith("30/.04 against the canal as gauged.") for one in replay.view().prompt.sums)
    key(replay, "23")
    assert replay.view().prompt.sums == ()


def test_looking_writes_nothing_however_much_is_looked_at(path: Path, data: Path) -> None:
    new_key(data, 1, "Clinician 1", "C1", PASSPHRASE, "2026-11-20")
    replay, content = replayed(path, data), path.read_bytes()
    looks = (("16",), ("17", ""), ("12", "0"), ("15", "0"), ("18", "0"), ("18", "/"))
    key(replay, "25", ".", "3", "0")
    for number, *rest in looks:
        key(replay, "/", number, *rest)
        assert replay.view().title.startswith("REPLAY entry 25 of 65"), number
    key(replay, "/", "18")
    read_through(replay)
    key(replay, "1", "1", "")
    assert replay.view().saying == "Nothing was signed."
    replay.leave()
    assert path.read_bytes() == content
    assert {one.name for one in data.glob("sessions/wrong*")} == {path.name}


def test_looking_at_a_signed_record_makes_no_new_file(path: Path, data: Path) -> None:
    new_key(data, 1, "Clinician 1", "C1", PASSPHRASE, "2026-11-20")
    replay = replayed(path, data)
    key(replay, "/", "18", "1")
    read_through(replay)
    key(replay, "1", "1", PASSPHRASE)
    key(replay, str(GAUGED), ".", "1", "1", "2", "")
    key(replay, "/", "17", "")
    replay.leave()
    assert {one.name for one in data.glob("sessions/wrong*")} == {path.name}


def test_after_the_visit_nothing_is_measured_anew(path: Path, data: Path) -> None:
    replay = replayed(path, data)
    key(replay, str(GAUGED), ".", "1")
    assert [one.text for one in replay.view().prompt.choices] == ["keyed wrong: the fact was otherwise"]
    key(replay, "2")
    assert replay.view().prompt.title == "Correct"
    replay.leave()


def test_only_a_clinician_at_the_keys_says_yes(path: Path, data: Path) -> None:
    replay, before = replayed(path, data), len(read(path).entries)
    key(replay, str(GAUGED), ".", "3", "1", "2", "2")
    assert replay.view().saying == "Correction logged. It waits for the clinician's own yes, at signing at the latest."
    key(replay, "/", "16")
    assert "waits for the clinician's own yes" in replay.view().saying
    assert kinds(path, before) == ["resume", "correction"], "the one at the keys keyed the visit too"
    key(replay, "/", "19")
    assert asked(replay) == "Who is at the keys?"
    assert key(replay, "1") == "Clinician 1 is at the keys from now on."
    key(replay, "/", "16", "1")
    assert kinds(path, before) == ["resume", "correction", "relief", "resume", "confirm"]
    assert read(path).entries[-1]["said_by"] == 1
    replay.leave()


def test_who_is_at_the_keys_stands_at_the_head(path: Path, data: Path) -> None:
    replay = replayed(path, data)
    key(replay, str(GAUGED), ".", "3")
    assert replay.view().title == "REVIEW by Assistant 2 · patient 60247, tooth 33"
    replay.leave()


def test_words_are_written_anew_and_withdrawn_and_what_stood_is_kept(path: Path, data: Path) -> None:
    replay, before = replayed(path, data), len(read(path).entries)
    key(replay, "/", "15", "1", "6", "The first words.", "1")
    seq = len(read(path).entries) - 1
    key(replay, str(seq), ".")
    assert replay.view().prompt.card == ("Now: The first words.",)
    key(replay, "Better words.", "1")
    case = read_case(path)[1]
    assert case is not None
    access = next(one for one in compose(case).sections if one.title == "Access")
    assert access.sentences[-1].text.startswith("Better words. (Clinician 1 in writing, ")
    assert access.sentences[-1].entries == (seq, seq + 1)
    assert not any("The first words" in one.text for one in access.sentences)
    assert "Entry 69 took the place of these words: go there." in key(replay, str(seq), ".")
    key(replay, str(seq + 1), ".", "--", "1")
    case = read_case(path)[1]
    assert case is not None
    access = next(one for one in compose(case).sections if one.title == "Access")
    assert not any("words" in one.text for one in access.sentences)
    changes = [
        one for one in compose(case).sentences if "were written anew" in one.text or "were withdrawn" in one.text
    ]
    assert [one.entries for one in changes] == [(seq, seq + 1), (seq + 1, seq + 2)]
    assert "Before: The first words." in changes[0].text
    assert kinds(path, before) == ["relief", "resume", "free_text", "free_text", "free_text"]
    replay.leave()


def test_an_entry_that_holds_nothing_to_be_corrected_says_so(path: Path, data: Path) -> None:
    replay = replayed(path, data)
    key(replay, "23", ".", "1")
    assert replay.view().saying == "Entry 23 holds nothing that can be corrected. These do."
    replay.leave()


def test_a_value_that_was_corrected_is_shown_with_what_stands_now(path: Path, data: Path) -> None:
    replay = replayed(path, data)
    key(replay, str(GAUGED), ".", "1", "1")
    assert [one.text for one in replay.view().prompt.choices] == ["gauge: 30/.02 1 mm short", "held: yes"]
    key(replay, "2", "2", "1", str(GAUGED), ".", "1")
    told = [one.text for one in replay.view().prompt.choices]
    assert told == ["gauge: 30/.02 1 mm short", "held: yes (now no, loose or stopped short)"]
    key(replay, "2")
    assert asked(replay) == "Held there (now no, loose or stopped short)"
    replay.leave()


def test_an_entry_tells_that_it_was_corrected_later(path: Path, data: Path) -> None:
    replay = replayed(path, data)
    key(replay, str(GAUGED), ".", "1", "1", "2", "2", "1")
    key(replay, str(GAUGED))
    assert replay.view().prompt.hint.endswith("; corrected later by entry 68")
    key(replay, "24")
    assert "corrected later" not in replay.view().prompt.hint
    replay.leave()


def test_of_several_files_all_of_the_session_is_replayed(path: Path, data: Path) -> None:
    new_key(data, 1, "Clinician 1", "C1", PASSPHRASE, "2026-11-20")
    replay = replayed(path, data)
    key(replay, "/", "18", "1")
    read_through(replay)
    key(replay, "1", "1", PASSPHRASE)
    key(replay, str(GAUGED), ".", "1", "1", "2", "2", "1")
    replay.leave()
    again = replayed(path, data)
    assert again.view().saying.startswith("wrong-cone-caught.jsonl goes on in wrong-cone-caught.2.jsonl; all of it")
    assert again.view().title.startswith("REPLAY entry 0 of 70")


def test_what_a_correction_brings_to_light_after_the_visit_stands_and_is_neither_held_nor_done(data: Path) -> None:
    """Nothing can be held back that was seated months ago, and nobody was warned then."""
    path = data / "sessions" / "interrupted-and-corrected.jsonl"
    replay, before = replayed(path, data), len(read(path).entries)
    key(replay, "64", ".", "1", "1", "40/4", "1")
    assert replay.view().prompt.title == "STOP: Cone fit P"
    assert [one.text for one in replay.view().prompt.choices] == ["seen: it stands, and the note says so"]
    assert key(replay, "2") != ""
    assert replay.view().prompt.title == "STOP: Cone fit P", "2 is no way here"
    assert key(replay, "1") == "It stands, and the note says so. What was keyed wrong is corrected by ."
    assert kinds(path, before) == ["relief", "resume", "correction", "confirm"]
    key(replay, "/", "18")
    pages = [replay.view().prompt.page]
    while pages[-1] is not None and pages[-1].number < pages[-1].of:
        key(replay, "")
        pages.append(replay.view().prompt.page)
    last = [row.strip() for page in pages[-2:] if page is not None for row in page.rows]
    assert "STOPS THAT STAND, AND ARE SIGNED AS THEY STAND" in last
    assert any(row.startswith("- P: Cone 40/.04 does not go with master apical file 30/.04") for row in last)
    replay.leave()


def test_after_the_visit_a_reason_is_given_and_nothing_owed_until_a_closing_that_is_over(data: Path) -> None:
    path = data / "sessions" / "plain-single-canal.jsonl"
    replay = replayed(path, data)
    key(replay, "3", ".", "1", "1", "2", "3", "1")
    assert replay.view().prompt.title.startswith("Ask the clinician")
    assert [one.text for one in replay.view().prompt.choices] == ["reason, and who said it"]
    replay.leave()


def test_who_takes_over_says_so_and_the_entry_before_is_that_of_the_visit(path: Path, data: Path) -> None:
    replay, before = replayed(path, data), read(path).entries[-1]
    key(replay, str(GAUGED), ".", "1", "1", "2", "2", "1")
    replay.leave()
    relief = read(path).entries[len(read(path).entries) - 4]
    assert (relief["kind"], relief["person"], relief["by"]) == ("relief", 1, 1)
    case = read_case(path)[1]
    assert case is not None
    keyed = at(case, case.entries[int(str(before["seq"]))])
    assert f"the session was opened again; the entry before was keyed at {keyed}" in render(compose(case))


def test_a_correction_that_was_corrected_again_is_said_to_be(path: Path, data: Path) -> None:
    replay = replayed(path, data)
    key(replay, str(GAUGED), ".", "1", "1", "2", "2", "2")
    first = read(path).entries[-1]["seq"]
    key(replay, str(GAUGED), ".", "1", "2", "1", "2")
    again = read(path).entries[-1]["seq"]
    assert first != again
    key(replay, "/", "16")
    assert f"(corrected again by entry {again})" in asked(replay)
    assert f"(corrected again by entry {first})" not in asked(replay)
    replay.leave()
