"""Every mistake of a protocol gets one sentence: file, line where known, place, what is wrong, what is allowed."""

from __future__ import annotations

import re

import pytest

from stepper.case.alarms import NAMES
from stepper.protocol.load import load_text
from stepper.protocol.models import Wording
from stepper.protocol.roles import ALARM_NAMES, ROLES
from tests.protocol.mistakes import MISTAKES
from tests.protocol.scraps import FILE, change, lines_of, refused, whole


def test_the_bundled_protocol_is_taken():
    assert load_text(whole(), FILE).id == "one_visit"


@pytest.mark.parametrize("name", MISTAKES)
def test_one_mistake(name: str):
    after, old, new, offset, rest = MISTAKES[name]
    text, line = change(whole(), after, old, new)
    place = FILE if offset is None else f"{FILE}, line {line + offset}"
    assert f"{place}: {rest}" in refused(text)


NAMED_ELSEWHERE = {"role lacks an option"}
ALONE = [name for name in MISTAKES if not name.endswith(" twice") and name not in NAMED_ELSEWHERE]


@pytest.mark.parametrize("name", ALONE)
def test_one_mistake_gets_one_sentence(name: str):
    """What is only due to a mistake is not held against the file; what stands twice is named at both places."""
    after, old, new, _, _ = MISTAKES[name]
    text, _ = change(whole(), after, old, new)
    assert len(refused(text)) == 1


def test_five_mistakes_get_five_sentences():
    """Mistakes of shape do not hide those of sense: the practice mends its file once."""
    text = whole()
    five = ("tooth 19", "misspelt rule kind", "text for true", "gap of a read-back", "taper in per cent")
    expected = set()
    for name in five:
        after, old, new, _, rest = MISTAKES[name]
        text, _ = change(text, after, old, new)
        expected.add(rest)
    sentences = refused(text)
    assert {one.split(": ", 1)[1] for one in sentences} == expected
    assert len(sentences) == 5
    for sentence, line in zip(sentences, lines_of(sentences), strict=True):
        assert line is not None
        shown = text.split("\n")[line - 1]
        key = re.search(r"(teeth|kind|many|readback|taper)", sentence)
        assert key is not None
        assert shown.strip().startswith(key[1]), (sentence, shown)


def test_what_is_left_without_its_head_is_still_looked_at():
    text = whole().replace("[limits]", "[limit]", 1)
    text, _ = change(text, 'id = "damp_mm"', 'role = "damp_mm"', 'role = "dampmm"')
    assert [one.split(": ", 1)[1] for one in refused(text)] == [
        "limits is missing",
        "limit is not a key here; did you mean 'limits'?",
        "step drying, question damp_mm, role 'dampmm' is unknown; did you mean 'damp_mm'?",
    ]


def test_an_empty_file_lacks_what_every_protocol_has():
    names = ("format", "id", "title", "limits", "wording", "step")
    assert refused("") == tuple(f"{FILE}: {name} is missing" for name in names)


@pytest.mark.parametrize("role", [name for name, role in ROLES.items() if role.required])
def test_a_protocol_without_a_role_that_the_gate_reads_is_refused(role: str):
    text = re.sub(rf'^role = "{role}"\n', "", whole(), flags=re.MULTILINE)
    assert f"{FILE}: no question has the role {role!r}, which the fill gate or an alarm reads" in refused(text)


SPARED = [name for name, role in ROLES.items() if not role.required and f'role = "{name}"' in whole()]


@pytest.mark.parametrize("role", SPARED)
def test_a_role_that_the_gate_does_not_read_may_be_missing(role: str):
    text = re.sub(rf'^role = "{role}"\n', "", whole(), flags=re.MULTILINE)
    assert text != whole()
    assert load_text(text, FILE)


@pytest.mark.parametrize("alarm", sorted(ALARM_NAMES))
def test_no_rule_takes_the_name_of_an_alarm(alarm: str):
    """Under an alarm's name a rule of the protocol would take its place, and mute it."""
    text, line = change(whole(), "", 'id = "unlabelled"', f'id = "{alarm}"')
    wrong = f"id '{alarm}' is the name of one of the program's own alarms; take another"
    assert refused(text) == (f"{FILE}, line {line}: step set_up, rule {alarm}, {wrong}",)


def test_every_alarm_that_is_worded_is_one_that_no_rule_may_be_called():
    assert frozenset(Wording.__struct_fields__) == ALARM_NAMES == NAMES


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("format = 1\nid = one_visit\n", "not TOML: Invalid value (at line 2, column 6)"),
        ("format = 1\nformat = 1\n", "not TOML: Cannot overwrite a value (at line 2, column 11)"),
        ('title = "open\n', "not TOML: Illegal character '\\n' (at line 1, column 14)"),
        ("x = 1_", "not TOML: Expected newline or end of document after a statement (at line 1, column 6)"),
        ("\x00", "not TOML: Invalid statement (at line 1, column 1)"),
        ("x = " + "[" * 5000, "not TOML: nested too deep"),
        ("x = " + "9" * 5000, "not TOML: a number has too many digits"),
        ("format" + ".a" * 5000 + " = 1", "not TOML: nested too deep"),
    ],
    ids=["value", "key twice", "open quotes", "number", "nought byte", "brackets", "digits", "dots"],
)
def test_what_is_no_toml_says_where(text: str, said: str):
    assert refused(text) == (f"{FILE}: {said}",)


def test_long_and_odd_words_of_a_file_are_cut_short_and_shown():
    kind = 'kind = "' + "z" * 9000 + '"'
    text, _ = change(whole(), 'id = "point_depth"', 'kind = "depth"', kind)
    (sentence,) = refused(text)
    assert f"kind '{'z' * 59}... is unknown" in sentence
    assert len(sentence) < 400
    odd = refused('"a\\nb\\u001b[2J" = 1\n' + whole())
    assert odd[0].startswith(f"{FILE}: a<U+000A>b<U+001B>[2J is not a key here")
