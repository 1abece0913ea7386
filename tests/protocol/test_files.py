"""Whatever stands where a protocol should: a protocol or a sentence, never a traceback and never a wait."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stepper.protocol.load import MAX_BYTES, load_file, load_text
from stepper.protocol.models import Protocol
from stepper.protocol.problems import BadProtocol
from tests.protocol.scraps import whole


def said(path: Path) -> tuple[str, ...]:
    with pytest.raises(BadProtocol) as caught:
        load_file(path)
    return caught.value.sentences


def test_a_good_file_gives_protocol_and_text(tmp_path: Path):
    path = tmp_path / "mine.toml"
    path.write_text(whole(), encoding="utf-8")
    protocol, text = load_file(path)
    assert (protocol, text) == (load_text(whole(), "x"), whole())


def test_a_byte_order_mark_and_windows_line_ends_are_no_mistake(tmp_path: Path):
    path = tmp_path / "mine.toml"
    path.write_bytes(b"\xef\xbb\xbf" + whole().replace("\n", "\r\n").encode())
    protocol, text = load_file(path)
    assert protocol.id == "one_visit"
    assert load_text(text, "mine.toml") == protocol


def test_a_missing_file(tmp_path: Path):
    assert said(tmp_path / "none.toml") == ("none.toml: cannot be read: No such file or directory",)


def test_a_folder(tmp_path: Path):
    assert said(tmp_path) == (f"{tmp_path.name}: is not a file; a protocol is a TOML file",)


def test_a_pipe_that_nobody_writes_to(tmp_path: Path):
    os.mkfifo(tmp_path / "pipe.toml")
    assert said(tmp_path / "pipe.toml") == ("pipe.toml: is not a file; a protocol is a TOML file",)


def test_a_device():
    assert said(Path("/dev/zero")) == ("zero: is not a file; a protocol is a TOML file",)


def test_a_socket(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    with socket.socket(socket.AF_UNIX) as end:
        end.bind("s.toml")
        assert said(Path("s.toml")) == ("s.toml: cannot be read: No such device or address",)


def test_a_link_that_goes_round(tmp_path: Path):
    (tmp_path / "a.toml").symlink_to("b.toml")
    (tmp_path / "b.toml").symlink_to("a.toml")
    assert said(tmp_path / "a.toml") == ("a.toml: cannot be read: Too many levels of symbolic links",)


def test_a_name_that_no_file_can_have():
    assert said(Path("a\0b.toml")) == ("a<U+0000>b.toml: cannot be read: not a lawful file name",)


def test_a_file_that_breaks_while_it_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    def broken(*_: object) -> os.stat_result:
        raise OSError(5, "Input/output error")

    path = tmp_path / "mine.toml"
    path.write_text(whole(), encoding="utf-8")
    monkeypatch.setattr(os, "fstat", broken)
    assert said(path) == ("mine.toml: cannot be read: Input/output error",)


def test_not_utf_8(tmp_path: Path):
    path = tmp_path / "latin.toml"
    path.write_bytes(whole().encode()[:100] + b"\xe9 caf\xe9")
    assert said(path) == ("latin.toml: byte 101 is not UTF-8 text",)


def test_512_kb_is_the_most(tmp_path: Path):
    path = tmp_path / "long.toml"
    content = whole().encode()
    path.write_bytes(content + b"\n" + b"#" * (MAX_BYTES - len(content) - 1))
    assert path.stat().st_size == 512 * 1024
    assert load_file(path)[0].id == "one_visit"
    path.write_bytes(path.read_bytes() + b"#")
    assert said(path) == ("long.toml: longer than 512 KB; a protocol is shorter",)


def verdict(text: str) -> Protocol | tuple[str, ...]:
    """Load a text; anything but a protocol or sentences is a failure of the loader."""
    try:
        return load_text(text, "x.toml")
    except BadProtocol as bad:
        assert bad.sentences
        assert all(one.isprintable() and one.startswith("x.toml") for one in bad.sentences)
        return bad.sentences


@pytest.mark.parametrize("form", ["[" * 10, "dotted", "inline"])
def test_nesting_of_every_depth(form: str):
    for depth in (1, 50, 150, 200, *range(290, 340, 3), *range(440, 520, 7), 700, 990):
        if form == "dotted":
            text = f"format{'.a' * depth} = 1\n[[step]]\nid{'.a' * depth} = 1\n"
        elif form == "inline":
            text = f"limits = {'{a=' * depth}1{'}' * depth}\n"
        else:
            text = f"format = {'[' * depth}{']' * depth}\n[[item]]\ncategory = {'[' * depth}{']' * depth}\n"
        assert isinstance(verdict(text), tuple)


@given(st.binary(max_size=300))
def test_random_bytes(tmp_path_factory: pytest.TempPathFactory, content: bytes):
    path = tmp_path_factory.getbasetemp() / "x.toml"
    path.write_bytes(content)
    try:
        load_file(path)
    except BadProtocol as bad:
        assert bad.sentences


@given(st.text(st.characters(), max_size=200))
def test_random_text(text: str):
    verdict(text)


LINES = whole().split("\n")
VALUES = ("1", "-1", "1e300", "nan", "true", '""', '"x"', '"{x}"', "[]", "[1]", '["x"]', "{}", "2026-03-02", "9" * 30)
places = st.integers(0, len(LINES) - 1)


def _swapped(lines: list[str], one: int, other: int) -> None:
    """Give one key the value of another, or the whole line where there is no key."""
    _, equals, value = lines[other].partition(" = ")
    key, has, _ = lines[one].partition(" = ")
    lines[one] = f"{key} = {value}" if equals and has else lines[other]


@st.composite
def edited(draw: st.DrawFn) -> str:
    lines = list(LINES)
    for _ in range(draw(st.integers(1, 4))):
        at = draw(places)
        match draw(st.sampled_from(["drop", "double", "swap", "value", "cut", "block"])):
            case "drop":
                lines[at] = ""
            case "double":
                lines[at] += "\n" + lines[at]
            case "swap":
                _swapped(lines, at, draw(places))
            case "value":
                lines[at] = f"{lines[at].partition(' = ')[0]} = {draw(st.sampled_from(VALUES))}"
            case "cut":
                lines[at] = lines[at][: draw(st.integers(0, len(lines[at])))]
            case "block":
                lines[at : at + 6] = []
                lines += [""] * 6
    return "\n".join(lines)


@settings(max_examples=150, deadline=None)
@given(edited())
def test_random_edits_of_the_bundled_protocol(text: str):
    verdict(text)
