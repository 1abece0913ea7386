"""Whatever is logged, in whatever order, becomes a note and a report."""

from __future__ import annotations

import json
from string import Formatter

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepper.case.state import Case
from stepper.facts import entries as kinds
from stepper.facts.entries import Previous
from stepper.facts.free_text import FreeText
from stepper.facts.state import LAST
from stepper.facts.values import Absent, Choice, Why
from stepper.kinds.questions.choice import ChoiceQuestion
from stepper.kinds.union import AnyQuestion
from stepper.note import markdown
from stepper.note.compose import compose
from stepper.note.report import session_report, stops_standing, words_for
from stepper.note.shape import Note
from stepper.note.text import WIDTH, render
from tests.cases import Log, protocol, ready
from tests.note.figures import unfounded
from tests.note.parsing import expected, parsed

KEYED = {
    "number": ("1", "3", "16"),
    "digits": ("46", "45"),
    "date": ("1.3.2026",),
    "expiry": ("1.2020", "11.2027"),
    "depth": ("0", "-1.5", "+1"),
    "instrument": ("25/4-0", "40/4-0", "30/2-1.5", "35/4+1"),
    "size": ("35/4", "40/6"),
    "span": ("30",),
    "lot": ("7001",),
    "time": ("9.30",),
    "text": ("words",),
}
STEPS = st.sampled_from(protocol().step)


@st.composite
def values(draw: st.DrawFn, questions: tuple[AnyQuestion, ...]) -> dict[str, object]:
    chosen = draw(st.lists(st.sampled_from(questions), min_size=1, max_size=6, unique_by=lambda one: one.id))
    found: dict[str, object] = {}
    for question in chosen:
        if draw(st.integers(0, 5)) == 0:
            found[question.id] = Absent(why=draw(st.sampled_from(Why)))
        elif isinstance(question, ChoiceQuestion):
            options = [one.id for one in question.options_of(protocol())]
            found[question.id] = Choice(options=tuple(draw(st.lists(st.sampled_from(options), min_size=1, max_size=2))))
        else:
            typed = [question.parse(one, protocol()) for one in KEYED[question.kind]]
            lawful = [one for one in typed if hasattr(one, "kind")]
            if lawful:
                found[question.id] = draw(st.sampled_from(lawful))
    return found or {chosen[0].id: Absent(why=Why.OWED)}


def log_one(draw: st.DrawFn, log: Log) -> None:
    """Log one more entry, of any kind."""
    step = draw(STEPS)
    canal = draw(st.sampled_from(sorted(log.case().told.canals) or [1])) if step.scope == "C" else 0
    what = draw(st.integers(0, 18))
    keys = ("needle_near:1:12", "fewer_canals:0:17", "not a key")
    if what <= 5:
        rows = {"first": 0, "each": draw(st.integers(1, 3)), "last": LAST}
        part = draw(st.sampled_from([one for one in rows if step.part(one)]))
        row = rows[part] if step.many else 1
        ago = draw(st.sampled_from([None, None, 1, 90]))
        given_values = draw(values(step.part(part) if step.many else step.question))
        outside = draw(st.integers(0, 4)) == 0
        log.log(kinds.Answer, step=step.id, canal=canal, row=row, values=given_values, ago_min=ago, outside=outside)
    elif what <= 7:
        answers = [one for one in log.entries if one.kind == "answer"]
        of = draw(st.sampled_from(answers))
        asked = tuple(one for one in protocol().by_step[of.step].question if one.id in of.values)
        how = draw(st.sampled_from(["keyed_wrong", "measured_anew"]))
        log.log(kinds.Correction, of=of.seq, how=how, values=draw(values(asked)))
    elif what == 8:
        log.confirm(*log.case().unconfirmed[:1] or (1,))
    elif what == 9:
        log.depart(draw(st.sampled_from(keys)))
    elif what == 10:
        log.owe(draw(st.sampled_from(keys)))
    elif what == 11:
        log.hold(step.id, canal, 1, remarks={keys[0]: ""}, drops=draw(st.booleans()))
    elif what == 12:
        log.declare(step.id, canal, draw(st.sampled_from(["finished", "not_done", "owed"])))
    elif what == 13:
        log.correct(0, tooth=draw(st.sampled_from(["45", "46"])))
    elif what == 14:
        log.incident(step.id, canal, draw(st.sampled_from([None, "slip", "pain"])))
    elif what == 15:
        kind = draw(st.sampled_from([one for one in protocol().incident if one.question]))
        marked = [one.seq for one in log.entries if one.kind == "incident"] or [log.incident(step.id, canal)]
        of = draw(st.sampled_from(marked))
        log.log(kinds.IncidentDetail, of=of, what=kind.id, values=draw(values(kind.question)))
    elif what == 16:
        log.log(kinds.Ending, reason="Time is up.", said_by=1)
    elif what == 17:
        title = draw(st.sampled_from([step.title, "Advice and next visit", "Elsewhere"]))
        log.log(FreeText, section=title, text=draw(st.sampled_from(["12 words", "# *a* <b>"])), said_by=1)
    else:
        log.wait(draw(st.sampled_from([1, 60, 24 * 60])))
        log.boot = draw(st.sampled_from(["boot-1", "boot-2"]))


def brought(canal: int) -> dict[str, object]:
    """What a canal brings along from an earlier session."""
    return {
        "canal": canal,
        "name": f"C{canal}",
        "outcome": "dressed",
        "length": {"mm": "20.5", "of": 31},
        "reference": {"value": {"kind": "choice", "options": ["buccal_cusp"]}, "of": 31},
        "files": [{"size": 30, "taper": "0.04", "short_mm": "0", "absolute_mm": "20.5", "purpose": "cut", "of": 33}],
        "master": {"size": 30, "taper": "0.04", "of": 34},
        "said": [{"about": "dressing", "asked": "Dressing placed", "words": "some paste; Lot: 8101", "of": 40}],
        "of_tooth": [{"about": "apical_diagnosis", "asked": "Diagnosis", "words": "as it was", "of": 4}],
    }


def told_somewhere(case: Case, note: Note) -> bool:
    """Every real fact that the protocol has a sentence for is in some sentence, with the entry that it comes from."""
    for (name, _), rows in case.told.rows.items():
        step = protocol().by_step[name]
        gaps = {gap for line in step.note if line.when is None for _, gap, _, _ in Formatter().parse(line.text)}
        for row in rows:
            for gap, fact in row.facts.items():
                question = step.asked(gap)
                if gap not in gaps or fact.absent or question is None:
                    continue
                shown = question.show(fact.value, protocol())
                if not any(fact.seq in one.entries and shown in one.text for one in note.sentences):
                    return False
    return True


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data(), st.integers(1, 14), st.booleans())
def test_any_log_becomes_a_note_and_a_report(data: st.DataObject, more: int, second: bool) -> None:
    log = Log(previous=Previous(sid="first-visit", head="ab" * 32)) if second else ready(Log())
    for canal in (1, 2) if second else ():
        log.log(kinds.Carried, **brought(canal))
    log.answer("diagnosis", complaint="biting")
    for _ in range(more):
        log_one(data.draw, log)
    case = log.case()
    note = compose(case)
    for one in (*note.sentences, *note.cells):
        assert one.text
        assert one.entries
        assert one.entries[-1] < len(log.entries)
        assert tuple(sorted(set(one.entries))) == one.entries
    assert all(section.sentences or section.cells for section in note.sections)
    assert len({section.title for section in note.sections}) == len(note.sections)
    tables = [section.table for section in note.sections if section.table is not None]
    assert all(len(row) == len(one.columns) for one in tables for row in one.rows)
    assert told_somewhere(case, note)
    assert list(unfounded(case, note)) == []
    text = render(note)
    assert "{" not in text
    assert max(len(line) for line in text.split("\n")) <= WIDTH
    assert parsed(markdown.render(note)) == expected(note)
    report = session_report("s.jsonl", case, entries=len(log.entries), head="ab", damage=None)
    assert words_for(json.loads(json.dumps(report)))
    stops = sum(one["weight"] == "stop" for one in report["remarks"])
    assert len(stops_standing(case)) <= stops
