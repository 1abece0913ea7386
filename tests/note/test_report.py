"""What `check` says of a session."""

from __future__ import annotations

import json

from stepper.case.gate import CLAUSES
from stepper.note.report import session_report, stops_standing, words_for
from tests.cases import Log, examined, fill, fitted, opened, ready, shaped

MEMBERS = ["file", "intact", "damage", "practice", "closed", "signed", "head", "entries", "canals", "remarks", "sounds"]
CANAL = ["number", "name", "outcome", "gate_open", "gate", "reopened", "owed", "departures"]


def report(log: Log, damage: str | None = None) -> dict:
    made = session_report("s.jsonl", log.case(), entries=len(log.entries), head="ab", damage=damage)
    return json.loads(json.dumps(made))


def test_the_members_are_those_of_the_contract() -> None:
    found = report(ready(Log()))
    assert list(found) == MEMBERS
    assert [list(canal) for canal in found["canals"]] == [CANAL] * 3
    assert list(found["canals"][0]["gate"]) == list(CLAUSES)
    assert (found["file"], found["intact"], found["damage"], found["head"]) == ("s.jsonl", True, None, "ab")
    assert (found["practice"], found["closed"], found["signed"], found["sounds"]) == (False, False, False, 0)


def test_an_open_and_a_shut_gate_are_told_clause_by_clause() -> None:
    first, second, _ = report(ready(Log()))["canals"]
    assert first["gate_open"] is True
    assert all(first["gate"].values())
    assert second["gate_open"] is False
    assert [clause for clause, holds in second["gate"].items() if not holds] == [
        "length",
        "master_apical_file",
        "cone_fit",
        "dry",
        "rinse",
        "lots",
    ]


def test_practice_closed_outcome_and_entries_come_from_the_case() -> None:
    log = ready(Log(practice=True))
    fill(log)
    log.close()
    found = report(log)
    assert (found["practice"], found["closed"], found["entries"]) == (True, True, len(log.entries))
    assert [canal["outcome"] for canal in found["canals"]] == ["filled", None, None]


def test_damage_is_told_and_a_file_without_a_case_has_no_canals() -> None:
    assert report(ready(Log()), "entry 3 does not fit")["intact"] is False
    bare = session_report("s.jsonl", None, entries=2, head="", damage="entry 2 is damaged")
    assert list(bare) == MEMBERS
    assert (bare["canals"], bare["remarks"], bare["intact"], bare["entries"]) == ([], [], False, 2)


def test_a_cut_after_the_cone_fit_reopens_what_rests_on_it_for_that_canal_only() -> None:
    log = ready(Log(), ready_canals=(1, 2))
    log.answer("shaping", 1, 3, file="40/4-0", purpose="cut")
    first, second, _ = report(log)["canals"]
    assert first["reopened"] == ["irrigation", "drying", "cone_fit"]
    assert second["reopened"] == []


def test_departures_and_what_is_owed_go_to_their_canal_and_the_tooths_to_all() -> None:
    log = opened(examined(Log()), "mb+ml")
    log.depart("needle_near:1:30")
    log.depart("temporary_thin:0:31")
    log.owe("lengths_apart:2:32")
    log.answer("length", 2, row=0, estimate="-.")
    log.declare("dressing", 2, "owed")
    first, second = report(log)["canals"]
    assert first["departures"] == ["needle_near:1:30", "temporary_thin:0:31"]
    assert second["departures"] == ["temporary_thin:0:31"]
    assert first["owed"] == []
    assert second["owed"] == ["lengths_apart:2:32", "length.estimate", "dressing"]


def test_remarks_carry_rule_weight_canal_and_entries() -> None:
    log = fitted(shaped(opened(examined(Log(tooth="11")), "b")))
    cone = log.answer("cone_fit", 1, 2, cone="40/4")
    found = [one for one in report(log)["remarks"] if one["id"] == "cone"]
    assert [(one["weight"], one["canal"]) for one in found] == [("stop", 1)]
    assert cone in found[0]["entries"]


def test_stops_stand_while_open_outside_and_after_a_correction_of_a_filled_canal() -> None:
    log = ready(Log(tooth="11"), canals="b")
    assert stops_standing(log.case()) == []
    cut = next(one.seq for one in log.entries if getattr(one, "step", "") == "shaping" and getattr(one, "row", 0) == 1)
    fill(log)
    log.correct(cut, file="40/4-0")
    # the cone now stands against no change of its own, so the only stop is about the correction
    assert [one.rule for one in stops_standing(log.case())] == ["changed_after_fill"]
    assert [one["id"] for one in report(log)["remarks"] if one["weight"] == "stop"] == ["changed_after_fill"]

    log = opened(Log(), "mb")
    log.answer("irrigation", 1, solution="hypochlorite_3", outside=True)
    assert "no_dam" in [one.rule for one in stops_standing(log.case())]


def test_the_words_say_the_state_each_canal_and_the_remarks() -> None:
    log = ready(Log(practice=True))
    fill(log)
    words = words_for(report(log, "entry 9 was changed")).split("\n")
    assert words[0] == f"s.jsonl: DAMAGED, {len(log.entries)} entries, not closed, not signed, PRACTICE."
    assert words[1] == "  entry 9 was changed"
    assert words[2] == "  canal 1 MB: filled."
    assert words[3].startswith("  canal 2 ML: no outcome; gate shut: length, master_apical_file")
    assert words[-1] == "  remarks: 0 stop, 0 ask, 0 tell; rang 0 times."


def test_words_of_a_hostile_file_name_stay_on_their_line() -> None:
    made = session_report("a\nb\x1b.jsonl", None, entries=0, head="", damage=None)
    assert words_for(made).split("\n")[0].startswith("a<U+000A>b<U+001B>.jsonl: intact, 0 entries")
