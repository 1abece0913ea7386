from __future__ import annotations

import hashlib
import json

from stepper.record import chain

SID = "0b9d1c9e-6f0e-4f3c-8a55-1f2d3c4b5a69"


def test_the_chain_as_documented_by_hand() -> None:
    # derived from the document of the format, with nothing of the module under test
    start = hashlib.sha256(b"stepper session|1|" + SID.encode()).hexdigest()
    first = b'{"v":1,"seq":0'
    expected = hashlib.sha256(start.encode() + first).hexdigest()
    assert chain.genesis(SID) == start
    assert chain.seal(first + b"}", start) == first + b',"hash":"' + expected.encode() + b'"}'


def test_a_pinned_vector() -> None:
    # the format is final: this hash may never change
    line = chain.seal(b'{"v":1}', chain.genesis(SID))
    assert json.loads(line)["hash"] == "0f8cd276886c760265a6193581a90292f6f126c1645e00b1ee0dd515d3484b1f"


def test_check_takes_what_seal_made_and_only_after_the_same_line() -> None:
    line = chain.seal(b'{"v":1,"seq":3,"kind":"fact"}', "a" * 64)
    assert chain.check(line, "a" * 64) == json.loads(line)["hash"]
    assert chain.check(line, "b" * 64) is None
    assert chain.check(line.upper(), "a" * 64) is None
    assert chain.check(line[:-1], "a" * 64) is None
    assert chain.check(b"", "a" * 64) is None


def test_whole_line_length_finds_the_line_that_chains_not_one_inside_it() -> None:
    inner = b'{"v":1,"previous":{"id":"x","hash":"' + b"c" * 64 + b'"},"seq":1}'
    line = chain.seal(inner, "a" * 64)
    assert chain.whole_line_length(line + b"rubbish", "a" * 64) == len(line)
    assert chain.whole_line_length(line[:-1], "a" * 64) == 0
    assert chain.whole_line_length(line, "b" * 64) == 0
