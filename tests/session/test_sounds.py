"""When it rings and when not, as the design says; and what came of each sound, on every remark and by every way."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import pytest
from msgspec.structs import fields

from stepper.case.alarms import NAMES
from stepper.case.judge import judge
from stepper.case.sounds import Came, rang, summary
from stepper.facts.ringing import Sound
from stepper.protocol.load import load_text
from stepper.protocol.models import Wording
from stepper.protocol.problems import BadProtocol
from stepper.record.places import bundled
from stepper.session.replay import open_replay
from stepper.session.store import read_case
from stepper.session.view import Band, Tone
from tests.cases import protocol
from tests.drive import Chair
from tests.samples import FOLDER
from tests.session.asks import ASKS
from tests.session.stations import seated
from tests.session.stops import ALARMS, GATE, STOPS
from tests.session.ways import Case, Way, stands

RINGING = {
    "dose_over": "forecast over a dose limit",
    "lengths_apart": "lengths disagree",
    "flare_beyond": "file beyond length",
    "shaping_beyond": "file beyond length",
    "clash": "clash about to happen",
    "blood_again": "blood again",
    "fewer_canals": "fewer canals",
}
"""The rules of the bundled protocol that ring once, and what section 5 of the design calls them (seen)."""

REMARKED = (*ALARMS, *GATE, *ASKS, *STOPS)


def name(case: Case) -> str:
    return f"{case.rule}-{case.clause}-{'|'.join(case.keys[-2:])}"


def keyed(folder: Path, case: Case) -> tuple[Chair, list[tuple[Sound, Band | None, int]]]:
    """Key what provokes a remark, line by line: each new sound, the band that stands with it, and the rings heard."""
    chair = seated(folder, case.at)
    heard: list[tuple[Sound, Band | None, int]] = []
    for line in case.keys:
        before, rings = len(chair.case.entries), chair.bells
        view = chair.key(line)
        heard += [
            (one, view.band, chair.bells - rings) for one in chair.case.entries[before:] if isinstance(one, Sound)
        ]
    return chair, heard


@pytest.mark.parametrize("case", [case for case in REMARKED if case.rule], ids=name)
def test_each_remark_rings_as_often_as_the_design_says(tmp_path: Path, case: Case) -> None:
    chair, heard = keyed(tmp_path, case)
    times = 2 if case.rule in NAMES else 1 if case.rule in RINGING else 0
    mine = [(one, band, rings) for one, band, rings in heard if one.remark.split(":")[0] == case.rule]
    assert {one.times for one, _, _ in mine} == ({times} if times else set())
    for one, band, rings in mine:
        assert (one.silent, rings) == (False, times)
        assert band is not None
        assert (band.sign, band.tone) == (("!!", Tone.STOP) if times == 2 else ("!", Tone.WARN))
        assert band.word == ("STOP" if times == 2 else "ASK")
        assert band.text
    keys = [one.remark for one, _, _ in heard]
    assert len(keys) == len(set(keys)), "the same evidence never rings twice"
    chair.session.leave()
    again = Chair(tmp_path)
    again.key("11")
    assert again.bells == 0, "what rang before the power failed does not ring again"


def test_the_table_has_every_alarm_and_every_rule_that_rings() -> None:
    rules = {rule.id: rule.sound for step in protocol().step for rule in step.rule}
    assert {rule for rule, sound in rules.items() if sound} == set(RINGING)
    tried = {case.rule for case in REMARKED}
    assert tried >= NAMES | set(RINGING)


def test_no_protocol_mutes_or_names_an_alarm() -> None:
    text = (bundled("protocols") / "one_visit.toml").read_text(encoding="utf-8")
    assert {get_args(one.type)[0] for one in fields(Wording)} == {str}
    for alarm in sorted(NAMES):
        at = text.index("[wording]\n") + len("[wording]\n")
        for more in (f"{alarm} = false\n", f"{alarm}_sound = 0\n"):
            body = text[:at] + more + text[at:]
            with pytest.raises(BadProtocol):
                load_text(body, "muted.toml")
        renamed = text.replace('id = "blood_again"', f'id = "{alarm}"')
        with pytest.raises(BadProtocol, match=alarm):
            load_text(renamed, "named.toml")


def ways() -> Iterator[object]:
    for case in REMARKED:
        if case.rule in {*NAMES, *RINGING}:
            for way in case.ways:
                yield pytest.param(case, way, id=f"{name(case)}-{'|'.join(way.keys)}")


def expected(case: Case, way: Way) -> set[Came]:
    """What a way comes to, by what it logs and how the remark stands then."""
    logged = way.logged.split()
    if "held" in logged:
        return {Came.HELD}
    if "overruled" in logged or way.left == "outside" or (case.clause and logged == ["answer"]):
        return {Came.OUTSIDE}
    if "departure" in logged and way.left == "passed":
        return {Came.PASSED}
    if "owe" in logged:
        return {Came.OWED}
    if "correction" in logged:
        return {Came.CHANGED}
    if way.left == "open" or way.into.__name__ != "Asking":
        return {Came.STANDING}
    return {Came.CHANGED}


@pytest.mark.parametrize(("case", "way"), ways())
def test_what_came_of_a_sound_is_what_was_done(tmp_path: Path, case: Case, way: Way) -> None:
    chair, _ = keyed(tmp_path, case)
    chair.key(*way.keys)
    found = [one for one in rang(chair.case) if one.sound.remark.split(":")[0] == case.rule]
    assert len(found) == sum(
        isinstance(one, Sound) and one.remark.split(":")[0] == case.rule for one in chair.case.entries
    )

    if "held" not in way.logged and way.left in ("passed", "owed"):
        assert len(found) == 1, "what rang before the act does not ring again for it"
    last = found[-1]
    standing = {one.remark.key for one in judge(chair.case) if one.standing.value == "open"}
    if last.sound.remark in standing and last.came is not Came.HELD:
        assert last.came is Came.STANDING
    else:
        assert {last.came} == expected(case, way), (last, stands(chair, case))
    assert (last.by is None) == (last.came is Came.STANDING)


def sample(name: str) -> object:
    return rang(read_case(FOLDER / f"{name}.jsonl")[1])  # type: ignore[arg-type]


def test_the_samples_reckoned_by_hand() -> None:
    """The wrong cone: hold at the next line, 50 s later, and again at the gate. Two lengths: a reason, 2 min later."""
    found = sample("wrong-cone-caught")
    assert [(one.sound.remark.split(":")[0], one.sound.times, one.came) for one in found] == [  # type: ignore[attr-defined]
        ("cone", 2, Came.HELD),
        ("gate", 2, Came.HELD),
    ]
    assert [one.after.seconds for one in found] == [50, 50]  # type: ignore[attr-defined]
    assert summary(found) == "2 sounds, 4 rings: 2 followed by a changed act."  # type: ignore[arg-type]
    found = sample("interrupted-and-corrected")
    assert [(one.came, one.after.seconds) for one in found] == [(Came.PASSED, 120)]  # type: ignore[attr-defined]
    assert summary(found) == "1 sound, 1 ring: 1 passed with a reason."  # type: ignore[arg-type]
    assert summary(sample("plain-single-canal")) == "It rang for nothing."  # type: ignore[arg-type]


def test_replay_shows_it_as_a_page_and_goes_back() -> None:
    replay = open_replay(FOLDER / "wrong-cone-caught.jsonl")
    replay.enter("--")
    assert "// what rang" in replay.view().saying
    at = replay.view().title
    replay.enter("//")
    page = replay.view().page
    assert page is not None
    assert (page.title, page.rows) == ("What came of each sound, up to entry 0", (" It rang for nothing.",))
    replay.enter("*")
    assert replay.view().title == at
    for line in ("/", "4", "/", "6"):
        replay.enter(line)
    page = replay.view().page
    assert page is not None
    text = " ".join(" ".join(row.split()) for row in page.rows)
    assert text.startswith("2 sounds, 4 rings: 2 followed by a changed act.")
    assert "Cone 35/.04 does not go with master apical file 30/.04" in text
    assert text.count("Then: the act was held back, after 0:50") == 2
    assert all(len(row) <= 80 for row in page.rows)
    replay.enter("*")
    replay.enter("++")
    assert replay.view().saying.startswith("It is ")
