"""The note of a second visit begins with what the first established, and says what of it was confirmed or changed."""

from __future__ import annotations

import datetime as dt

from msgspec.structs import replace

from stepper.case.carry import carry, fits
from stepper.facts.carried import CarriedCanal, CarriedSaid, Previous
from stepper.facts.entries import Carried
from stepper.facts.record import written
from stepper.note.compose import compose
from tests.case.second import after, dressed
from tests.case.visit import Visit
from tests.cases import examined, opened
from tests.note.reading import section, the

CARRIED = "Carried from the earlier visit"
DAY = dt.date(2026, 2, 16)
FIRST = "4f1c2d3e-0000-4000-8000-000000000001"


def first() -> Visit:
    """A first visit: gauged, dressed and closed with a temporary."""
    visit = dressed()
    visit.answer("gauging", 1, gauge="30-0", held="held")
    visit.answer("gauging", 1, 2, gauge="35-1", held="held")
    visit.answer("coronal_seal", material="temporary_cement", thickness="4", restorer="not_arranged")
    return visit


def goes_on(canals: tuple[CarriedCanal, ...], sid: str = FIRST, day: dt.date = DAY) -> Visit:
    """A visit that goes on from another one, examined anew."""
    visit = Visit(previous=Previous(sid=sid, head="a" * 64, day=day))
    for one in canals:
        visit.log(Carried, **written(one))
    return visit


def said(canal: CarriedCanal) -> list[tuple[str, str, str]]:
    return [(one.about, one.asked, one.words) for one in canal.said]


def test_gauging_dressing_diagnosis_and_closure_come_along_in_words() -> None:
    visit = first()
    one, *others = carry(visit.case())
    assert said(one) == [
        ("gauge_file", "Gauging file, where it stopped", "30/.02 at length; Held there: yes"),
        ("gauge_file", "Gauging file, where it stopped", "35/.02 1 mm short; Held there: yes"),
        ("dressing", "Dressing placed", "calcium hydroxide paste; Pellet left over it: cotton pellet"),
    ]
    assert [(each.asked, each.words) for each in one.of_tooth] == [
        ("Pulpal diagnosis", "pulp necrosis"),
        ("Apical diagnosis", "symptomatic apical periodontitis"),
        ("Access closed with", "temporary cement"),
    ]
    keyed = {each.of: visit.entries[each.of] for each in (*one.said, *one.of_tooth)}
    assert [getattr(entry, "step", "") for entry in keyed.values()] == ["gauging"] * 2 + ["dressing"] + [
        "diagnosis",
        "coronal_seal",
    ]
    assert all(each.of_tooth == () and each.said == () for each in others)


def test_what_is_late_and_not_confirmed_says_so() -> None:
    visit = first()
    visit.correct(len(visit.entries) - 2, gauge="40-1")
    one = carry(visit.case())[0]
    assert one.said[1].words.endswith("(the clinician has not confirmed it)")
    assert not one.said[0].words.endswith(")")


def test_the_note_begins_with_what_the_first_visit_established() -> None:
    canals = carry(first().case())
    visit = opened(examined(goes_on(canals)))
    note = compose(visit.case())
    assert note.sections[0].title == CARRIED
    told = section(visit, CARRIED)
    source = "(2026-02-16, session 4f1c2d3e, entry"
    assert told[0].startswith(f"From session {FIRST} of 2026-02-16, as it was recorded there")
    assert told[1] == f"Pulpal diagnosis: pulp necrosis {source} {canals[0].of_tooth[0].of})."
    assert [one.split(" (2026")[0] for one in told[4:9]] == [
        "MB: dressed",
        "MB: Dressing placed: calcium hydroxide paste; Pellet left over it: cotton pellet",
        "MB: working length 20.5 mm from the mesiobuccal cusp",
        "MB: Gauging file, where it stopped: 30/.02 at length; Held there: yes",
        "MB: Gauging file, where it stopped: 35/.02 1 mm short; Held there: yes",
    ]
    earlier = [one for one in told[1:] if "(2026-02-16, session 4f1c2d3e" in one]
    today = [one for one in told if one.startswith("Today: ")]
    assert [told[0], *earlier, *today] == told, "each sentence says which of the two visits it is of"
    assert today[:2] == [
        "Today: Pulpal diagnosis: pulp necrosis, as at the earlier visit.",
        "Today: Apical diagnosis: symptomatic apical periodontitis, as at the earlier visit.",
    ]


def test_a_diagnosis_that_has_changed_is_told_beside_that_of_then() -> None:
    visit = goes_on(carry(first().case()))
    seq = visit.answer("diagnosis", pulpal="previously_initiated")
    told = the(
        visit, "Today: Pulpal diagnosis: previously initiated therapy; at the earlier visit: pulp necrosis.", CARRIED
    )
    assert told.entries == (1, seq)


def test_a_third_visit_names_the_session_that_said_it_first() -> None:
    second = opened(examined(goes_on(carry(first().case()))))
    second.answer("diagnosis", pulpal="-.")
    one = carry(second.case())[0]
    assert {each.sid for each in one.said} == {FIRST}
    assert {each.day for each in one.said} == {DAY}
    third = goes_on(carry(second.case()), sid="second-visit", day=dt.date(2026, 3, 2))
    told = section(third, CARRIED)
    assert any("Gauging file" in each and "(2026-02-16, session 4f1c2d3e, entry" in each for each in told)
    assert any("Apical diagnosis" in each and "(2026-03-02, session second-visit, entry" in each for each in told)


def test_a_dressing_does_not_come_along_from_a_canal_that_was_worked_in_since() -> None:
    second = goes_on(carry(first().case()))
    opened(examined(second))
    assert [about for about, _, _ in said(carry(second.case())[0])].count("dressing") == 1
    second.rinse()
    assert [about for about, _, _ in said(carry(second.case())[0])].count("dressing") == 0


def test_files_of_before_that_say_nothing_in_words_fit_all_the_same() -> None:
    told = carry(first().case())
    before = tuple(replace(one, said=(), of_tooth=()) for one in told)
    assert fits(told, told)
    assert fits(before, told)
    other = CarriedSaid(about="dressing", asked="Dressing placed", words="nothing", of=3)
    assert not fits((replace(told[0], said=(other,)), *told[1:]), told)
    assert not fits((replace(before[0], master=None), *before[1:]), told)


def test_words_are_no_evidence() -> None:
    """What is only told opens no gate: the case is the same without it."""
    with_words = after(first())
    canals = carry(first().case())
    without = goes_on(tuple(replace(one, said=(), of_tooth=()) for one in canals))
    opened(examined(without))
    for visit in (with_words, without):
        visit.agree()
    here, there = with_words.case().told, without.case().told
    assert here.canals == there.canals
    assert here.by_role == there.by_role
