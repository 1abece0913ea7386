"""Whatever a log holds comes out as words: no mark-up, no sign without a shape, no text that FHIR would refuse."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from stepper.facts import entries as kinds
from stepper.facts.entries import Previous
from stepper.facts.values import Choice, Digits, Scan, Text
from stepper.note.outputs import LogFile, tell
from tests.cases import Log
from tests.note.fhir.documents import document_of, of, resources, strings
from tests.note.test_addendum import sign

HOSTILE = (
    "<script>alert(1)</script>",
    "</div><img src=x onerror=alert(1)>",
    "<![CDATA[ a ]]> <!-- b -->",
    "&lt;b&gt; &#x202e; &nbsp; &amp;amp;",
    "\x1b[31mred\x1b[0m\x07",
    "\u202eright to left\u2066\u200b\u00ad",
    "line\r\nbreak\ttab\u2028\u2029",
    "\ud800 lone \udfff \ufffe \x00",
    '"; {"resourceType":"Patient"} \\u0000 \'',
    "  spaces  ",
    " ",
    "",
)


def log_with(text: str) -> Log:
    """A log with one text in every field that takes any."""
    log = Log(patient=text, tooth=text, previous=Previous(sid=text, head=text))
    log.answer("access", canals="mb+ml")
    log.log(kinds.CanalFound, canal=3, name=text)
    log.log(kinds.Answer, step="length", canal=1, row=1, values={"reference": Choice(options=(text,))})
    log.log(kinds.Answer, step=text, canal=1, row=1, values={text: Text(value=text)}, scan=text)
    values = {"item": Choice(options=(text,)), "lot": Digits(value=text)}
    log.log(kinds.Answer, step="set_up", canal=0, row=1, values=values, scan=text)
    log.log(kinds.Answer, step="set_up", canal=0, row=2, values={"lot": Scan(raw=text, lot=text, code=text)})
    log.log(kinds.Answer, step="dressing", canal=2, row=1, values={"material": Choice(options=(text,))})
    log.log(kinds.Answer, step="drying", canal=2, row=1, values={"dryness": Choice(options=(text,))})
    log.log(kinds.Answer, step="closing", canal=3, row=1, values={"outcome": Choice(options=(text,))})
    log.depart(text, text, text=text)
    log.log(kinds.FreeText, section=text, text=text, said_by=1)
    log.log(kinds.Ending, reason=text, said_by=1)
    log.close()
    sign(log, text, text)
    log.log(kinds.Addendum, text=text, said_by=1, name=text)
    return log


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_in_every_field_comes_out_as_words(text: str) -> None:
    told = tell(log_with(text).case(), [LogFile(text, b"{}\n", text)])
    document = document_of(told)
    for one in strings(document):
        assert one.isprintable()
        assert one == one.strip() != ""
    for section in resources(document, "Composition")[0]["section"]:
        words = ElementTree.fromstring(section["text"]["div"]) if "text" in section else ElementTree.Element("none")
        assert {one.tag.rpartition("}")[2] for one in words.iter()} <= {"div", "p", "table", "tr", "th", "td", "none"}
        assert {name for one in words.iter() for name in one.attrib} <= {"title"}
        for one in words.iter():
            assert re.fullmatch(r"[0-9, -]*", one.get("title", ""))


def test_a_void_reason_comes_out_as_words() -> None:
    for text in HOSTILE:
        log = Log()
        log.void(text)
        assert all(one.isprintable() for one in strings(of(log)))


def test_words_with_signs_of_xhtml_are_still_read_as_they_were_written() -> None:
    log = log_with("a < b & c > d \"e\" 'f'")
    sections = resources(of(log), "Composition")[0]["section"]
    said = " ".join("".join(ElementTree.fromstring(one["text"]["div"]).itertext()) for one in sections if "text" in one)
    assert "a < b & c > d \"e\" 'f'" in said
