"""A tooth by ISO 3950 and nothing else: each trap of domain.md, section 5."""

from __future__ import annotations

import pytest

from stepper.note.fhir import codes
from stepper.note.fhir.checked import faults
from stepper.note.fhir.document import document
from stepper.note.fhir.written import shown
from stepper.sums.iso3950 import PERMANENT, PRIMARY, TEETH, describe
from tests.cases import Log, opened
from tests.note.fhir.documents import of, resources, strings, told_of

ISO_3950 = "urn:iso:std:iso:3950"


def sites(tooth: str) -> list[dict[str, object]]:
    """Every place on the body that a document names."""
    found = of(opened(Log(tooth=tooth), "mb"))
    return [site for one in resources(found, "Procedure") for site in one["bodySite"]]


@pytest.mark.parametrize("tooth", TEETH)
def test_every_tooth_has_its_own_code_and_words(tooth: str) -> None:
    """TRAP: HL7's ex-tooth has no primary teeth; ISO 3950 has all 52 (seen)."""
    coding = {"system": ISO_3950, "code": tooth, "display": describe(tooth)}
    text = f"tooth {tooth} (FDI), {describe(tooth)}, canal 1 MB"
    assert sites(tooth) == [{"coding": [coding], "text": text}]


def test_both_dentitions_are_there() -> None:
    assert (len(PERMANENT), len(PRIMARY)) == (32, 20)


@pytest.mark.parametrize("tooth", ["31", "36", "41", "46", "71", "75", "81", "85"])
def test_left_is_left(tooth: str) -> None:
    """TRAP: ex-tooth says 3 is mandibular right and 4 left, the reverse of ISO 3950 (seen); 7 and 8 likewise."""
    side = "left" if tooth[0] in "37" else "right"
    assert f"lower {side}" in str(sites(tooth))


@pytest.mark.parametrize("tooth", ["36", "75"])
def test_hl7s_list_of_teeth_is_not_used(tooth: str) -> None:
    """TRAP: it is an example set with the status draft (seen)."""
    assert not [one for one in strings(of(opened(Log(tooth=tooth), "mb"))) if "ex-tooth" in one or "Universal" in one]


@pytest.mark.parametrize("tooth", ["11", "18", "21", "28", "31", "32", "51", "55", "65", "75", "81", "82"])
def test_no_tooth_is_a_bare_number(tooth: str) -> None:
    """TRAP: these mean other teeth in Universal (seen, derived), so the number never stands without its system."""
    for site in sites(tooth):
        assert [one["system"] for one in site["coding"]] == [ISO_3950]  # type: ignore[attr-defined]
        assert f"tooth {tooth} (FDI)" in str(site["text"])


@pytest.mark.parametrize("tooth", ["00", "10", "19", "49", "56", "86", "99"])
def test_what_is_no_tooth_has_words_and_no_code(tooth: str) -> None:
    """Area codes, and supernumerary teeth, for which ISO 3950 has none (seen)."""
    assert sites(tooth) == [{"text": f"tooth {tooth} (FDI), canal 1 MB"}]


def test_a_corrected_tooth_is_the_corrected_one() -> None:
    log = opened(Log(tooth="46"), "mb")
    log.correct(0, tooth="36")
    assert resources(of(log), "Procedure")[0]["bodySite"][0]["coding"][0]["code"] == "36"


def test_canals_have_no_code_and_are_named_in_words() -> None:
    """No code system for root canals was found (seen): each is told by its number and name."""
    found = resources(of(opened(Log(tooth="46"), "mb+ml+d")), "Procedure")
    words = [one["bodySite"][0]["text"].rsplit(", ", 1)[1] for one in found]
    assert words == ["canal 1 MB", "canal 2 ML", "canal 3 D"]
    assert {len(one["bodySite"]) for one in found} == {1}


@pytest.mark.parametrize(
    ("system", "code"),
    [
        ("http://terminology.hl7.org/CodeSystem/ex-tooth", "36"),
        ("http://terminology.hl7.org/CodeSystem/ADAUniversalToothDesignationSystem", "19"),
        (ISO_3950, "3"),
        (ISO_3950, "56"),
        (ISO_3950, "A"),
    ],
)
def test_any_other_code_of_a_tooth_is_refused(system: str, code: str) -> None:
    bundle = shown(document(told_of(opened(Log(tooth="46"), "mb"))))
    site = next(one["resource"] for one in bundle["entry"] if one["resource"]["resourceType"] == "Procedure")[
        "bodySite"
    ]
    site[0]["coding"][0] |= {"system": system, "code": code}
    assert any("is no tooth of ISO 3950" in fault for fault in faults(bundle))
    assert codes.TEETH == ISO_3950
