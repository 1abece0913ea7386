"""The screen locked at once: from a session, a replay, a lesson, the start screen; the place is there again."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest

from stepper.session.locking import Locking
from stepper.session.replay import open_replay
from stepper.session.view import ChairView
from tests.drive import Chair
from tests.samples import FOLDER
from tests.session.locked import PIN, Locked, locked, opened, pins
from tests.session.stations import OTHER, VISIT, seated
from tests.session.table import EACH_CONVERSATION
from tests.session.test_locking import OPEN, door, entries, typed_file
from tests.session.ways import Case

WAYS = [("/", "14"), ("/14",), (" /14 ",)]
STATIONS = [*VISIT, *OTHER]


@pytest.fixture
def at(tmp_path: Path) -> Locked:
    """In the middle of shaping, the screen open."""
    return opened(seated(tmp_path, "shaping"), tmp_path)


def numbers(view: ChairView) -> list[str]:
    return [one.number for one in view.prompt.choices]


@pytest.mark.parametrize("lines", WAYS)
@pytest.mark.parametrize("station", STATIONS)
def test_it_locks_anywhere_in_a_visit_logs_nothing_and_opens_at_the_same_place(
    tmp_path: Path, station: str, lines: tuple[str, ...]
) -> None:
    at = opened(seated(tmp_path / "visit", station), tmp_path)
    before, logged, cursor = at.desk.view().prompt, entries(at), at.chair.session.room.cursor
    view = at.key(*lines)
    assert view.masked
    assert "4711" not in repr(view)
    assert at.key(OPEN).prompt == before
    assert (entries(at), at.chair.session.room.cursor, at.desk.pending) == (logged, cursor, "")


@pytest.mark.parametrize("lines", WAYS)
@pytest.mark.parametrize("case", EACH_CONVERSATION, ids=lambda case: case.mode.__name__)
def test_in_every_conversation_it_locks_and_goes_on_there(tmp_path: Path, case: Case, lines: tuple[str, ...]) -> None:
    at = opened(case.provoked(tmp_path / "visit"), tmp_path)
    before, logged = at.desk.view().prompt, entries(at)
    in_menu = before.title == "Menu"
    assert at.key(*(lines[1:] if in_menu and len(lines) > 1 else lines)).masked
    after = at.key(OPEN).prompt
    assert after == before or (in_menu and after.title != "Menu")
    assert entries(at) == logged


def test_what_waits_to_be_logged_is_kept_on_the_disk_meanwhile(tmp_path: Path) -> None:
    """An answer without its canal is held back until the canal is said; a crash behind the lock must not lose it."""
    at = opened(seated(tmp_path / "visit", "both measured"), tmp_path)
    at.key("10/", "1*")
    at.wait(4)
    assert at.key("20/4-0").prompt.title == "Which canal"
    assert at.key("/14").masked
    assert typed_file(at).read_text() == "20/4-0"
    assert at.key(OPEN).prompt.title == "Which canal"


def test_the_line_that_locked_it_is_no_half_typed_line(at: Locked) -> None:
    at.key("/14")
    assert typed_file(at).read_text() == ""
    at.key(OPEN)
    assert at.desk.pending == ""


def test_a_line_that_locks_in_time_locks_once(at: Locked) -> None:
    at.key("/", "14", OPEN, "++")
    assert not at.desk.view().masked


def test_it_is_listed_only_where_somebody_has_a_pin(at: Locked, tmp_path: Path) -> None:
    assert ("14", "lock the screen") in [(one.number, one.text) for one in at.key("/").prompt.choices]
    bare = Locked(seated(tmp_path / "bare", "shaping"), tmp_path / "none.toml")
    assert "14" not in numbers(bare.key("/"))
    assert "numbers that are listed" in bare.key("14").saying
    view = bare.key("0", "/14")
    assert not view.masked
    assert "nobody has a PIN (stepper pin)" in view.saying


def test_a_pin_that_was_set_a_moment_ago_is_enough(tmp_path: Path) -> None:
    at = Locked(seated(tmp_path / "visit", "shaping"), tmp_path / "pins.toml")
    pins(at.file, {1: "2468"})
    assert at.key("/14").masked
    assert not at.key("1**2468").masked
    assert "14" in numbers(at.key("/"))


def test_it_locks_on_the_start_screen_and_in_its_form_too(tmp_path: Path) -> None:
    at = opened(Chair(tmp_path), tmp_path)
    assert at.key("/14").masked
    before = at.key(OPEN, "1", "4711").prompt
    assert at.key("/14").masked
    assert at.key(OPEN).prompt == before


def test_it_locks_in_a_lesson_and_the_lesson_stands_again(tmp_path: Path) -> None:
    at = opened(Chair(tmp_path), tmp_path)
    before = at.key("4")
    for lines in WAYS:
        assert at.key(*lines).masked
        after = at.key(OPEN)
        assert (after.prompt, after.band, after.banner) == (before.prompt, before.band, before.banner)


def test_incidents_go_in_behind_it(at: Locked) -> None:
    logged = entries(at)
    at.key("/14", "//")
    assert [one.kind for one in at.chair.case.entries[logged:]] == ["incident"]
    assert at.key(OPEN).prompt.title == "INCIDENT"


@pytest.mark.parametrize("lines", WAYS)
def test_a_replay_locks_and_stands_at_its_entry_again(tmp_path: Path, lines: tuple[str, ...]) -> None:
    pins(tmp_path / "pins.toml", {2: PIN})
    desk = Locking(open_replay(FOLDER / "plain-single-canal.jsonl"), Chair(tmp_path).clock, door(tmp_path))
    before = desk.view()
    for line in (OPEN, "17"):
        desk.enter(line)
        before = desk.view()
    assert "REPLAY entry 17" in before.title
    for line in lines:
        desk.enter(line)
        locked_now = desk.view().masked
    assert locked_now
    desk.enter(OPEN)
    assert desk.view().prompt == before.prompt
    assert desk.view().title == before.title


def test_a_replay_lists_it_only_where_somebody_has_a_pin(tmp_path: Path) -> None:
    desk = Locking(open_replay(FOLDER / "plain-single-canal.jsonl"), Chair(tmp_path).clock, door(tmp_path))
    desk.view()
    desk.enter("/")
    listed = numbers(desk.view())
    desk.enter("14")
    assert "14" not in listed
    assert not desk.view().masked
    assert listed == sorted(listed, key=int)


def test_a_replay_from_the_start_screen_locks_too(tmp_path: Path) -> None:
    chair = seated(tmp_path / "visit", "shaping")
    chair.key("/", "8", "2")
    assert chair.lobby.session is None
    at = opened(chair, tmp_path)
    before = at.key("3", "1", "5")
    assert "REPLAY entry 5" in before.title
    assert "14" in numbers(at.key("/"))
    assert at.key("14").masked
    assert at.key(OPEN).title == before.title


def test_numbers_of_the_menu_are_never_those_of_what_waits(tmp_path: Path) -> None:
    """A number once learnt never does another thing: what waits begins at 21, whatever is listed."""
    for station, have in itertools.product(STATIONS, (True, False)):
        folder = tmp_path / f"{station}{have}"
        at = opened(seated(folder, station), folder) if have else Locked(seated(folder, station), folder / "none.toml")
        found = {int(one.number): one.text for one in at.key("/").prompt.choices}
        assert found.get(14) == ("lock the screen" if have else None)
        assert not [number for number in found if 14 < number < 21]


def test_locked_from_the_start_it_is_not_locked_twice(tmp_path: Path) -> None:
    at = locked(Chair(tmp_path), tmp_path)
    view = at.key("/14")
    assert view.masked
    assert view.saying.startswith("Locked: type your number")
    assert not at.key(OPEN).masked
