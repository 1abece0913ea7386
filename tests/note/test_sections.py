"""Which sections a note has, in which order, and which of them a protocol may write into."""

from __future__ import annotations

import re

import pytest

from stepper.note.compose import compose
from stepper.note.shape import Note
from stepper.protocol.load import load_text
from stepper.protocol.models import Protocol
from stepper.protocol.sections import ADVICE, CLOSED, IMAGES, MATERIALS, PLACED, is_closed
from tests.cases import Log
from tests.note.reading import note, section, titles
from tests.note.visits import ended_early, four_canals
from tests.protocol.scraps import FILE, change, refused, whole

FIRST_SENTENCE = 'text = "Complaint: {complaint}."'


def under(title: str) -> Protocol:
    """The bundled protocol with the complaint told under another title."""
    return load_text(whole().replace(FIRST_SENTENCE, f'{FIRST_SENTENCE}\nunder = "{title}"', 1), FILE)


def complaint(plan: Protocol) -> Log:
    log = Log(plan=plan)
    log.answer("diagnosis", complaint="biting", restorable="yes")
    return log


def test_the_sections_of_a_whole_visit_stand_in_this_order() -> None:
    assert titles(four_canals()) == [
        "To be read first",
        "Diagnosis",
        "Time-out",
        "Set-up",
        "Anaesthesia",
        "Isolation",
        "Access",
        "Canals",
        "Working length",
        "Coronal flare",
        "Apical gauging",
        "Shaping",
        "Irrigation",
        "Drying",
        "Cone fit",
        "Sealing",
        "Dressing",
        "Materials and lots",
        "Images",
        "Coronal seal",
        "Closing",
        "Incidents",
        "Not recorded",
        "Advice and next visit",
        "Times",
        "Keyed by",
        "Signature",
    ]


def test_what_departs_from_the_plain_way_stands_between_the_visit_and_what_is_missing() -> None:
    log = ended_early()
    log.depart("needle_near:1:7")
    log.hold("cone_fit", 1, cone="40/4", remarks={"cone:1:9": "It does not match."})
    log.answer("irrigation", 1, 2, outside=True, solution="hypochlorite_3", volume="3")
    log.incident("shaping", 1)
    log.answer("diagnosis", consent="-.")
    log.answer("shaping", 1, 2, ago=3, file="40/4-0", purpose="cut")
    log.correct(len(log.entries) - 1, file="45/4-0")
    found = titles(log)
    order = ["To be read first", "Diagnosis", "Departures", "Outside the chain", "Held back", "Asked and not answered"]
    order += [
        "Incidents",
        "Ended early",
        "Corrections",
        "Late entries",
        "Owed",
        "Not recorded",
        "Advice and next visit",
    ]
    assert [one for one in found if one in order] == order


def test_images_materials_and_advice_are_made_by_the_protocol() -> None:
    log = four_canals()
    assert "Image showing the apex, dated 2026-03-02." in section(log, IMAGES)
    assert "MB, ML: image with cone 30/.04 in place, seated at length." in section(log, IMAGES)
    assert "Set up: EDTA 17 %, expiry 2027-11, lot 7002." in section(log, MATERIALS)
    assert "Sealer used in MB, ML, DB: lot 7003." in section(log, MATERIALS)
    assert "Dressing used in DL: calcium hydroxide paste, lot 8101." in section(log, MATERIALS)
    assert section(log, ADVICE) == [
        "Advice: spoken, whom to call. Next visit: to go on with this treatment.",
    ]
    assert not [one for one in section(log, "Closing") if "Advice" in one]


@pytest.mark.parametrize("title", [*PLACED, "Coronal seal", "Diagnosis"])
def test_a_sentence_stands_under_the_title_that_it_names(title: str) -> None:
    log = complaint(under(title))
    assert section(log, title)[0] == "Complaint: pain on biting."
    told = [one.text for one in note(log).sentences]
    assert told.count("Complaint: pain on biting.") == 1


def test_a_steps_title_puts_a_sentence_in_that_steps_own_place() -> None:
    log = complaint(under("Closing"))
    log.answer("coronal_seal", material="composite")
    found = titles(log)
    assert found.index("Coronal seal") < found.index("Closing")
    assert section(log, "Closing") == ["Complaint: pain on biting."]


def test_a_title_of_the_practices_own_makes_a_section_after_the_images() -> None:
    log = complaint(under("For the front desk"))
    log.answer("closing", counted="yes", dam_off="yes", advice="spoken", next_visit="none")
    log.answer("diagnosis", image_date="1.3.2026")
    found = titles(log)
    assert section(log, "For the front desk") == ["Complaint: pain on biting."]
    assert found[found.index("Images") : found.index("Images") + 3] == ["Images", "For the front desk", "Closing"]


def test_facts_whose_sentence_cannot_be_written_are_told_in_its_section() -> None:
    text = whole().replace(
        FIRST_SENTENCE, 'text = "Complaint: {complaint}, cold {cold}."\nunder = "For the front desk"', 1
    )
    log = complaint(load_text(text, FILE))
    assert section(log, "For the front desk") == ["What brings the patient: pain on biting."]


@pytest.mark.parametrize("title", [*CLOSED, "signature", "  TIMES ", "Keyed  by"])
def test_what_the_program_alone_writes_takes_no_sentence_of_a_protocol(title: str) -> None:
    text, line = change(whole(), "", FIRST_SENTENCE, f'{FIRST_SENTENCE}\nunder = "{title}"')
    assert refused(text) == (
        f"{FILE}, line {line + 1}: step diagnosis, note 1, under {title!r} is a section that the program alone writes; "
        "allowed: Canals, Materials and lots, Images, Advice and next visit, a step's title or one of your own",
    )


@pytest.mark.parametrize(
    ("title", "wrong"),
    [
        ("", "is empty"),
        ("x" * 41, "is longer than 40 characters"),
        ("a\\nb", "holds a sign without a shape; allowed: text on one line, without control characters"),
        ("a\\u202eb", "holds a sign without a shape; allowed: text on one line, without control characters"),
    ],
)
def test_a_title_is_a_short_line_that_can_be_shown(title: str, wrong: str) -> None:
    text, _ = change(whole(), "", FIRST_SENTENCE, f'{FIRST_SENTENCE}\nunder = "{title}"')
    (said,) = refused(text)
    assert "step diagnosis, note 1, under" in said
    assert said.endswith(wrong)


def test_every_section_that_the_program_writes_is_closed_or_takes_sentences() -> None:
    log = ended_early()
    log.incident("shaping", 1)
    steps = {step.title for step in log.plan.step}
    assert all(title in steps or title in PLACED or is_closed(title) for title in titles(log))


def test_two_steps_of_one_title_share_a_section_and_nothing_is_told_twice() -> None:
    text = re.sub(r'title = "(Drying|Coronal flare|Closing)"', 'title = "Images"', whole())
    log = four_canals(plan=load_text(text, FILE))
    found = compose(log.case())
    assert titles(found).count("Images") == 1
    assert len(found.sentences) == len({(one.text, one.entries) for one in found.sentences})
    assert every(found) == every(note(four_canals()))


def every(found: Note) -> list[str]:
    """The sentences of the visit itself, wherever they stand."""
    apart = ("Times", "Not recorded")
    return sorted(one.text for part in found.sections if part.title not in apart for one in part.sentences)
