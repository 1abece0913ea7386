"""Replay: at every entry the case, remarks and note that the entries up to there give, whichever way one came."""

from __future__ import annotations

import datetime as dt
import fcntl
import os
import random
import shutil
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepper.case.fold import fold
from stepper.case.gate import shut
from stepper.case.judge import judge
from stepper.case.state import Case
from stepper.facts import entries as kinds
from stepper.facts.entries import AnyEntry
from stepper.facts.remarks import Remark, Weight, canal_of
from stepper.facts.values import Number
from stepper.kinds.outcome import outcome_of
from stepper.note.compose import compose
from stepper.note.noted import noted
from stepper.record.problems import Unreadable
from stepper.session import past as past_module
from stepper.session.past import Past, copied
from stepper.session.replay import Replay, open_replay
from stepper.session.replay_ways import WAYS
from stepper.session.store import read_case
from stepper.session.view import ChairView
from tests.cases import Log, opened, ready
from tests.drive import Chair
from tests.samples import FOLDER
from tests.session.test_visit import DIAGNOSED, NUMBED, SET_UP

SAMPLES = sorted(FOLDER.glob("*.jsonl"))
WRONG = FOLDER / "wrong-cone-caught.jsonl"


def five_canals(folder: Path) -> Path:
    """Key a wandering session of five canals, two found late, with what raises remarks, reopens and corrects."""
    chair = Chair(folder)
    chair.open(tooth="26")
    chair.key(*DIAGNOSED, "4711", "26", "26", *SET_UP, *NUMBED, "1**1**26**1", "26**3", "2+3+4", "1", "1", "1", "1**1")
    chair.key("/", "3", "9", "/", "3", "5", "12345*21", "1*21**21**21**1**1", "2*20**20**20**1**1")
    chair.key("3*21**22**21.5**1**1", "45*19**19**19**1**1", "9/", "1*30/2-0**1", "2*30/2-0**1", "3*25/2-1**1")
    chair.key("10/", "1*25/4-0", "2*30/4-0", "3*20/4+1", "1", "2", "1", "45*25/4-0", "//", "2", "1", "1")
    chair.key("11/", "1*1**4**-2**31", "12*2**2**-2", "10/", "1*35/4-0", "2--", "4*20/4-0", ".", "1", "1")
    chair.key("1", "20/4-1", "2", "14/", "1*9999", "2", "2*8888", "")
    chair.session.leave()
    assert len(chair.case.told.canals) == 5, chair.lobby.view().prompt
    assert {"correction", "incident", "departure", "sound"} <= {entry.kind for entry in chair.case.entries}
    return chair.path


@pytest.fixture(scope="module")
def five(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return five_canals(tmp_path_factory.mktemp("five") / "sessions")


def whole(path: Path) -> Case:
    case = read_case(path)[1]
    assert case is not None
    return case


def prefixes(case: Case) -> list[Case]:
    """The case at every entry, each folded from the start."""
    return [fold(case.protocol, case.entries[: end + 1]) for end in range(len(case.entries))]


def stands(case: Case) -> object:
    """What a case says: its gates, outcomes, and remarks with how they stand."""
    canals = case.told.canals
    judged = sorted((one.remark.key, one.remark.text, one.standing) for one in judge(case))
    return {number: (shut(case, number), outcome_of(case.told, number)) for number in canals}, judged


def keys(case: Case) -> set[str]:
    return {one.remark.key for one in judge(case)}


def where(replay: Replay) -> int:
    return int(replay.view().title.split()[2])


def last(replay: Replay) -> int:
    return int(replay.view().title.split()[4])


def text_of(replay: Replay) -> list[str]:
    """Read an open text through to its last page, and close it."""
    rows: list[str] = []
    while (page := replay.view().page) and page.number > 1:
        replay.enter("-")
    while True:
        page = replay.view().page
        assert page is not None
        rows += page.rows
        if page.number == page.of:
            replay.enter("*")
            assert replay.view().page is None
            return rows
        replay.enter("")


def words_of(rows: list[str]) -> list[str]:
    """All words of a text in order, without the signs that stand before a line."""
    return " ".join(row[2:] for row in rows).casefold().split()


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_at_every_entry_it_is_the_fold_of_the_entries_up_to_there(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(past_module, "STRIDE", 7)
    case = whole(path)
    truth = prefixes(case)
    said = [stands(one) for one in truth]
    past = Past(case)
    onwards = list(range(len(truth)))
    jumps = random.Random(3).sample(onwards, 25)
    for to in (*onwards, *reversed(onwards), *jumps):
        past.go(to)
        assert past.at == to
        assert past.case == truth[to]
        assert stands(past.case) == said[to]
    assert case == fold(case.protocol, case.entries), "the whole case is never changed"


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_forward_back_and_by_number_show_the_same(path: Path) -> None:
    replay = open_replay(path)
    onwards: list[tuple[ChairView, object]] = [(replay.view(), replay.clocks())]
    while where(replay) < last(replay):
        replay.enter("")
        onwards.append((replay.view(), replay.clocks()))
    assert len(onwards) == len(whole(path).entries)
    replay.enter("")
    assert "last entry" in replay.view().saying
    for seq in reversed(range(len(onwards) - 1)):
        replay.enter("-")
        assert (replay.view(), replay.clocks()) == onwards[seq]
    replay.enter("-")
    assert where(replay) == 0
    assert "first entry" in replay.view().saying
    for seq in random.Random(5).sample(range(len(onwards)), 25):
        replay.enter(str(seq))
        assert (replay.view(), replay.clocks()) == onwards[seq]
        replay.enter(str(seq))
        assert (replay.view(), replay.clocks()) == onwards[seq], "going to where one is changes nothing"
    for view, _ in onwards:
        assert not view.covered
        assert view.banner.startswith("PRACTICE")
        assert view.log[-1].current
        assert [line.current for line in view.log].count(True) == 1


@pytest.mark.parametrize("path", [*SAMPLES, None], ids=lambda path: path.stem if path else "five")
def test_the_next_remark_is_where_one_comes_up_or_holds_back(path: Path | None, five: Path) -> None:
    case = whole(path or five)
    truth = prefixes(case)
    wanted = [
        seq
        for seq in range(1, len(truth))
        if keys(truth[seq]) - keys(truth[seq - 1]) or case.entries[seq].kind == "held"
    ]
    replay, found = open_replay(path or five), list[int]()
    while not replay.view().saying.startswith("No further remark"):
        replay.enter("+")
        found.append(where(replay))
    assert found[:-1] == wanted
    assert found[-1:] == (wanted or [0])[-1:], "where there is no further one, one stays"
    assert wanted or path is not None
    replay.enter("+")
    assert where(replay) == found[-1]
    replay.enter("0")
    replay.enter("+")
    assert where(replay) == found[0], "that there was none further on says nothing of what is before"


def test_a_remark_that_comes_back_is_stopped_at_again() -> None:
    log = Log()
    log.found(1, "MB")
    length = log.answer("length", 1, working_length="30")
    log.correct(0, tooth="13")
    back = log.correct(0, tooth="46")
    past = Past(log.case())
    past.go(length)
    (remark,) = past.came_up
    past.go(length + 1)
    assert remark.key not in keys(past.case)
    past.go(length)
    assert past.next_remark() == back
    past.go(back)
    assert remark in past.came_up


def test_the_wrong_cone_is_found_and_later_says_that_it_rang() -> None:
    replay = open_replay(WRONG)
    replay.enter("+")
    view = replay.view()
    assert view.prompt.question == "cone 35/.04"
    assert view.prompt.hint == "keyed at 14:43 by Assistant 2"
    assert view.log[-1].seq == where(replay)
    (remark,) = view.remarks
    assert (remark.word, remark.standing) == ("stop", "open, came up here")
    assert view.canals[0].gate == "shut"
    assert replay.bells() == 0
    replay.enter("")
    assert replay.view().prompt.question.startswith("rang twice: Cone 35/.04")
    assert [one.standing for one in replay.view().remarks] == ["open, rang twice"]
    assert replay.bells() == 0


def test_what_an_entry_reopened_is_said_once_and_the_gate_shows_it() -> None:
    replay, seen = open_replay(WRONG), list[str]()
    for seq in range(last(replay) + 1):
        replay.enter(str(seq))
        if replay.view().saying:
            seen.append(replay.view().saying)
            assert replay.view().prompt.question == "file 35/.04 at length, purpose cut"
            assert replay.view().canals[0].gate == "shut"
            words = {step.title: step.word for step in replay.view().steps}
            assert [words[name] for name in ("Irrigation", "Drying", "Cone fit")] == ["reopened"] * 3
    (sentence,) = seen
    assert sentence.startswith("Reopened by it: Irrigation")


def test_what_a_correction_reopened_is_put_down_to_the_entry_that_did_it() -> None:
    log = ready()
    file = log.answer("shaping", 1, 9, file="20/4-0", purpose="patency")
    log.correct(file, purpose="cut")
    replay = Replay(Past(log.case()), Path("corrected.jsonl"))
    replay.enter(str(file))
    assert replay.view().saying == "Reopened by it: Drying MB."
    replay.enter("")
    assert replay.view().saying.startswith(f"Reopened by entry {file} (Shaping MB, ")
    assert "Cone fit MB" in replay.view().saying
    assert "Drying" not in replay.view().saying.split(":")[-1]


def test_remarks_that_are_answered_are_not_among_those_that_wait(five: Path) -> None:
    replay = open_replay(five)
    for seq in range(last(replay) + 1):
        replay.enter(str(seq))
        view = replay.view()
        standings = [one.standing for one in view.remarks]
        assert not any(one.startswith("passed") for one in standings)
        new = ["came up here" in one for one in standings]
        assert new == sorted(new, reverse=True), "what came up here stands first"
    replay.enter("/")
    replay.enter("1")
    assert "passed" in " ".join(text_of(replay))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_note_is_that_of_the_file_cut_off_there(path: Path, tmp_path: Path) -> None:
    lines = path.read_bytes().splitlines(keepends=True)
    replay = open_replay(path)
    for end in {0, 1, len(lines) // 3, len(lines) // 2, len(lines) - 1}:
        cut = tmp_path / path.name
        cut.write_bytes(b"".join(lines[: end + 1]))
        replay.enter(str(end))
        replay.enter("*")
        case = whole(cut)
        told = " ".join(one.traced for one in noted(case, compose(case)))
        assert words_of(text_of(replay)) == told.casefold().split()
        assert where(replay) == end


def test_what_stands_lists_every_remark_with_its_answer(five: Path) -> None:
    replay, case = open_replay(five), whole(five)
    for line in ("/", "4", "/", "1"):
        replay.enter(line)
    said = " ".join(" ".join(text_of(replay)).split())
    judged = judge(case)
    assert len({one.standing for one in judged}) == 3
    for one in judged:
        assert " ".join(one.remark.text.split()) in said
    reasons = [case.departures[one.remark.key] for one in judged if one.remark.key in case.departures]
    assert reasons
    for departure in reasons:
        assert f"{departure.reason} (Clinician 1), entry {departure.seq}" in said
    assert "passed" in said
    assert said.count("rang") == 1, "the others did not ring"
    for line in ("0", "/", "1"):
        replay.enter(line)
    assert "No remark" in " ".join(text_of(replay))


def of_canal(case: Case, canal: int) -> list[int]:
    """The entries of a canal, told from their members alone."""
    found: list[int] = []
    for entry in case.entries:
        about = entry
        while isinstance(about, kinds.Correction | kinds.IncidentDetail):
            about = case.entries[about.of]
        if isinstance(about, kinds.Departure | kinds.Owe):
            number = int(about.remark.split(":")[1])
        else:
            number = 0 if isinstance(about, kinds.Go) else getattr(about, "canal", 0)
        found += [entry.seq] if number == canal else []
    return found


def test_a_canal_and_a_step_are_gone_to(five: Path) -> None:
    replay, case = open_replay(five), whole(five)
    for canal in range(1, 6):
        replay.enter("0")
        wanted = of_canal(case, canal)
        assert wanted
        for seq in wanted:
            replay.enter(f"{canal}*")
            assert where(replay) == seq
        replay.enter(f"{canal}*")
        assert where(replay) == wanted[-1]
        assert replay.view().saying == f"Canal {canal} has no entry after entry {wanted[-1]}."
    for number, step in enumerate(case.protocol.step, start=1):
        entries = [one for one in case.entries if getattr(one, "step", "") == step.id and one.kind != "go"]
        replay.enter("0")
        replay.enter(f"{number}/")
        assert where(replay) == (entries[0].seq if entries else 0)
        if not entries:
            assert replay.view().saying == f"{step.title} has no entry."
        else:
            assert next(one for one in replay.view().steps if one.current).title == step.title
    assert any(one.current for one in replay.view().canals) is False


def test_header_and_canals_stand_as_they_stood(tmp_path: Path) -> None:
    chair = Chair(tmp_path / "sessions")
    chair.open(tooth="11")
    chair.key(*DIAGNOSED, "4711", "21", "21", "2")
    chair.session.leave()
    replay = open_replay(chair.path)
    assert "patient 4711, tooth 11" in replay.view().title
    assert replay.view().subtitle.startswith("upper right central incisor")
    assert replay.view().canals == ()
    replay.enter(str(last(replay)))
    assert "patient 4711, tooth 21" in replay.view().title
    assert "waits for the clinician's yes" in replay.view().prompt.hint
    assert not replay.view().covered


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("999", "There is no entry 999; they are numbered from 0 to 65."),
        ("66", "There is no entry 66; they are numbered from 0 to 65."),
        ("9" * 400, "There is no entry 999999999999; they are numbered"),
        ("3*", "Canal 3 has no entry after entry 12."),
        ("18/", "There is no step 18; steps are 1 to 17."),
        ("0/", "Nothing is logged in replay."),
        ("15/", "Dressing has no entry."),
        ("12*", "Nothing is logged in replay."),
        ("0*", "Nothing is logged in replay."),
        ("5--", "Nothing is logged in replay."),
        ("3/--", "Nothing is logged in replay."),
        (".", "Only to be read here."),
        ("--", "Nothing is logged in replay."),
        ("35/4-0", "Nothing is logged in replay."),
        ("1**1", "Nothing is logged in replay."),
        ("2*20", "Nothing is logged in replay."),
        ("a word", "Nothing is logged in replay."),
        ("]d201\x1d", "Nothing is logged in replay."),
        ("\x1d", "Nothing is logged in replay."),
        ("1..", "Wiped."),
    ],
)
def test_what_cannot_be_done_is_said_in_one_sentence_and_changes_nothing(line: str, said: str) -> None:
    replay = open_replay(WRONG)
    replay.enter("12")
    before = replay.view()
    replay.enter(line)
    assert replay.view().saying.startswith(said)
    assert replay.view().log == before.log
    assert where(replay) == 12
    replay.enter("")
    assert where(replay) == 13
    assert replay.view().saying == ""


def test_the_menu_has_fixed_numbers_and_goes_where_it_says() -> None:
    replay = open_replay(WRONG)
    replay.enter("/")
    assert [one.number for one in replay.view().prompt.choices] == list(WAYS)
    for line in ("20", "word", "1**1", "-", "+", "1*2"):
        replay.enter(line)
        assert replay.view().saying == "Type one of the numbers that are listed, then Enter; 0 goes back."
        assert len(replay.view().prompt.choices) == len(WAYS)
    for back in ("", "0", "/"):
        replay.enter(back)
        assert replay.view().prompt.title == "Entry 0"
        replay.menu()
        replay.menu()
        assert len(replay.view().prompt.choices) == len(WAYS)
        replay.move("right")
        assert len(replay.view().prompt.choices) == len(WAYS)
    replay.enter("4")
    assert where(replay) == 65
    replay.enter("/")
    replay.enter("2")
    page = replay.view().page
    assert page is not None
    assert page.title == "The note as it stood at entry 65"
    replay.enter("/")
    assert replay.view().page is None
    replay.enter("3")
    assert where(replay) == 0
    assert replay.view().page is None
    assert not replay.view().over
    replay.enter("/")
    replay.enter("5")
    assert replay.view().over


def test_the_pages_of_the_note() -> None:
    replay = open_replay(WRONG)
    replay.enter("39")
    replay.enter("*")
    first = replay.view().page
    assert first is not None
    assert (first.number, len(first.rows) <= 18) == (1, True)
    replay.enter("-")
    assert replay.view().page == first
    assert replay.view().saying == "This is the first page."
    replay.enter("")
    replay.move("down")
    replay.move("right")
    replay.move("left")
    page = replay.view().page
    assert page is not None
    assert page.number == 3
    for line in ("+", "2*", "word", "//"):
        replay.enter(line)
        assert replay.view().page == page
        assert "* close" in replay.view().saying
    replay.fit(34)
    taller = replay.view().page
    assert taller is not None
    assert taller.of < page.of
    assert page.rows[0] in taller.rows, "what was being read stays in sight"
    for _ in range(taller.of):
        replay.enter("")
    assert replay.view().saying == "This is the last page; * closes it."
    replay.enter("*")
    assert (replay.view().page, where(replay)) == (None, 39)


def test_arrows_and_tab_walk() -> None:
    replay = open_replay(WRONG)
    for direction in ("right", "down", "right"):
        replay.move(direction)
    replay.take_offer()
    assert where(replay) == 4
    for direction in ("left", "up"):
        replay.move(direction)
    assert where(replay) == 2


LINES = st.one_of(
    st.sampled_from(
        ["", "", "", "-", "-", "+", "*", "/", "1", "2", "3", "4", "0", "1*", "2*", "7/", "14/", "40", "999", "..", "//",
         "move right", "move up", "tab", "menu", "fit 1", "fit 18", "fit 50"]
    ),
    st.text(max_size=12),
)  # fmt: skip


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(lines=st.lists(LINES, max_size=40), name=st.sampled_from([*(path.name for path in SAMPLES), "five"]))
def test_whatever_is_keyed_it_stays_within_the_session(lines: list[str], name: str, five: Path) -> None:
    path = five if name == "five" else FOLDER / name
    replay, content = open_replay(path), path.read_bytes()
    end = last(replay)
    for line in lines:
        match line.split():
            case ["move", direction]:
                replay.move(direction)
            case ["fit", rows]:
                replay.fit(int(rows))
            case ["tab"]:
                replay.take_offer()
            case ["menu"]:
                replay.menu()
            case _:
                replay.typing(line)
                replay.enter(line)
        view = replay.view()
        assert 0 <= where(replay) <= end
        assert view.log[-1].seq == where(replay)
        assert len(view.saying.split("\n")) == 1
        assert replay.clocks().now
        assert view.read_only
        if view.page is not None:
            assert 1 <= view.page.number <= view.page.of
    assert path.read_bytes() == content


def test_nothing_is_opened_for_writing_or_locked(five: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    five.chmod(0o444)
    opened_with: list[int] = []
    open_file = os.open

    def watched(path: object, flags: int, *rest: object, **named: object) -> int:
        opened_with.append(flags)
        return open_file(path, flags, *rest, **named)  # type: ignore[call-overload, no-any-return]

    def locked(*_: object) -> None:
        raise AssertionError("replay takes no lock")

    monkeypatch.setattr(os, "open", watched)
    for name in ("flock", "lockf", "fcntl"):
        monkeypatch.setattr(fcntl, name, locked)
    before = (five.read_bytes(), five.stat().st_mtime_ns, sorted(five.parent.iterdir()))
    replay = open_replay(five)
    for line in ("", "+", "*", "", "*", "1*", "/", "1", "*", "/", "5"):
        replay.typing(line)
        replay.enter(line)
        replay.view()
    replay.leave()
    assert opened_with
    assert not any(flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND) for flags in opened_with)
    assert (five.read_bytes(), five.stat().st_mtime_ns, sorted(five.parent.iterdir())) == before


def test_a_damaged_file_is_replayed_as_far_as_it_stands(tmp_path: Path) -> None:
    lines = WRONG.read_bytes().split(b"\n")
    lines[21] = lines[21].replace(b'"by":3', b'"by":1')
    path = tmp_path / WRONG.name
    path.write_bytes(b"\n".join(lines))
    replay = open_replay(path)
    assert replay.damaged
    assert replay.view().saying.startswith(f"Session {WRONG.stem} is damaged: entry 21")
    assert replay.view().saying.count(". ") == 0
    assert last(replay) == 20
    replay.enter("4")
    assert replay.view().saying == ""
    assert replay.view().banner == "PRACTICE   DAMAGED AFTER ENTRY 20"


def test_a_last_entry_that_was_cut_off_is_said(tmp_path: Path) -> None:
    path = tmp_path / WRONG.name
    path.write_bytes(WRONG.read_bytes()[:-30])
    replay = open_replay(path)
    assert not replay.damaged
    assert last(replay) == 64
    assert replay.view().saying.startswith("The last entry was cut off")


def rubbish() -> Iterator[tuple[str, str, bytes]]:
    """File names and contents that are no session, and what the sentence names."""
    lines = WRONG.read_bytes().split(b"\n")
    yield "rubbish-0001.jsonl", "not a session", b"rubbish\n"
    yield "empty-session.jsonl", "empty", b""
    yield "session.txt", ".jsonl", WRONG.read_bytes()
    yield WRONG.name, "entry 0", b"\n".join([lines[0].replace(b'"tooth":"33"', b'"tooth":"34"'), *lines[1:]])
    yield WRONG.name, "never begun", lines[0][:400]
    yield "renamed-session.jsonl", "renamed", WRONG.read_bytes()


@pytest.mark.parametrize(("name", "named", "content"), rubbish())
def test_what_is_no_session_is_refused_in_one_sentence(tmp_path: Path, name: str, named: str, content: bytes) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(Unreadable) as caught:
        open_replay(path)
    assert named in str(caught.value)
    assert "\n" not in str(caught.value)
    with pytest.raises(Unreadable):
        open_replay(tmp_path / "nothing-here.jsonl")


def test_entries_that_no_keyboard_would_make_are_gone_through() -> None:
    log = opened(Log(tooth="99", off="-05:30"))
    log.by = None  # type: ignore[assignment]
    log.log(kinds.Answer, step="nowhere", canal=7, row=1, values={"x": Number(value=Decimal(1))})
    log.log(kinds.Correction, of=999, how="keyed_wrong", values={"x": Number(value=Decimal(1))})
    log.log(kinds.Departure, remark="gone", reason="because", said_by=77)
    log.log(kinds.Owe, remark="a:b:c")
    log.log(kinds.Sound, remark="x", times=2, silent=False)
    log.log(kinds.Confirm, of=(999,), said_by=5)
    log.log(kinds.Joined, canal=4, into=9)
    log.log(kinds.IncidentDetail, of=3, what="no such thing")
    log.boot = "boot-2"
    log.log(kinds.Held, step="nowhere", canal=1, row=1, values={}, remarks=(), texts=("Not this.",))
    log.log(kinds.Void, reason="opened twice")
    replay = Replay(Past(log.case()), Path("odd.jsonl"))
    for seq in range(len(log.entries)):
        replay.enter(str(seq))
        assert replay.view().prompt.title == f"Entry {seq}"
        assert len(replay.view().log) == seq + 1
        replay.enter("*")
        assert text_of(replay)
    visit = next(one for one in replay.clocks().running if one.word == "visit")
    assert visit.time == "about 3 min", "across a restart only the wall clock tells how long it was"
    assert "VISIT VOID" in replay.view().banner
    replay.enter("-")
    assert "Not this." in replay.view().prompt.question
    assert replay.view().prompt.hint.startswith("written at")
    assert "VISIT VOID" not in replay.view().banner


def test_an_entry_is_told_in_full(five: Path) -> None:
    """Of what is cut in the log nothing is missing beside it."""
    case, replay = whole(five), open_replay(five)
    for entry in case.entries:
        replay.enter(str(entry.seq))
        question = replay.view().prompt.question
        assert replay.view().log[-1].text in question
        for text in (getattr(entry, "text", ""), *getattr(entry, "texts", ())):
            assert text in question


def test_late_entries_wait_until_the_yes() -> None:
    log = opened(Log())
    log.answer("length", 1, 0, estimate="20")
    log.answer("length", 1, working_length="20")
    late = log.answer("length", 1, 2, working_length="21", ago=1)
    past = Past(log.case())
    past.go(late)
    assert past.case.unconfirmed == (late,)
    log.log(kinds.Confirm, of=(late,), said_by=1)
    replay = Replay(Past(log.case()), Path("late.jsonl"))
    replay.enter(str(late))
    assert replay.view().prompt.hint.endswith("waits for the clinician's yes")
    replay.enter("")
    assert "yes" in replay.view().prompt.question
    assert replay.view().prompt.hint.startswith("keyed at")
    assert "waits" not in replay.view().prompt.hint


def test_a_copy_shares_nothing_that_a_fold_changes(five: Path) -> None:
    case = whole(five)
    first: list[AnyEntry] = case.entries[:20]
    kept = fold(case.protocol, first)
    before = fold(case.protocol, first)
    on = copied(kept)
    assert on == kept
    for entry in case.entries[20:]:
        past_module.apply(on, entry)
    assert kept == before
    assert on == fold(case.protocol, case.entries)


def test_the_canal_is_read_from_the_key_of_a_remark() -> None:
    remark = Remark("beyond", Weight.ASK, "shaping", 3, (4, 9), "Too deep.")
    assert canal_of(remark.key) == 3
    for odd in ("", "x", "a:b:c", "a:-1:2", "a:1", "::", "a:²:1"):
        assert canal_of(odd) == 0


def start(folder: Path) -> Chair:
    return Chair(folder / "sessions", start=dt.datetime.fromisoformat("2026-06-01T09:00:00+02:00"))


def ways(view: ChairView) -> dict[str, str]:
    return {one.number: one.text for one in view.prompt.choices}


def test_the_start_screen_lists_every_session_and_comes_back(tmp_path: Path) -> None:
    assert "3" not in ways(start(tmp_path).lobby.view()), "there is none yet"
    assert start(tmp_path).key("3").saying == "Type 1, 4, 5, or / to leave."
    folder = tmp_path / "sessions"
    folder.mkdir(exist_ok=True)
    for path in (FOLDER / "plain-single-canal.jsonl", WRONG):
        shutil.copyfile(path, folder / path.name)
    (folder / "rubbish-0001.jsonl").write_bytes(b"rubbish\n")
    lines = WRONG.read_bytes().split(b"\n")
    open_one = folder / "plain-single-canal.jsonl"
    open_one.write_bytes(b"\n".join([*open_one.read_bytes().split(b"\n")[:30], b""]))
    chair = start(tmp_path)
    view = chair.lobby.view()
    assert ways(view)["3"] == "replay a session"
    assert ways(view)["11"].startswith("patient 5183, tooth 11")
    listed = ways(chair.key("3"))
    assert listed["1"] == "patient 5183, tooth 11, 2026-03-02 09:05, 30 entries, open, practice"
    assert listed["2"] == f"patient 60247, tooth 33, 2026-03-05 14:12, {len(lines) - 1} entries, closed, practice"
    assert "not a session" in listed["3"]
    assert chair.key("3").saying.startswith("rubbish-0001.jsonl is not a session")
    assert chair.key("4").saying == "Type a number from 1 to 3, or / to go back."
    assert chair.key("").saying == "Type a number from 1 to 3, or / to go back."
    before = sorted((path.name, path.read_bytes()) for path in folder.iterdir())
    view = chair.key("2", "+", "1")
    assert view.title.startswith("REPLAY entry 1 of 65")
    assert chair.lobby.session is None
    chair.lobby.typing("half a line")
    assert chair.lobby.pending == ""
    chair.lobby.move("right")
    assert chair.lobby.view().title.startswith("REPLAY entry 2 of 65")
    chair.lobby.take_offer()
    assert chair.lobby.clocks().now == "14:14"
    chair.lobby.menu()
    view = chair.key("5")
    assert (view.title, view.over, view.saying) == ("stepper", False, "Replay left.")
    assert chair.bells == 0
    assert sorted((path.name, path.read_bytes()) for path in folder.iterdir()) == before
    assert chair.key("3", "/").prompt.title == "Start"
    assert chair.key("/").over


def test_the_page_is_as_high_as_the_screen_from_the_start_screen_too(tmp_path: Path) -> None:
    (tmp_path / "sessions").mkdir()
    shutil.copyfile(WRONG, tmp_path / "sessions" / WRONG.name)
    chair = start(tmp_path)
    chair.lobby.fit(40)
    page = chair.key("3", "1", "65", "*").page
    assert page is not None
    assert 18 < len(page.rows) <= 40
    chair.lobby.fit(10)
    page = chair.lobby.view().page
    assert page is not None
    assert len(page.rows) <= 10


def test_long_lists_go_by_pages_and_keep_their_numbers(tmp_path: Path) -> None:
    for number in range(10):
        chair = start(tmp_path)
        chair.open(patient=str(100 + number))
        chair.session.leave()
    chair = start(tmp_path)
    view = chair.lobby.view()
    assert [*ways(view)] == ["1", "3", "4", "5", *(str(number) for number in range(11, 19))]
    assert view.prompt.hint == "a number; Enter shows more of them"
    assert [*ways(chair.key(""))] == ["1", "3", "4", "5", "19", "20"]
    assert [*ways(chair.key(""))][-1] == "18"
    every = ways(chair.key("3")) | ways(chair.key(""))
    assert [*every] == [str(number) for number in range(1, 11)]
    assert {text.split(",")[0] for text in every.values()} == {f"patient {100 + number}" for number in range(10)}
    told = every["2"].split(",")[0]
    assert told in chair.key("2").title, "a number of another page is that session all the same"
    chair.key("/", "5")
    assert chair.key("20").saying.startswith("Resumed")
