"""Which line of a TOML file a table or key stands in, so that a mistake can be found in an editor."""

from __future__ import annotations

import re
from collections import defaultdict

from stepper.protocol.problems import Where

_TABLES = re.compile(r"^\s*\[\[([\w.\s]+)\]\]")
_TABLE = re.compile(r"^\s*\[([\w.\s]+)\]")
_KEY = re.compile(r"^\s*([\w-]+)\s*=")


def line_index(text: str) -> dict[Where, int]:
    """Map the way to each table and key to its 1-based line, as far as headers and plain keys tell."""
    index: dict[Where, int] = {}
    counts: dict[Where, int] = defaultdict(int)
    here: Where = ()
    for number, line in enumerate(text.split("\n"), start=1):
        if header := _TABLES.match(line):
            here = _enter(_names(header[1]), counts)
            index.setdefault(here[:-1], number)
            index.setdefault(here, number)
        elif header := _TABLE.match(line):
            here = _within(_names(header[1]), counts)
            index.setdefault(here, number)
        elif key := _KEY.match(line):
            index.setdefault((*here, key[1]), number)
    return index


def line_of(index: dict[Where, int], where: Where) -> int | None:
    """Give the line of a key, or else of the nearest table around it."""
    for length in range(len(where), 0, -1):
        if where[:length] in index:
            return index[where[:length]]
    return None


def _enter(names: list[str], counts: dict[Where, int]) -> Where:
    """Go into the next table of an array, below the last one of the arrays above it."""
    way = (*_within(names[:-1], counts), names[-1])
    counts[way] += 1
    return (*way, counts[way] - 1)


def _within(names: list[str], counts: dict[Where, int]) -> Where:
    """Go into a table, each array of tables on the way at its last one."""
    way: Where = ()
    for name in names:
        way = (*way, name)
        if counts[way]:
            way = (*way, counts[way] - 1)
    return way


def _names(header: str) -> list[str]:
    return [name.strip() for name in header.split(".")]
