from __future__ import annotations

import json

import pytest

from stepper.record.members import UnfitError, decode, encode, enveloped, opening, shape_fault
from tests.record.sessions import clock

GOOD = {
    "v": 1,
    "seq": 3,
    "kind": "fact",
    "t": "2026-11-24T08:40:00.123456Z",
    "off": "+01:00",
    "tz": "Europe/Berlin",
    "mono_us": 5,
    "boot": "b",
    "by": None,
    "hash": "0" * 64,
}


def test_the_order_of_members_is_fixed_and_the_body_comes_after() -> None:
    members = enveloped(7, "fact", clock().now(), 2, {"zeta": 1, "alpha": [2]})
    assert list(members) == ["v", "seq", "kind", "t", "off", "tz", "mono_us", "boot", "by", "zeta", "alpha"]
    assert encode(members)[0].startswith(
        b'{"v":1,"seq":7,"kind":"fact","t":"2026-11-24T08:40:00.123456Z","off":"+00:00",'
    )


@pytest.mark.parametrize("name", ["v", "seq", "kind", "t", "off", "tz", "mono_us", "boot", "by", "hash"])
def test_a_body_may_not_name_a_common_member(name: str) -> None:
    with pytest.raises(UnfitError, match=f"'{name}'"):
        enveloped(7, "fact", clock().now(), 2, {name: 1})


@pytest.mark.parametrize("name", ["sid", "nonce"])
def test_an_opening_may_not_name_its_own(name: str) -> None:
    with pytest.raises(UnfitError, match=f"'{name}'"):
        opening("some-session", {name: 1})


def test_no_two_openings_are_alike() -> None:
    assert opening("some-session", {})["nonce"] != opening("some-session", {})["nonce"]


@pytest.mark.parametrize(
    ("value", "says"),
    [
        (float("nan"), "JSON cannot"),
        (float("inf"), "JSON cannot"),
        ("half \ud800 sign", "surrogate"),
        ({"\udfff": 1}, "surrogate"),
        (b"bytes", "JSON cannot"),
        ({(1, 2): 3}, "JSON cannot"),
        pytest.param(10**5000, "JSON cannot", id="endless number"),
    ],
)
def test_what_cannot_be_written(value: object, says: str) -> None:
    with pytest.raises(UnfitError, match=says):
        encode({"value": value})


def test_a_member_without_end_cannot_be_written() -> None:
    endless: dict[str, object] = {}
    endless["self"] = endless
    with pytest.raises(UnfitError, match="JSON cannot"):
        encode(endless)


@pytest.mark.parametrize(
    "text", ["a\u2028b\u2029c\u0085d", "\r\n\x00\x1f\x7f", 'q"\\,"hash":"', "🦷 ü ｱ", "\ufeff", "\\ud800"]
)
def test_texts_come_back_as_they_were(text: str) -> None:
    line, _ = encode({"value": text})
    assert b"\n" not in line
    assert decode(line) == {"value": text}


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (b"", "not JSON"),
        (b"{", "not JSON"),
        (b"[1]", "not a JSON object"),
        (b"null", "not a JSON object"),
        (b'{"a":1,"a":1}', "names a member twice"),
        (b'{"a":{"b":1,"b":2}}', "names a member twice"),
        (b'{"a":NaN}', "NaN"),
        (b'{"a":-Infinity}', "Infinity"),
        (b'{"a":1e400}', "too large"),
        (b'{"a":"\xff"}', "not JSON"),
        (b'{"a":"\xed\xa0\x80"}', "not JSON"),
        (b'{"a":"\\ud800"}', "surrogate"),
        (b'{"\\uDFFF":1}', "surrogate"),
        (b'{"a":' + b"9" * 5000 + b"}", "not JSON"),
        (b'{"a":' + b"[" * 40 + b"]" * 40 + b"}", "nested"),
        (b'{"a":' + b"[" * 30000 + b"]" * 30000 + b"}", "n"),
        ('{"a":1}'.encode("utf-16"), "not JSON"),
        ("\ufeff{}".encode(), "not JSON"),
        (b'{"a":"\n"}', "not JSON"),
    ],
)
def test_what_is_not_read(line: bytes, says: str) -> None:
    with pytest.raises(UnfitError, match=says):
        decode(line)


def test_many_brackets_side_by_side_are_not_deep() -> None:
    value = {"a": [[1], [2], {"b": "\U0001f9b7"}] * 40}
    assert decode(json.dumps(value).encode()) == value  # with the tooth escaped as a pair of halves


def test_a_good_shape() -> None:
    assert shape_fault(GOOD, 3) is None
    assert shape_fault({**GOOD, "more": {"sid": 1}, "sid": 5}, 3) is None
    assert shape_fault({**GOOD, "seq": 0, "kind": "open", "sid": "s", "nonce": "n"}, 0) is None


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("v", 2),
        ("v", True),
        ("v", 1.0),
        ("v", "1"),
        ("seq", 4),
        ("seq", "3"),
        ("seq", 3.0),
        ("kind", ""),
        ("kind", "Fact"),
        ("kind", None),
        ("kind", ["open"]),
        ("kind", "open"),
        ("t", "2026-11-24T08:40:00Z"),
        ("t", "2026-11-24T08:40:00.123456+00:00"),
        ("t", "2026-02-30T08:40:00.123456Z"),
        ("t", "2026-11-24T08:40:60.123456Z"),
        ("t", "２026-11-24T08:40:00.123456Z"),
        ("t", 1795509600),
        ("off", "+1:00"),
        ("off", "Z"),
        ("off", None),
        ("tz", None),
        ("mono_us", "5"),
        ("mono_us", 5.5),
        ("mono_us", True),
        ("boot", 7),
        ("by", "1"),
        ("by", False),
    ],
)
def test_a_wrong_shape(name: str, value: object) -> None:
    assert shape_fault({**GOOD, name: value}, 3)


@pytest.mark.parametrize("name", list(GOOD))
def test_a_missing_member(name: str) -> None:
    assert shape_fault({key: value for key, value in GOOD.items() if key != name}, 3) == f"has no member {name!r}"


@pytest.mark.parametrize("opening", [{}, {"sid": "s"}, {"sid": "s", "nonce": 1}, {"sid": 1, "nonce": "n"}])
def test_a_wrong_opening(opening: dict[str, object]) -> None:
    assert shape_fault({**GOOD, "seq": 0, "kind": "open", **opening}, 0)
    assert shape_fault({**GOOD, "seq": 0, "sid": "s", "nonce": "n"}, 0)
