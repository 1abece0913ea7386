"""A visit that ended early: said first, with what was not done and what was left unfinished."""

from __future__ import annotations

from stepper.facts.entries import Ending
from tests.cases import Log, examined, opened
from tests.note.reading import section, single, the, titles
from tests.note.visits import ended_early

SAID = "The patient could not tolerate more."


def test_the_note_opens_with_when_why_and_by_whose_word() -> None:
    log = ended_early()
    (seq,) = (one.seq for one in log.entries if isinstance(one, Ending))
    first = the(log, "Ended early", "To be read first")
    assert first.text == f"Ended early at 09:13: {SAID} Said by Clinician 1, keyed by Assistant 1."
    assert first.entries == (seq,)
    assert titles(log)[0] == "To be read first"
    assert section(log, "To be read first")[0] == first.text


def test_what_was_not_done_and_what_was_left_is_told_and_not_called_forgotten() -> None:
    log = ended_early()
    assert section(log, "Ended early")[1:] == [
        "Nothing was recorded, in this visit that ended early, of: "
        "Drying (MB, ML), Cone fit (MB, ML), Sealing (MB, ML).",
        "Recorded in part, in this visit that ended early: Shaping (MB, ML).",
    ]
    missed = " ".join(section(log, "Not recorded"))
    assert "Cone fit" not in missed
    assert "Nothing was recorded" not in missed
    assert "Coronal seal, not asked, since the visit ended early: Orifices covered with" in missed


def test_what_makes_safe_is_still_missed() -> None:
    log = opened(examined(single()), "b")
    log.answer("shaping", 1, file="25/4-0", purpose="cut")
    log.log(Ending, reason=SAID, said_by=1)
    assert "Nothing was recorded of: Dressing (B), Coronal seal, Closing." in section(log, "Not recorded")
    log.answer("coronal_seal", material="temporary_cement")
    assert "Coronal seal, not recorded: Thickness, without the pellet; Who restores the tooth. Not asked" in " ".join(
        section(log, "Not recorded")
    )


def test_all_canals_are_named_together_and_a_single_one_by_its_name() -> None:
    log = opened(examined(Log()), "mb+ml")
    log.log(Ending, reason=SAID, said_by=1)
    assert "Drying (all canals)" in the(log, "Nothing was recorded, in this visit that ended early").text
    log = opened(examined(single()), "b")
    log.log(Ending, reason=SAID, said_by=1)
    assert "Drying (B)" in the(log, "Nothing was recorded, in this visit that ended early").text


def test_a_step_declared_not_done_before_is_not_put_down_to_the_end() -> None:
    log = opened(examined(single()), "b")
    log.declare("drying", 1, "not_done")
    log.log(Ending, reason=SAID, said_by=1)
    assert "Drying" not in the(log, "Nothing was recorded, in this visit that ended early").text
    assert [one for one in section(log, "Not recorded") if one.startswith("Drying B: declared not done at")]


def test_a_step_begun_and_then_declared_not_done_is_not_put_down_to_the_end_either() -> None:
    log = opened(examined(single()), "b")
    log.answer("shaping", 1, file="25/4-0", purpose="cut")
    log.answer("flare", 1, file="25/8-6")
    log.declare("shaping", 1, "not_done")
    log.log(Ending, reason=SAID, said_by=1)
    assert the(log, "Recorded in part").text.endswith("early: Coronal flare (B).")


def test_a_visit_that_did_not_end_early_says_nothing_of_it() -> None:
    log = opened(examined(single()), "b")
    assert "Ended early" not in titles(log)
    assert not [one for one in section(log, "To be read first") if "nded early" in one]
