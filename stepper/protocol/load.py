"""From bytes to a protocol, or to every mistake in it at once.

Shape first (do the tables have the keys they need?), sense second (do the names resolve?): both are reported together
as far as the shape lets the sense be looked at.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import tomli

from stepper.kinds.shape import read_table
from stepper.lines.refusal import visible
from stepper.protocol.crosscheck import crosscheck
from stepper.protocol.lines import line_index, line_of
from stepper.protocol.models import Protocol
from stepper.protocol.problems import BadProtocol, Problem
from stepper.protocol.prune import Pruned
from stepper.protocol.reading import NotAFile, read_at_most

MAX_BYTES = 512 * 1024
"""A protocol file is at most this long."""


def load_file(path: Path) -> tuple[Protocol, str]:
    """Read a protocol file; give the protocol and its text, or raise BadProtocol."""
    name = visible(path.name)
    try:
        content = read_at_most(path, MAX_BYTES)
    except NotAFile:
        raise BadProtocol((f"{name}: is not a file; a protocol is a TOML file",)) from None
    except OSError as error:
        raise BadProtocol((f"{name}: cannot be read: {error.strerror}",)) from None
    if len(content) > MAX_BYTES:
        raise BadProtocol((f"{name}: longer than 512 KB; a protocol is shorter",))
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        raise BadProtocol((f"{name}: byte {error.start + 1} is not UTF-8 text",)) from None
    return load_text(text, path.name), text


def load_text(text: str, name: str) -> Protocol:
    """Read a protocol's text; `name` is the file's in the sentences. Raises BadProtocol with every mistake."""
    try:
        return _read(text.removeprefix("\ufeff"), name)
    except tomli.TOMLDecodeError as error:
        said = str(error)
    except RecursionError:
        said = "nested too deep"
    except ValueError:  # the standard library's own limit on the digits of a number
        said = "a number has too many digits"
    raise BadProtocol((visible(f"{name}: not TOML: {said}"),))


def _read(text: str, name: str) -> Protocol:
    raw = tomli.loads(text)
    try:
        protocol = read_table(Protocol, raw)
    except ValueError as error:
        problems = _misshapen(raw, str(error))
    else:
        problems = crosscheck(protocol)
        if not problems:
            return protocol
    index = line_index(text)
    raise BadProtocol(tuple(dict.fromkeys(one.sentence(name, raw, line_of(index, one.where)) for one in problems)))


def _misshapen(raw: dict[str, object], first: str) -> list[Problem]:
    """Give every mistake of shape, and those of sense in what is left when these are taken out.

    `first` is what the reader of good files stopped at, should nothing else be found.
    """
    from stepper.protocol.shape import shape_problems

    mistakes, unknown = shape_problems(raw)
    if not mistakes:
        return [Problem((), first)]
    pruned = Pruned(raw, mistakes, unknown)
    try:
        rest = crosscheck(read_table(Protocol, pruned.content()))
    except ValueError:
        return mistakes  # too little is left
    return mistakes + [replace(one, where=pruned.original(one.where)) for one in rest if pruned.sensible(one)]
