"""How far a note, a canal and a figure have come, in FHIR's own words for it and no better than they are."""

from __future__ import annotations

import pytest

from stepper.facts import entries as kinds
from tests.cases import Log, examined, fill, opened, ready, shaped
from tests.note.fhir.documents import observation, of, resources
from tests.note.test_addendum import add, sign, signed
from tests.note.visits import ended_early, four_canals


def composition(log: Log) -> dict[str, object]:
    """The Composition of a log."""
    return resources(of(log), "Composition")[0]


def canals(log: Log) -> list[tuple[str, str]]:
    """The status and the outcome in words of each canal's procedure."""
    return [(one["status"], one["outcome"]["text"]) for one in resources(of(log), "Procedure")]


def test_an_unsigned_note_is_preliminary() -> None:
    log = four_canals()
    assert composition(log)["status"] == "preliminary"
    assert "attester" not in composition(log)
    assert observation(of(log), "working-length")["status"] == "preliminary"


def test_a_signed_note_is_final_and_says_who_signed_it_and_when() -> None:
    document = of(signed())
    first = resources(document, "Composition")[0]
    signer = next(one for one in resources(document, "Practitioner") if one["identifier"][1]["value"] == "1")
    assert first["status"] == "final"
    party = {"reference": f"urn:uuid:{signer['id']}"}
    assert first["attester"] == [{"mode": "professional", "time": "2026-03-02T11:00:00+01:00", "party": party}]
    assert signer["name"] == [{"text": "IP"}], "initials, and no name"
    assert observation(document, "working-length")["status"] == "final"
    assert {one["docStatus"] for one in resources(document, "DocumentReference")} == {"final"}


def test_looking_at_a_signed_record_changes_nothing() -> None:
    log = signed()
    log.log(kinds.Resume, app="test")
    assert composition(log)["status"] == "final"


def test_an_addendum_that_is_signed_too_makes_it_amended() -> None:
    log = signed()
    add(log)
    sign(log)
    first = composition(log)
    assert first["status"] == "amended"
    assert len(first["attester"]) == 2  # type: ignore[arg-type]


def test_an_addendum_that_nobody_signed_is_verified_by_nobody() -> None:
    """ "Amended" is said of what an authorised person has verified (seen, R4B); the signature does not cover it."""
    log = signed()
    add(log)
    first = composition(log)
    assert first["status"] == "preliminary"
    assert "attester" not in first


def test_a_figure_corrected_after_signing_is_preliminary_then_amended() -> None:
    log = signed()
    of_length = next(one.seq for one in log.entries if "working_length" in getattr(one, "values", {}))
    mended = log.correct(of_length, working_length="20.0")
    assert observation(of(log), "working-length")["status"] == "preliminary"
    sign(log)
    assert observation(of(log), "working-length")["status"] == "preliminary", "the clinician has not said yes to it"
    log.confirm(mended)
    sign(log)
    assert observation(of(log), "working-length")["status"] == "amended"
    assert observation(of(log), "working-length")["valueQuantity"]["value"] == "20.0"
    assert observation(of(log), "master-apical-file")["status"] == "final"


def test_a_figure_told_after_signing_is_preliminary_until_that_is_signed() -> None:
    log = signed()
    log.answer("anaesthesia", row=0, weight="71")
    assert log.case().unconfirmed == ()
    assert observation(of(log), "body-weight", 0)["status"] == "preliminary"
    sign(log)
    assert observation(of(log), "body-weight", 0)["status"] == "amended"


def test_a_void_visit_is_entered_in_error_and_so_is_all_that_it_says() -> None:
    log = four_canals()
    log.void("Opened for the wrong patient.")
    document = of(log)
    first = resources(document, "Composition")[0]
    assert first["status"] == "entered-in-error"
    for kind in ("Procedure", "Observation"):
        assert {one["status"] for one in resources(document, kind)} == {"entered-in-error"}
    assert {one["status"] for one in resources(document, "DocumentReference")} == {"current"}, "the log is what it is"


def test_filled_is_completed_and_a_fragment_is_stopped() -> None:
    assert canals(four_canals()) == [
        ("completed", "filled"),
        ("completed", "filled"),
        ("completed", "filled"),
        ("stopped", "fragment retained; dressed, calcium hydroxide paste"),
    ]


def test_dressed_is_on_hold_and_not_treated_is_not_done() -> None:
    found = canals(ended_early())
    assert [status for status, _ in found] == ["on-hold", "on-hold", "not-done", "not-done"]
    assert found[0][1] == "dressed, calcium hydroxide paste"
    procedures = resources(of(ended_early()), "Procedure")
    assert ["performedPeriod" in one for one in procedures] == [True, True, False, False]
    assert ["performer" in one for one in procedures] == [True, True, False, False]


def test_while_the_session_is_open_a_canal_is_in_progress() -> None:
    log = shaped(opened(examined(Log()), "mb+ml"))
    assert [status for status, _ in canals(log)] == ["in-progress", "preparation"]
    assert "end" not in resources(of(log), "Procedure")[0]["performedPeriod"]
    log.answer("dressing", 1, material="calcium_hydroxide", pellet="cotton")
    assert canals(log)[0][0] == "in-progress", "it may still be filled today"


def test_a_canal_that_nobody_told_the_end_of_is_unknown_once_the_visit_is_closed() -> None:
    log = shaped(opened(examined(Log()), "mb"))
    log.close()
    assert canals(log) == [("unknown", "no outcome is recorded")]


def test_a_fill_outside_the_chain_is_completed_and_says_so() -> None:
    log = shaped(opened(examined(Log()), "mb"))
    fill(log, outside=True)
    assert canals(log) == [("completed", "OUTSIDE THE CHAIN: filled")]
    assert resources(of(log), "Procedure")[0]["outcome"]["coding"][0]["code"] == "filled_outside"


def test_a_canal_that_joins_another_has_come_as_far_as_that_one() -> None:
    log = ready()
    log.join(2, 1, "18")
    assert canals(log)[:2] == [("in-progress", "no outcome is recorded"), ("in-progress", "joins MB at 18 mm")]
    log = ready()
    fill(log)
    log.join(2, 1, "18")
    assert canals(log)[:2] == [("completed", "filled"), ("completed", "joins MB at 18 mm")]


@pytest.mark.parametrize("closed", [True, False])
def test_canals_that_join_each_other_are_no_endless_way(*, closed: bool) -> None:
    log = opened(examined(Log()), "mb+ml")
    log.join(2, 1)
    log.join(1, 2)
    if closed:
        log.close()
    assert [status for status, _ in canals(log)] == (["unknown"] * 2 if closed else ["preparation"] * 2)


def test_a_canal_says_when_it_was_worked_in_who_treated_and_who_keyed() -> None:
    log = shaped(opened(examined(Log()), "mb"))
    log.answer("shaping", 1, 3, ago=15, file="10/2-0", purpose="patency")
    document = of(log)
    one = resources(document, "Procedure")[0]
    people = resources(document, "Practitioner")
    number = {f"urn:uuid:{person['id']}": person["identifier"][1]["value"] for person in people}
    assert number[one["performer"][0]["actor"]["reference"]] == "1"
    assert number[one["recorder"]["reference"]] == "2"
    assert (log.entries[-1].t.minute, log.entries[-1].t.second) == (8, 40)
    assert one["performedPeriod"] == {"start": "2026-03-02T08:53:40+01:00"}, "when it is said to have happened"
