"""The table of the canals: how each ended, with its figures and their entries."""

from __future__ import annotations

import datetime as dt

import pytest

from stepper.facts import entries as kinds
from stepper.facts.entries import Previous
from stepper.note.compose import DEPTHS, compose
from stepper.note.outcomes import COLUMNS
from tests.cases import Log, examined, fill, opened, ready, shaped
from tests.note.reading import filled, note, section, single, table, the, words

LENGTH, GAUGE, MASTER, CONE, LEVEL = (2, 3, 4, 5, 6)


def test_a_filled_canal_has_all_its_figures_with_their_entries() -> None:
    log, act = filled()
    (row,) = table(log, "Canals")
    assert [cell.marked for cell in row] == [
        "1 B",
        "filled",
        "20.5 mm from the mesiobuccal cusp",
        "30/.02",
        "35/.04",
        "35/.04, single cone",
        "at length",
    ]
    answers = {(one.step, one.row): one.seq for one in log.entries if isinstance(one, kinds.Answer)}
    assert row[0].entries == row[1].entries == (act,)
    assert answers[("gauging", 1)] in row[GAUGE].entries
    assert len(row[LENGTH].entries) == 2
    assert len(row[CONE].entries) == 2
    assert [section.table.columns for section in note(log).sections if section.title == "Canals" and section.table] == [
        COLUMNS
    ]


def test_every_way_for_a_canal_to_end_is_said() -> None:
    log = opened(Log(), "mb+ml+d")
    joined = log.join(2, 1, "17.5")
    log.found(4, "MB2")
    stated = log.answer("closing", 4, outcome="fragment", ended_at="15")
    dressed = log.answer("dressing", 3, material="calcium_hydroxide")
    log.found(5, "MM")
    untouched = log.answer("closing", 5, outcome="not_treated")
    ended = [(row[0].text, row[1].text, row[1].entries) for row in table(log, "Canals")]
    assert ended == [
        ("1 MB", "no outcome is recorded", (0,)),
        ("2 ML", "joins MB at 17.5 mm", (joined,)),
        ("3 D", "dressed, calcium hydroxide paste", (dressed,)),
        ("4 MB2", "fragment retained", (stated,)),
        ("5 MM", "not treated", (untouched,)),
    ]
    assert "MB2: treated to 15 mm from the reference point." in section(log, "Canals")


def test_what_is_expected_and_missing_is_said_and_what_is_not_expected_is_left_blank() -> None:
    log = opened(Log(), "mb+ml+d")
    fill(log, 1)
    log.answer("dressing", 2, material="calcium_hydroxide")
    rows = words(log, "Canals")
    assert rows[0][2:] == ["not recorded"] * 4 + ["at length"]
    assert rows[1][2:] == ["not recorded"] * 3 + ["-"] * 2
    assert rows[2][2:] == ["-"] * 5
    log.answer("closing", 2, outcome="not_treated")
    assert words(log, "Canals")[1][2:] == ["-"] * 5


@pytest.mark.parametrize(("typed", "said"), [("-/", "not measured"), ("--", "not done"), ("-.", "owed")])
def test_an_absence_that_was_said_is_said_in_its_cell(typed: str, said: str) -> None:
    log = opened(Log(), "mb")
    length = log.answer("length", 1, working_length=typed)
    master = log.answer("shaping", 1, 10_000, master=typed)
    fill(log, 1)
    level = log.answer("sealing", 1, level=typed)
    (row,) = table(log, "Canals")
    assert [(row[at].text, row[at].entries) for at in (LENGTH, MASTER, LEVEL)] == [
        (said, (length,)),
        (said, (master,)),
        (said, (level,)),
    ]


def test_a_length_without_its_point_and_one_that_fell_are_not_told_as_good() -> None:
    log = opened(Log(), "mb")
    log.answer("length", 1, working_length="20")
    assert words(log, "Canals")[0][LENGTH] == "20 mm, no reference point"
    seq = log.answer("length", 1, reference="buccal_cusp")
    assert words(log, "Canals")[0][LENGTH] == "20 mm from the buccal cusp"
    log.correct(seq, anew=True, reference="flattened")
    assert words(log, "Canals")[0][LENGTH] == "none in force"


def test_a_cone_that_was_trimmed_is_told_as_it_went_in() -> None:
    log, _ = filled()
    log.answer("cone_fit", 1, 1, trimmed="40/2")
    assert words(log, "Canals")[0][CONE] == "40/.04, single cone"


def test_a_fill_through_a_shut_gate_is_marked_in_its_cell() -> None:
    log = opened(examined(single()), "b")
    fill(log)
    assert words(log, "Canals")[0][1] == "OUTSIDE THE CHAIN: filled"


def test_a_stated_outcome_that_something_else_overrode_is_still_told() -> None:
    log = ready(single(), canals="b")
    log.answer("closing", 1, outcome="blocked", ended_at="16")
    fill(log)
    assert words(log, "Canals")[0][1] == "filled"
    assert section(log, "Canals") == ["B: blocked.", "B: treated to 16 mm from the reference point.", DEPTHS]


# ---- a second visit ------------------------------------------------------------------------------


def second(**members: object) -> tuple[Log, int]:
    log = Log(previous=Previous(sid="first-visit", head="ab" * 32))
    seq = log.log(kinds.Carried, canal=1, name="MB", **members)
    return log, seq


CARRIED = "Carried from the earlier visit"
LENGTH_THEN = {
    "length": {"mm": "20.5", "of": 31},
    "reference": {"value": {"kind": "choice", "options": ["buccal_cusp"]}, "of": 32},
    "master": {"size": 30, "taper": "0.04", "of": 40},
}


def test_what_was_carried_is_told_as_the_earlier_sessions() -> None:
    log, seq = second(outcome="dressed", left_out=("apex: not confirmed",), **LENGTH_THEN)
    told = section(log, CARRIED)
    assert told == [
        "From session first-visit, as it was recorded there; the entry numbers are those of that session.",
        "MB: dressed (session first-visit).",
        "MB: working length 20.5 mm from the buccal cusp (session first-visit, entries 31, 32).",
        "MB: master apical file 30/.04 (session first-visit, entry 40).",
        "MB: not carried over as certain: apex: not confirmed (session first-visit).",
        "Today: MB, the length of the earlier visit has not been agreed and is not in force.",
        "Today: MB, the master apical file 30/.04 of the earlier visit waits for a length to be agreed.",
    ]
    assert the(log, "MB: working length 20.5", CARRIED).entries == (seq,)
    (row,) = table(log, "Canals")
    assert row[LENGTH].text == "20.5 mm at the earlier visit, not agreed today"
    assert row[MASTER].text == "30/.04, at the earlier visit"
    assert row[LENGTH].entries == row[MASTER].entries == (seq,)


def test_the_day_of_the_earlier_visit_is_told_where_it_is_known() -> None:
    day = dt.date(2026, 2, 16)
    log = Log(previous=Previous(sid="first-visit", head="0" * 64, day=day))
    log.log(kinds.Carried, canal=1, name="MB", outcome="dressed")
    assert section(log, CARRIED) == [
        "From session first-visit of 2026-02-16, as it was recorded there; "
        "the entry numbers are those of that session.",
        "MB: dressed (2026-02-16, session first-visit).",
    ]
    assert f"Goes on from session first-visit of 2026-02-16, last hash {'0' * 64}." in [
        one.text for one in compose(log.case()).heads
    ]


def test_the_same_length_agreed_today_carries_the_master_over_and_another_voids_it() -> None:
    log, seq = second(outcome="dressed", **LENGTH_THEN)
    same = log.answer("length", 1, working_length="20.5", reference="buccal_cusp")
    told = the(log, "Today: MB, the same length was agreed, 20.5 mm.")
    assert told.entries == (seq, same)
    assert the(log, "Today: MB, the master apical file 30/.04 of the earlier visit is in force.").entries == (seq, same)
    assert not [one for one in section(log, CARRIED) if "another reference point" in one]
    assert words(log, "Canals")[0][LENGTH] == "20.5 mm from the buccal cusp"

    log, seq = second(outcome="dressed", **LENGTH_THEN)
    anew = log.answer("length", 1, working_length="20", reference="buccal_cusp")
    assert the(log, "the length was measured anew, 20 mm; at the earlier visit it was 20.5 mm.").entries == (seq, anew)
    assert the(log, "the master apical file 30/.04 of the earlier visit is void, and none was declared.").entries == (
        seq,
    )
    assert words(log, "Canals")[0][MASTER] == "-"
    shaped(log)
    assert the(log, "Today: MB, another master apical file was declared, 35/.04; at the earlier visit it was 30/.04.")
    assert words(log, "Canals")[0][MASTER] == "35/.04"


def test_another_reference_point_is_told() -> None:
    log, seq = second(outcome="dressed", **LENGTH_THEN)
    moved = log.answer("length", 1, reference="flattened")
    told = the(log, "Today: MB was measured from another reference point than at the earlier visit, the buccal cusp.")
    assert told.entries == (seq, moved)
    assert the(log, "Today: MB, the reference point of the earlier visit was left; no length is in force.")


def test_a_canal_that_was_filled_then_is_not_asked_for_today() -> None:
    log, seq = second(outcome="filled", fill={"gate_open": True, "of": 90}, **LENGTH_THEN)
    (row,) = table(log, "Canals")
    assert [cell.text for cell in row][1] == "filled, at the earlier visit"
    assert row[1].entries == (seq,)
    assert the(log, "MB: filled (session first-visit, entry 90).").entries == (seq,)
    assert [one for one in section(log, CARRIED) if one.startswith("Today")] == [
        "Today: MB was left as it had ended at the earlier visit."
    ]
    assert [row[at].text for at in (GAUGE, CONE, LEVEL)] == ["-"] * 3
    assert not [one for one in section(log, "Not recorded") if "MB" in one]


def test_a_fill_through_a_shut_gate_then_opens_the_note_today() -> None:
    log, seq = second(outcome="filled_outside", fill={"gate_open": False, "of": 90})
    told = the(log, "MB was filled, at the earlier visit, although its gate was not open.")
    assert (told.mark, told.entries) == ("OUTSIDE THE CHAIN", (seq,))
    assert words(log, "Canals")[0][1] == "OUTSIDE THE CHAIN: filled, at the earlier visit"


def test_a_canal_given_up_then_keeps_its_outcome_until_it_is_worked_in() -> None:
    log, _ = second(outcome="not_treated")
    assert words(log, "Canals")[0][1] == "not treated, at the earlier visit"
    log.answer("shaping", 1, file="25/4-0", purpose="cut")
    assert words(log, "Canals")[0][1] == "no outcome is recorded"


def test_a_canal_that_was_given_up_and_dressed_tells_both() -> None:
    log = shaped(opened(examined(single()), "b"))
    dressing = log.answer("dressing", 1, material="calcium_hydroxide", pellet="cotton")
    stated = log.answer("closing", 1, outcome="fragment", ended_at="16")
    (row,) = table(log, "Canals")
    assert row[1].text == "fragment retained; dressed, calcium hydroxide paste"
    assert row[1].entries == (dressing, stated)


def test_gauging_of_the_earlier_visit_is_not_called_missing() -> None:
    said = {"about": "gauge_file", "asked": "Gauging file", "words": "25/.02 at length", "of": 7}
    log = Log(previous=Previous(sid="first", head="0" * 64))
    seq = log.log(kinds.Carried, canal=1, name="MB", outcome="dressed", said=[said])
    log.log(kinds.Carried, canal=2, name="ML", outcome="dressed")
    for canal in (1, 2):
        log.answer("shaping", canal, file="25/4-0", purpose="cut")
    rows = table(log, "Canals")
    assert (rows[0][GAUGE].text, rows[0][GAUGE].entries) == ("at the earlier visit", (seq,))
    assert rows[1][GAUGE].text == "not recorded"
    log.answer("gauging", 1, gauge="30-0", held="held")
    assert table(log, "Canals")[0][GAUGE].text == "30/.02"


def test_what_depths_are_told_from_is_said_where_there_is_a_canal() -> None:
    assert DEPTHS not in [one.text for one in note(examined(single())).sentences]
    assert section(opened(examined(single()), "b"), "Canals") == [DEPTHS]
