"""The sheet for the patient: every outcome, nothing that was not logged, plain words, hostile words inert."""

from __future__ import annotations

import base64
import datetime as dt
import hashlib
import re
from html.parser import HTMLParser

import pytest
from msgspec.structs import replace

from stepper.case.state import Case
from stepper.facts import entries as kinds
from stepper.facts.carried import Previous
from stepper.facts.entries import Open
from stepper.facts.signature import Signature
from stepper.note import sheet as module
from stepper.note import sheet_html, text
from stepper.note.shape import Note, Sentence
from stepper.note.sheet import sheet
from stepper.note.tooth_words import in_plain_words
from stepper.protocol.load import load_text
from stepper.protocol.models import Occasion, SheetLine
from stepper.record.places import bundled
from stepper.sums.iso3950 import TEETH
from tests.cases import Log, examined, fill, opened, ready
from tests.note.visits import ended_early, four_canals

FIXED = {
    "The visit was about this tooth: lower right first large back tooth (number 46).",
    "Brush your teeth as always.",
    "Call if the pain gets worse from day to day.",
    "Call if your gum, cheek or face swells, or swells more, or if you get a fever.",
    "If it is hard to breathe or to swallow, call for emergency help at once.",
}
"""What the bundled protocol says whatever was logged."""


def told(log: Log, under: str) -> dict[str, Sentence]:
    """The sentences under a title, by their words."""
    return {one.text: one for part in sheet(log.case()).sections if part.title == under for one in part.sentences}


def today(log: Log) -> dict[str, Sentence]:
    return told(log, "What was done today")


def test_an_empty_record_is_told_by_usual_cautions_alone():
    note = sheet(Log().case())
    written = {one.text for part in note.sections if part.title != module.ABOUT for one in part.sentences}
    assert written == FIXED
    assert {one.entries for one in note.sentences} == {(0,)}


def test_a_filled_canal():
    log = ready(Log())
    fill(log)
    case = log.case()
    seq = case.told.canals[1].fill.seq if case.told.canals[1].fill else 0
    assert today(log)["Root canals filled today: 1 of 3."].entries == (seq,)
    assert today(log)["Root canals for which nothing was noted in the end: 2 of 3."].entries == (0,)
    still = told(log, "What is still to be done")
    assert "The root canal treatment of this tooth is not finished yet." in still
    assert "No root canal in this tooth is waiting to be filled." not in still


def test_all_canals_filled_or_run_into_one_that_is():
    log = ready(Log(), "mb+ml")
    fill(log)
    joins = log.join(2, 1, "17")
    still = told(log, "What is still to be done")
    filled = log.case().told.canals[1].fill
    assert filled is not None
    assert still["No root canal in this tooth is waiting to be filled."].entries == (filled.seq, joins)
    assert today(log)["Root canals that run into another one: 1 of 2."].entries == (joins,)
    assert "The root canal treatment of this tooth is not finished yet." not in still


def test_a_canal_filled_outside_the_chain_counts_as_filled_for_the_patient():
    log = opened(examined(Log()), "mb")
    seq = log.answer("sealing", 1, fill="filled", outside=True)
    assert today(log)["Root canals filled today: 1 of 1."].entries == (seq,)


OUTCOMES = {
    "blocked": "Root canals in which the way to the end was blocked: 1 of 2.",
    "fragment": "Root canals in which a piece of a dental tool is left: 1 of 2.",
    "not_treated": "Root canals that were not treated: 1 of 2.",
    "left_undressed": "Root canals that were worked on, with no medicine left inside: 1 of 2.",
}


@pytest.mark.parametrize("outcome", OUTCOMES)
def test_a_canal_that_ended_otherwise(outcome: str):
    log = opened(examined(Log()), "mb+ml")
    seq = log.answer("closing", 1, outcome=outcome)
    found = today(log)
    assert found[OUTCOMES[outcome]].entries == (seq,)
    assert not [words for words in found if words.startswith("Root canals filled")]
    others = {words for words in OUTCOMES.values() if words != OUTCOMES[outcome]}
    assert not others & set(found)


def test_a_dressed_canal_and_a_visit_that_ended_early():
    log = ended_early()
    ending = next(one.seq for one in log.entries if isinstance(one, kinds.Ending))
    dressed = tuple(one.seq for one in log.entries if getattr(one, "step", "") == "dressing")
    found = today(log)
    assert found["Root canals with a medicine left inside: 2 of 4."].entries == dressed
    assert found["The visit ended earlier than planned."].entries == (ending,)
    assert "The visit ended earlier than planned." not in today(four_canals())


def test_a_medicine_in_a_canal_that_was_given_up_is_counted_too():
    log = opened(examined(Log()), "mb+ml")
    one, other = (log.answer("dressing", canal, material="calcium_hydroxide", pellet="cotton") for canal in (1, 2))
    stated = log.answer("closing", 2, outcome="fragment")
    found = today(log)
    assert found["Root canals with a medicine left inside: 2 of 2."].entries == (one, other, stated)
    assert OUTCOMES["fragment"] in found


def test_what_an_earlier_visit_filled_is_not_of_today():
    log = Log(previous=Previous(sid="first", head="0" * 64))
    seq = log.log(kinds.Carried, canal=1, name="MB", outcome="filled", fill={"gate_open": True, "of": 9})
    log.log(kinds.Carried, canal=2, name="ML", outcome="blocked")
    found = today(log)
    assert found["Root canals filled at an earlier visit: 1 of 2."].entries == (seq,)
    assert found["Root canals in which the way to the end was blocked: 1 of 2."].entries == (seq + 1,)
    assert not [words for words in found if "filled today" in words]


def test_what_went_wrong_is_told_and_a_slip_is_not():
    log = ready(Log())
    log.incident("shaping", 1, "slip")
    before = today(log)
    seq = log.incident("irrigation", 1, "hypochlorite_accident")
    new = {words: one for words, one in today(log).items() if words not in before}
    assert {words: one.entries for words, one in new.items()} == {
        "There was an accident with the cleaning liquid.": (seq,),
        "Ask your dentist to tell you more about this.": (seq,),
    }
    assert "Call at once if a bruise, a swelling or strong pain comes after this visit." in told(log, "When to call")


def test_prescriptions_advice_and_next_visit_as_logged():
    log = Log()
    assert told(log, "Medicines") == {} == told(log, "Your next visit")
    seq = log.answer("closing", advice="spoken", next_visit="half_year", prescribed="pain_relief+antibiotic")
    assert [(words, one.entries) for words, one in told(log, "Medicines").items()] == [
        ("Pain relief was prescribed for you.", (seq,)),
        ("An antibiotic was prescribed for you.", (seq,)),
        ("Take medicines only as your dentist and the pack tell you.", (seq,)),
    ]
    assert set(told(log, "Your next visit")) == {"Your next visit is a check, in 6 months."}
    assert "You were told how to look after the tooth." in told(log, "Looking after the tooth")
    assert "You were told whom to call." not in told(log, "Looking after the tooth")


@pytest.mark.parametrize("said", ["--", "-/", "-."])
def test_an_answer_that_says_there_is_none_writes_nothing(said: str):
    log = Log()
    log.answer("closing", advice=said, next_visit=said, prescribed=said)
    log.answer("coronal_seal", material=said, restorer=said, restore_by=said)
    note = sheet(log.case())
    assert {one.text for part in note.sections if part.title != module.ABOUT for one in part.sentences} == FIXED


def test_any_answer_will_do_where_none_is_named_but_not_that_there_is_none():
    plan = load_text(bundled("protocols").joinpath("one_visit.toml").read_text(encoding="utf-8"), "plan")
    when = Occasion(question="closing.advice")
    plan = replace(plan, sheet=(SheetLine(text="You were told something.", under="Advice", when=when),))
    log = Log(plan=plan)
    seq = log.answer("closing", advice="emergency")
    assert told(log, "Advice")["You were told something."].entries == (seq,)
    log = Log(plan=plan)
    log.answer("closing", advice="--")
    assert told(log, "Advice") == {}


def test_a_corrected_answer_is_told_as_it_stands_with_the_correction():
    log = Log()
    seq = log.answer("closing", next_visit="year")
    mended = log.correct(seq, next_visit="none")
    (one,) = told(log, "Your next visit").values()
    assert (one.text, one.entries) == ("No next visit was arranged.", (mended,))


def test_a_day_is_told_with_the_month_in_words():
    log = Log()
    seq = log.answer("coronal_seal", restorer="referrer", restore_by="5.4.2026")
    one = told(log, "What is still to be done")["The lasting repair of the tooth is due by 5 April 2026."]
    assert one.entries == (seq,)


def test_whom_to_call_is_the_practices_heading_or_is_not_said():
    assert not [one for one in sheet(Log().case()).sentences if one.text.startswith("The practice:")]
    log = Log(settings='heading = "Praxis am Beispiel, 000 111"')
    assert told(log, "When to call")["The practice: Praxis am Beispiel, 000 111."].entries == (0,)
    assert sheet(log.case()).heads[0].text == "Praxis am Beispiel, 000 111"


def test_practice_says_so_and_a_record_does_not():
    assert "PRACTICE" in [one.mark for one in sheet(Log(practice=True).case()).heads]
    assert "PRACTICE" not in text.render(sheet(Log().case()))
    assert "<strong>PRACTICE</strong>" in sheet_html.render(sheet(Log(practice=True).case()))


def test_a_void_visit_tells_nothing():
    log = four_canals()
    seq = log.void("Opened for the wrong patient.")
    note = sheet(log.case())
    assert [part.title for part in note.sections] == [module.ABOUT]
    assert [one.entries for one in note.heads if one.text == module.VOID] == [(seq,)]


def test_it_says_whether_the_visit_had_ended_and_was_signed():
    log = ready(Log())
    assert module.NOT_CLOSED in [one.text for one in sheet(log.case()).heads]
    log.close()
    note = sheet(log.case())
    assert module.NOT_CLOSED not in [one.text for one in note.heads]
    assert module.UNSIGNED in [one.text for one in note.sections[-1].sentences]
    sign(log)
    assert [one.text for one in sheet(log.case()).sections[-1].sentences] == [module.CAUTION, module.DEVICE]
    seq = log.answer("closing", next_visit="none")
    (added,) = [one for one in sheet(log.case()).sections[-1].sentences if one.text == module.ADDED]
    assert added.entries == (seq,)


def sign(log: Log) -> None:
    """Sign what there is; the signature itself is not looked at here."""
    words = {"name": "Clinician 1", "initials": "AB", "meaning": "read", "at": "now", "key": "k", "sig": "s"}
    log.log(Signature, person=1, entries=len(log.entries), head="0" * 64, **words)


@pytest.mark.parametrize("log", [four_canals, ended_early])
def test_each_sentence_knows_entries_that_there_are(log):
    case: Case = log().case()
    for one in sheet(case).sentences:
        assert one.entries and set(one.entries) <= {entry.seq for entry in case.entries}


def test_no_clinicians_or_assistants_name_and_no_canals_code_is_on_it():
    page = text.render(sheet(four_canals().case()))
    for word in ("Clinician", "Assistant", "MB", "DL", "entry"):
        assert word not in page


# ---- Plain words ---------------------------------------------------------------------------------

JARGON = (
    *("obturat", "endodont", "apical", "apex", "apices", "periapical", "pulp", "necro", "periodont", "irrigat"),
    *("hypochlorite", "edta", "chlorhexidine", "gutta", "sealer", "working length", "orifice", "coronal", "patency"),
    *("gauging", "master", "separated", "fragment", "retained", "perforat", "extrusion", "radiograph", "anaesthe"),
    *("anesthe", "temporar", "restorat", "composite", "glass ionomer", "calcium", "dressing", "prognosis", "lesion"),
    *("abscess", "incisor", "canine", "premolar", "molar", "mandib", "maxill", "quadrant", "analges", "oedema"),
)
"""Words of the trade that a patient need not know: a list of our own."""


def sentences() -> list[str]:
    """Every sentence of the sheets of both bundled protocols and of the program."""
    found = [module.VOID, module.NOT_CLOSED, module.CAUTION, module.UNSIGNED, module.DEVICE, module.FOR_PRACTICE]
    found += [module.TITLE, module.ABOUT, module.ADDED]
    for name in ("one_visit", "practice_tooth"):
        plan = load_text(bundled("protocols").joinpath(f"{name}.toml").read_text(encoding="utf-8"), name)
        assert plan.sheet
        found += [re.sub(r"{\w+\.?\w*}", "it", line.text) for line in plan.sheet] + [line.under for line in plan.sheet]
    return [one for said in found for one in re.split(r"(?<=[.!?:]) ", said)]


def test_the_sheet_has_no_jargon():
    words = [*sentences(), *(in_plain_words(tooth) for tooth in TEETH)]
    assert [(one, word) for one in words for word in JARGON if word in one.lower()] == []


def test_its_sentences_are_short():
    lengths = [len(re.findall(r"[\w']+", one)) for one in sentences()]
    assert max(lengths) <= 17
    assert sum(lengths) / len(lengths) <= 10


def test_its_words_are_short():
    words = [word for one in sentences() for word in re.findall(r"[a-z]+", one.lower())]
    assert sum(len(word) >= 10 for word in words) / len(words) < 0.04
    assert sum(map(len, words)) / len(words) < 4.6


def test_each_tooth_has_words_of_its_own():
    assert len({in_plain_words(tooth) for tooth in TEETH}) == 52
    assert in_plain_words("12") == "upper right side front tooth"
    assert in_plain_words("38") == "lower left wisdom tooth"
    assert in_plain_words("75") == "lower left second back milk tooth"
    with pytest.raises(ValueError, match="'19' is no tooth"):
        in_plain_words("19")


# ---- Hostile words -------------------------------------------------------------------------------

HOSTILE = "<script>alert(1)</script> & \"quoted\" 'so' \u202egnp.exe \u200b\x1b[2J</title></style>"


class Page(HTMLParser):
    """The tags and attributes of a page, and its words."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: set[tuple[str, str]] = set()
        self.words = ""
        self.style = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes |= {(tag, name) for name, _ in attrs}
        if ("http-equiv", "Content-Security-Policy") in attrs:
            self.policy = str(dict(attrs)["content"])

    def handle_data(self, data: str) -> None:
        if self.tags[-1:] == ["style"] and "{" in data:
            self.style += data
        self.words += data


def hostile() -> Note:
    bad = HOSTILE.replace("\\", "\\\\").replace('"', '\\"').replace("\x1b", "\\u001b")
    log = Log(settings=f'heading = "{bad}"')
    case = log.case()
    case.told.patient = HOSTILE
    case.told.tooth = HOSTILE
    return sheet(case)


def test_hostile_words_are_inert_in_html():
    page = sheet_html.render(hostile())
    read = Page(page)
    assert set(read.tags) == {"html", "head", "meta", "title", "style", "body", "h1", "h2", "p", "ul", "li"}
    assert read.attributes == {
        ("html", "lang"),
        ("meta", "charset"),
        ("meta", "http-equiv"),
        ("meta", "content"),
        ("meta", "name"),
    }
    assert "<script>alert(1)</script>" in read.words
    assert not re.search("[\u202e\u200b\x1b]", page)


def test_hostile_words_are_inert_in_text():
    page = text.render(hostile())
    assert not re.search("[\u202e\u200b\x1b]", page)
    assert max(map(len, page.splitlines())) <= 80


def test_a_hostile_sentence_of_a_protocol_is_inert():
    plan = load_text(bundled("protocols").joinpath("practice_tooth.toml").read_text(encoding="utf-8"), "plan")
    lines = (replace(plan.sheet[0], text="<b onclick=x>{tooth}</b>", under="<i>&amp;"), *plan.sheet[1:])
    page = sheet_html.render(sheet(Log(plan=replace(plan, sheet=lines)).case()))
    assert "&lt;b onclick=x&gt;" in page and "<h2>&lt;i&gt;&amp;amp;</h2>" in page


def test_the_page_lets_in_nothing_but_its_own_style():
    read = Page(sheet_html.render(sheet(four_canals().case())))
    digest = base64.b64encode(hashlib.sha256(read.style.encode()).digest()).decode()
    wanted = f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    assert read.policy == wanted
    assert "script" not in read.tags


def test_both_formats_say_the_same():
    note = sheet(four_canals().case())
    words = " ".join(Page(sheet_html.render(note)).words.split())
    for one in note.sentences:
        assert one.text in words
    assert [line for line in text.render(note).splitlines() if line.startswith("- ")]


def test_the_day_is_the_local_one():
    log = Log()
    header = log.entries[0]
    assert isinstance(header, Open)
    log.entries[0] = replace(header, t=dt.datetime(2026, 3, 1, 23, 30, tzinfo=dt.UTC), off="+01:00")
    assert "Visit of 2 March 2026." in [one.text for one in sheet(log.case()).heads]
