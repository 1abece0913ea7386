"""Figures with the digits they were keyed with, units of UCUM, and what they come to by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest

from stepper.facts.entries import Carried, Previous
from stepper.facts.values import Number
from stepper.kinds.questions.number import NumberQuestion
from stepper.note.fhir import codes
from stepper.note.fhir.document import render
from stepper.note.fhir.written import EMPTY, shown, written
from tests.cases import Log, examined, fill, opened, ready, shaped
from tests.note.fhir.documents import code_of, entries_of, observation, of, resources, told_of, walked
from tests.note.test_random import brought
from tests.note.visits import four_canals

MM = {"unit": "mm", "system": "http://unitsofmeasure.org", "code": "mm"}


def component(one: dict[str, object], code: str) -> dict[str, object]:
    """The one component of a code."""
    return next(part for part in one["component"] if code_of(part) == code)  # type: ignore[attr-defined]


@pytest.mark.parametrize("keyed", ["20.50", "20.5", "20", "20.00", "21.0"])
def test_a_length_keeps_the_digits_it_was_keyed_with(keyed: str) -> None:
    log = opened(examined(Log()), "mb")
    log.answer("length", 1, working_length="20")
    log.entries[-1].values["working_length"] = Number(value=Decimal(keyed))  # type: ignore[union-attr]
    assert observation(of(log), "working-length")["valueQuantity"] == {"value": keyed, **MM}
    assert f'"value":{keyed},"unit":"mm"'.encode() in render(told_of(log))


def test_no_figure_is_a_float_on_its_way() -> None:
    with pytest.raises(TypeError, match="float"):
        written({"value": 20.5})
    assert written({"value": Decimal("1E+1"), "true": True, "n": 3}) == '{"value":10,"true":true,"n":3}\n'


def test_texts_are_spelt_out_and_never_empty() -> None:
    assert shown({"a": ["\x00", "  b ", " "]}) == {"a": ["<U+0000>", "b", EMPTY]}


def test_every_quantity_has_a_unit_of_the_closed_list() -> None:
    found = [one for _, one in walked(of(four_canals())) if isinstance(one, dict) and "unit" in one]
    assert {one["code"] for one in found} == {"mm", "mL", "mg", "ug", "kg", "min", "s"} == set(codes.UCUM_CODES)
    assert {one["system"] for one in found} == {"http://unitsofmeasure.org"}


def test_the_master_apical_file_is_named_as_iso_3630_1_does_with_its_tip() -> None:
    """D0 is the size in hundredths of a mm (ISO 3630-1, from memory with high confidence)."""
    one = observation(of(shaped(opened(examined(Log()), "mb"))), "master-apical-file")
    assert one["valueString"] == "35/.04"
    assert component(one, "tip-diameter")["valueQuantity"] == {"value": "0.35", **MM}


def test_a_tip_has_hundredths_of_a_millimetre() -> None:
    log = opened(examined(Log()), "mb")
    log.answer("shaping", 1, 10_000, master="30/4")
    assert component(observation(of(log), "master-apical-file"), "tip-diameter")["valueQuantity"] == {
        "value": "0.30",
        **MM,
    }


def test_gauging_gives_bounds_outward_with_their_caveat() -> None:
    log = shaped(opened(examined(Log()), "mb"))
    log.answer("gauging", 1, 2, gauge="35/2-1")
    document = of(log)
    largest, width = observation(document, "gauged-size"), observation(document, "width-by-gauging")
    assert largest["valueString"] == "30/.02"
    assert set(width["valueRange"]) == {"low", "high"}
    assert width["derivedFrom"] == [{"reference": f"urn:uuid:{largest['id']}"}]
    assert width["note"][0]["text"].startswith("Round, straight canal assumed: narrowest width at length ")
    low, high = (width["valueRange"][end]["value"] for end in ("low", "high"))
    assert f" {low}-{high} mm" in width["note"][0]["text"]
    held = observation(document, "width-if-held-at-tip")
    assert held["code"]["text"].endswith("if a file was held at its tip: the 35")


def test_bounds_that_contradict_one_another_are_no_bounds() -> None:
    log = opened(examined(Log()), "mb")
    log.answer("length", 1, working_length="20")
    log.answer("gauging", 1, 1, gauge="20/2-3")
    log.answer("gauging", 1, 2, gauge="60/2-0")
    found = [code_of(one) for one in resources(of(log), "Observation")]
    assert "gauged-size" in found
    assert not [one for one in found if one.startswith("width")]


def test_the_cone_is_that_of_the_last_fit() -> None:
    log = ready()
    log.answer("cone_fit", 1, 2, cone="40/4", seat="-1.5", tug_back="no", cone_image="short")
    document = of(log)
    assert observation(document, "cone")["valueString"] == "40/.04"
    assert observation(document, "cone-seat")["valueQuantity"] == {"value": "1.5", **MM}


def test_dryness_is_told_in_words_with_what_was_damp() -> None:
    log = opened(examined(Log()), "mb")
    log.answer("drying", 1, point_depth="0", dryness="damp", damp_mm="0.5", blood="none")
    one = observation(of(log), "dryness")
    assert one["valueCodeableConcept"]["text"].startswith("damp")
    assert component(one, "damp")["valueQuantity"] == {"value": "0.5", **MM}


@pytest.mark.parametrize(("keyed", "written_as"), [("0", "0"), ("-0.5", "0.5"), ("+1", "-1")])
def test_the_fill_ends_so_far_short_of_length(keyed: str, written_as: str) -> None:
    log = ready()
    fill(log)
    log.answer("sealing", 1, level=keyed)
    assert observation(of(log), "fill-level")["valueQuantity"] == {"value": written_as, **MM}


def test_doses_are_milligrams_by_agent() -> None:
    """1.8 mL of articaine 4 % are 72 mg, with 1:100,000 18 µg (arithmetic); lidocaine 2 % 1.8 mL are 36 mg."""
    document = of(four_canals())
    found = {one["code"]["text"]: one for one in resources(document, "Observation")}
    articaine = found["Local anaesthetic in all: Articaine 4 % with epinephrine 1:100,000"]
    lidocaine = found["Local anaesthetic in all: Lidocaine 2 % with epinephrine 1:100,000"]
    assert Decimal(articaine["valueQuantity"]["value"]) == 72
    assert Decimal(lidocaine["valueQuantity"]["value"]) == 36
    assert component(articaine, "volume-in-all")["valueQuantity"]["value"] == "1.8"  # type: ignore[index]
    assert Decimal(found["Epinephrine in all"]["valueQuantity"]["value"]) == 36
    assert found["Body weight"]["valueQuantity"] == {
        "value": "70",
        "unit": "kg",
        "system": "http://unitsofmeasure.org",
        "code": "kg",
    }
    assert "bodySite" not in articaine, "the dose is the patient's, not the tooth's"


def test_a_dose_without_its_volume_makes_the_sum_a_lower_bound() -> None:
    log = Log()
    log.answer("anaesthesia", row=1, agent="lidocaine_2_epi_100", volume="1.8")
    log.answer("anaesthesia", row=2, agent="lidocaine_2_epi_100", volume="-/")
    document = of(log)
    for code in ("local-anaesthetic", "epinephrine"):
        assert observation(document, code, 0)["valueQuantity"]["comparator"] == ">="
    assert (
        component(observation(document, "local-anaesthetic", 0), "volume-in-all")["valueQuantity"]["comparator"] == ">="
    )  # type: ignore[index]


def test_irrigants_are_told_by_canal_and_solution() -> None:
    """Four rinses of 2 mL, the first and last 9 entries and 7 minutes apart or more; 30 s were activated."""
    log = four_canals()
    rinses = [one for one in resources(of(log), "Observation") if code_of(one) == "irrigant"]
    mine = [one for one in rinses if one["code"]["text"] == "Irrigant: Sodium hypochlorite 3 %"]
    assert [component(one, "rinses")["valueInteger"] for one in mine] == ["3", "3", "4", "4"]
    assert [component(one, "volume-in-all")["valueQuantity"]["value"] for one in mine] == ["6", "6", "8", "8"]  # type: ignore[index]
    assert [component(one, "activated")["valueQuantity"]["value"] for one in mine] == ["30"] * 4  # type: ignore[index]
    first, *_, last = [log.entries[seq] for seq in entries_of(mine[0])]
    whole = (last.mono_us - first.mono_us) // 60_000_000
    assert component(mine[0], "minutes")["valueQuantity"]["value"] == str(whole)  # type: ignore[index]


def test_a_rinse_outside_the_chain_counts_in_no_sum() -> None:
    log = opened(examined(Log()), "mb")
    log.answer("irrigation", 1, 1, solution="saline", volume="3", outside=True)
    assert not [one for one in resources(of(log), "Observation") if code_of(one) == "irrigant"]


def test_a_clock_begun_anew_between_two_rinses_leaves_their_time_unsaid() -> None:
    log = opened(examined(Log()), "mb")
    log.answer("irrigation", 1, 1, solution="saline", volume="3")
    log.boot = "boot-2"
    log.answer("irrigation", 1, 2, solution="saline", volume="3")
    parts = [code_of(one) for one in observation(of(log), "irrigant")["component"]]
    assert parts == ["rinses", "volume-in-all"]


def test_what_happened_partly_nobody_knows_when_has_no_time() -> None:
    log = opened(examined(Log()), "mb")
    log.answer("irrigation", 1, 1, solution="saline", volume="3", ago=2000)
    log.answer("irrigation", 1, 2, solution="saline", volume="3")
    log.answer("irrigation", 1, 3, solution="water", volume="3")
    found = {one["code"]["text"]: one for one in resources(of(log), "Observation")}
    assert "effectiveDateTime" not in found["Irrigant: Saline 0.9 %"]
    assert "effectiveDateTime" in found["Irrigant: Sterile water"]


def test_what_is_not_known_is_not_there() -> None:
    log = opened(examined(Log()), "mb")
    log.answer("length", 1, working_length="-/")
    log.answer("shaping", 1, 10_000, master="-.")
    found = [code_of(one) for one in resources(of(log), "Observation")]
    assert set(found) == {"body-weight", "local-anaesthetic", "epinephrine"}


def test_what_an_earlier_visit_measured_has_no_time_of_today() -> None:
    log = Log(previous=Previous(sid="first-visit", head="ab" * 32))
    log.log(Carried, **brought(1))
    log.answer("length", 1, working_length="20.5")
    document = of(log)
    assert "effectiveDateTime" not in observation(document, "master-apical-file")
    assert observation(document, "master-apical-file")["code"]["text"] == "Master apical file, of the earlier visit"
    assert observation(document, "working-length")["effectiveDateTime"] == "2026-03-02T09:00:40+01:00"


def test_the_protocols_own_units_are_among_those_of_the_document() -> None:
    asked = [one for step in Log().plan.step for one in step.question if isinstance(one, NumberQuestion)]
    told = {"working_length", "damp_mm", "rinse_volume"}
    assert {one.unit for one in asked if one.role in told} <= set(codes.UCUM_CODES)
