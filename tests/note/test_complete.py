"""What a root canal record should hold, held against visits: each item present, absent, without a place, or untold.

The list is a composite one, from memory and common practice, without a source (shared paper on the trade, section 13,
MEMORY-med / CP): no outside figure is checked here, only that the program finds what was logged.
"""

from __future__ import annotations

import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepper.case.state import Case
from stepper.facts.carried import Previous
from stepper.facts.entries import Carried
from stepper.note.complete import complete_rows, completeness
from stepper.note.complete_item import Item, State
from stepper.note.sheet import sheet
from stepper.protocol.holding import ITEMS, MARKED
from stepper.protocol.load import load_text
from stepper.record.places import bundled
from tests.case.second import after, dressed
from tests.cases import Log, examined, fill, opened, ready
from tests.note.test_random import brought, log_one
from tests.note.visits import detail, ended_early, four_canals


def items(case: Case, name: str) -> list[Item]:
    return [one for one in completeness(case) if one.item == name]


def the(case: Case, name: str) -> Item:
    (one,) = items(case, name)
    return one


def old() -> str:
    """The bundled protocol as it was before questions were marked."""
    text = bundled("protocols").joinpath("one_visit.toml").read_text(encoding="utf-8")
    return re.sub(r"^(holds|not_held_by|spares) = .*\n", "", text, flags=re.MULTILINE)


def test_a_whole_visit_holds_everything_but_what_the_patient_was_told():
    found = completeness(four_canals().case())
    assert {one.item for one in found if one.state is State.ABSENT} == set()
    assert {one.item for one in found if one.state is State.UNTOLD} == {"patient_told"}
    assert {(one.item, one.canal) for one in found if one.state is State.NOT_APPLICABLE} == {
        *(("medicament", canal) for canal in (1, 2, 3)),
        *((name, 4) for name in ("filling_material", "sealer", "technique", "level")),
    }
    assert [one.item for one in found if one.canal in (0, 1)] == list(ITEMS)


def test_what_is_present_is_held_by_the_entries_that_say_it():
    log = four_canals()
    case = log.case()
    for one in completeness(case):
        if one.state is State.PRESENT and one.canal and one.item != "canal_name":
            assert {case.entries[seq].canal for seq in one.entries} == {one.canal}, one
        if one.item in ("identity", "author"):
            assert one.entries == (0,)
        assert one.entries or one.state is State.UNTOLD
    consent = next(one for one in log.entries if "consent" in getattr(one, "values", {}))
    assert the(case, "consent_given").entries == (consent.seq,)
    assert the(case, "options_and_risks").entries == (consent.seq,)


QUESTIONS = {
    "chief_complaint": ("1/ Diagnosis: What brings the patient", "complaint"),
    "medical_history": ("1/ Diagnosis: Medical history reviewed today", "history"),
    "pulpal_diagnosis": ("1/ Diagnosis: Pulpal diagnosis", "pulpal"),
    "apical_diagnosis": ("1/ Diagnosis: Apical diagnosis", "apical"),
    "consent_given": ("1/ Diagnosis: Options and risks explained, consent", "consent"),
    "radiograph_date": ("1/ Diagnosis: Date of the image showing the apex", "image_date"),
    "radiograph_finding": ("1/ Diagnosis: Lesion, sinus tract, crack", "findings"),
    "control_tooth": ("1/ Diagnosis: Same tests on a control tooth", "control"),
}
ALL = {
    "complaint": "biting",
    "history": "unchanged",
    "cold": "none",
    "percussion": "tender",
    "palpation": "normal",
    "control": "normal",
    "pulpal": "necrosis",
    "apical": "normal_apical",
    "image_date": "2.3.2026",
    "consent": "written",
    "findings": "lesion",
}


@pytest.mark.parametrize("item", QUESTIONS)
@pytest.mark.parametrize("said", ["", "--"])
def test_what_was_not_answered_is_absent_with_the_question_that_asks_it(item: str, said: str):
    where, question = QUESTIONS[item]
    typed = {name: text for name, text in ALL.items() if name != question} | ({question: said} if said else {})
    log = Log()
    seq = log.answer("diagnosis", **typed)
    case = log.case()
    one = the(case, item)
    assert (one.state, one.where) == (State.ABSENT, (where,))
    assert one.entries == ((seq,) if said else (0,))
    assert one.why == (f"{where.split(': ')[1]}, not done" if said else "")
    others = {name for name in QUESTIONS if QUESTIONS[name][1] != question}
    assert all(the(case, name).state is State.PRESENT for name in others)


def test_of_several_tests_each_is_wanted():
    log = Log()
    seq = log.answer("diagnosis", cold="none", palpation="normal", percussion="-/")
    one = the(log.case(), "tests")
    assert (one.state, one.entries) == (State.ABSENT, (seq,))
    assert (one.where, one.why) == (("1/ Diagnosis: Percussion",), "Percussion, not measured")


def test_an_answer_that_says_no_does_not_hold_the_item():
    log = Log()
    log.answer("diagnosis", consent="not_yet", control="no_control")
    log.answer("coronal_seal", material="left_open")
    case = log.case()
    assert the(case, "consent_given").why == "Options and risks explained, consent, not yet"
    assert the(case, "options_and_risks").state is State.ABSENT
    assert the(case, "control_tooth").why == "Same tests on a control tooth, no control tooth"
    assert the(case, "restoration").state is State.ABSENT


def test_without_an_anaesthetic_nothing_of_it_is_wanted():
    log = Log()
    seq = log.answer("anaesthesia", row=10_000, effect="none_given")
    for name in ("anaesthetic", "anaesthetic_amount"):
        one = the(log.case(), name)
        assert (one.state, one.why, one.entries) == (State.NOT_APPLICABLE, "no anaesthetic given", (seq,))


def test_what_was_given_all_the_same_is_present():
    log = Log()
    given = log.answer("anaesthesia", agent="lidocaine_2_epi_100", volume="1.8", site="buccal")
    log.answer("anaesthesia", row=10_000, effect="none_given")
    assert the(log.case(), "anaesthetic").entries == (given,)


def test_the_amount_is_wanted_of_every_cartridge():
    log = Log()
    log.answer("anaesthesia", agent="lidocaine_2_epi_100", volume="1.8", site="buccal")
    log.answer("anaesthesia", row=2, agent="lidocaine_2_epi_100", site="buccal")
    case = log.case()
    assert the(case, "anaesthetic").state is State.PRESENT
    assert the(case, "anaesthetic_amount").state is State.ABSENT


def test_a_cartridge_without_its_amount_is_not_excused_by_what_is_said_later():
    log = Log()
    log.answer("anaesthesia", agent="lidocaine_2_epi_100", volume="1.8", site="buccal")
    log.answer("anaesthesia", row=2, agent="lidocaine_2_epi_100", site="buccal")
    log.answer("anaesthesia", row=10_000, effect="none_given")
    assert the(log.case(), "anaesthetic_amount").state is State.ABSENT


def test_a_question_that_is_not_asked_is_not_wanted():
    text = bundled("protocols").joinpath("one_visit.toml").read_text(encoding="utf-8")
    by = 'prompt = "To be restored by"\n'
    log = Log(plan=load_text(text.replace(by, by + 'holds = ["recall"]\n', 1), "more.toml"))
    seq = log.answer("closing", next_visit="year")
    log.answer("coronal_seal", material="composite", restorer="not_arranged")
    assert (the(log.case(), "recall").state, the(log.case(), "recall").entries) == (State.PRESENT, (seq,))
    log.answer("coronal_seal", restorer="here")
    assert the(log.case(), "recall").where == ("16/ Coronal seal: To be restored by",)


def test_what_an_earlier_visit_brought_is_present_with_the_entry_that_carried_it():
    visit = after(dressed())
    brought = {one.item: one for one in completeness(visit.case()) if one.canal == 1}
    assert brought["canal_name"].entries == brought["reference_point"].entries == brought["last_file"].entries == (1,)
    assert brought["reference_point"].why == brought["last_file"].why == "at the earlier visit"
    assert brought["length"].state is State.ABSENT, "it is not in force before it is agreed today"
    agreed = visit.agree()
    (length,) = [one for one in completeness(visit.case()) if (one.item, one.canal) == ("length", 1)]
    assert (length.state, length.entries) == (State.PRESENT, (agreed,))


def test_a_canal_that_ended_at_an_earlier_visit_wants_nothing_today():
    log = Log(previous=Previous(sid="first", head="0" * 64))
    seq = log.log(Carried, canal=1, name="MB", outcome="filled", fill={"gate_open": True, "of": 9})
    found = {one.item: one for one in completeness(log.case()) if one.canal == 1}
    assert found.pop("canal_name").state is State.PRESENT
    assert {(one.state, one.why, one.entries) for one in found.values()} == {
        (State.NOT_APPLICABLE, "ended at the earlier visit", (seq,))
    }


def test_a_step_said_to_be_not_done_says_why():
    log = Log()
    seq = log.declare("closing", how="not_done")
    one = the(log.case(), "recall")
    assert (one.state, one.entries) == (State.ABSENT, (seq,))
    assert one.why == "the step was said to be not done"


def test_a_canal_that_was_not_treated_wants_nothing_but_its_name():
    found = [one for one in completeness(ended_early().case()) if one.canal == 4]
    states = {one.item: one.state for one in found}
    assert states.pop("canal_name") is State.PRESENT
    assert set(states.values()) == {State.NOT_APPLICABLE}
    assert {one.why for one in found} == {"", "not treated"}


def test_a_canal_that_joins_is_neither_filled_nor_dressed_by_itself():
    log = ready(Log())
    log.join(2, 1, "17")
    two = {one.item: one for one in completeness(log.case()) if one.canal == 2}
    for name in ("medicament", "filling_material", "sealer", "technique", "level"):
        assert (two[name].state, two[name].why) == (State.NOT_APPLICABLE, "joins MB")
    assert two["last_file"].state is State.ABSENT


def test_a_canal_that_is_not_filled_wants_a_medicament():
    log = ready(Log())
    one = items(log.case(), "medicament")[0]
    assert (one.state, one.where) == (State.ABSENT, ("15/ Dressing: Dressing placed",))
    fill(log)
    assert items(log.case(), "medicament")[0].state is State.NOT_APPLICABLE


def test_a_length_that_is_void_is_none():
    log = ready(Log())
    assert items(log.case(), "length")[0].state is State.PRESENT
    broken = log.answer("length", 1, 2, reference="flattened")
    one = items(log.case(), "length")[0]
    assert broken and (one.state, one.why) == (State.ABSENT, "none is in force")
    assert one.where == ("7/ Working length: Working length agreed",)


def test_without_a_canal_it_is_said_where_they_are_named():
    one = the(Log().case(), "canal_name")
    assert (one.state, one.where) == (State.ABSENT, ("6/ Access: Canals found, in order",))
    assert {one.canal for one in completeness(Log().case())} == {0}


def test_an_incident_has_to_be_named():
    log = opened(examined(Log()))
    assert the(log.case(), "complications").why == "no incident was logged"
    seq = log.incident("access")
    one = the(log.case(), "complications")
    assert (one.state, one.entries) == (State.ABSENT, (seq,))
    said = detail(log, seq, "pain", when="filing")
    one = the(log.case(), "complications")
    assert (one.state, one.entries) == (State.PRESENT, (seq, said))


def test_a_slip_of_the_keys_is_no_complication():
    log = Log()
    log.incident("access", what="slip")
    assert the(log.case(), "complications").state is State.NOT_APPLICABLE


TOLD = """
[[incident.question]]
id = "told"
kind = "choice"
prompt = "Patient told"
holds = ["patient_told"]
option = [{ id = "yes", label = "yes" }]
"""


def test_what_the_patient_was_told_is_asked_where_the_protocol_asks_it():
    text = bundled("protocols").joinpath("one_visit.toml").read_text(encoding="utf-8")
    last = 'id = "other"\nlabel = "Other"\n'
    log = Log(plan=load_text(text.replace(last, last + TOLD, 1), "told.toml"))
    assert the(log.case(), "patient_told").why == "no incident was logged"
    seq = log.incident("access", what="other")
    one = the(log.case(), "patient_told")
    assert (one.state, one.entries, one.where) == (State.ABSENT, (seq,), ("Other: Patient told",))
    said = detail(log, seq, "other", told="yes")
    one = the(log.case(), "patient_told")
    assert (one.state, one.entries, one.where) == (State.PRESENT, (said,), ())
    again = log.incident("access", what="other")
    one = the(log.case(), "patient_told")
    assert (one.state, one.entries) == (State.ABSENT, (again,))


def test_a_protocol_of_before_cannot_tell_what_it_does_not_mark():
    log = four_canals(plan=load_text(old(), "old.toml"))
    untold = {one.item for one in completeness(log.case()) if one.state is State.UNTOLD}
    assert untold == set(MARKED)
    assert {one.state for one in completeness(log.case()) if one.item == "reference_point"} == {State.PRESENT}


def test_the_rows_fit_the_page_and_say_how_the_list_is_known():
    case = four_canals().case()
    rows = complete_rows(case)
    assert max(map(len, rows)) <= 80
    assert rows[1] == "The list: from memory; common practice, no source."
    assert rows[2] == "0 absent, 1 cannot be told by this protocol, 7 not applicable, 56 present."
    text = "\n".join(rows)
    assert "- Working length (MB, ML, DB, DL), entries" in text.replace("\n  ", " ")
    assert "- Identity, and the date of the visit." in rows


def test_what_is_absent_comes_first_with_its_question():
    log = Log()
    log.answer("diagnosis", **{name: text for name, text in ALL.items() if name != "findings"})
    rows = complete_rows(log.case())
    at = rows.index("Absent:")
    assert at == 4
    assert "- Radiograph, with its finding. Keyed at 1/ Diagnosis: Lesion, sinus tract," in rows


def test_a_hostile_word_of_a_protocol_is_inert():
    text = bundled("protocols").joinpath("one_visit.toml").read_text(encoding="utf-8")
    bent = text.replace('prompt = "What brings the patient"', 'prompt = "What\u200bbrings \u00adthe patient"')
    rows = complete_rows(Log(plan=load_text(bent, "bent.toml")).case())
    assert "\u200b" not in "".join(rows) and "\u00ad" not in "".join(rows)


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data(), st.integers(1, 14), st.booleans())
def test_whatever_is_logged_is_held_against_the_list_and_told_on_a_sheet(
    data: st.DataObject, more: int, second: bool
) -> None:
    log = Log(previous=Previous(sid="first-visit", head="ab" * 32)) if second else ready(Log())
    for canal in (1, 2) if second else ():
        log.log(Carried, **brought(canal))
    log.answer("diagnosis", complaint="biting")
    for _ in range(more):
        log_one(data.draw, log)
    case = log.case()
    found = completeness(case)
    assert len({(one.item, one.canal) for one in found}) == len(found)
    for one in found:
        assert one.entries == tuple(sorted(set(one.entries))) and set(one.entries) < set(range(len(log.entries)))
        assert one.entries or one.state is State.UNTOLD
        assert bool(one.where) is (one.state is State.ABSENT) or one.item == "complications"
    assert max(map(len, complete_rows(case))) <= 80
    for sentence in sheet(case).sentences:
        assert sentence.entries and set(sentence.entries) < set(range(len(log.entries)))
        assert "{" not in sentence.text
