"""Documents to look at: made from a log in memory, read back with every figure as the text it was written as."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from stepper.note.fhir import codes
from stepper.note.fhir.document import render
from stepper.note.outputs import LogFile, Told, tell
from stepper.session.files import files_of
from stepper.session.store import read_case
from tests.cases import Log

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "sample_sessions").glob("*.jsonl"))
FILE = LogFile("0b9d1c9e.jsonl", b'{"v":1}\n', "ab" * 32)
HEADS = ("Bundle", "Composition")


def told_of(log: Log) -> Told:
    """What is told of a log that was never in a file."""
    return tell(log.case(), [FILE])


def sample(path: Path) -> Told:
    """What is told of a sample session."""
    found, case, fault = read_case(path)
    assert case is not None, fault
    return tell(case, files_of(path, found))


def document_of(told: Told) -> dict[str, Any]:
    """The document, read back by a JSON reader that keeps each figure as it is written."""
    return dict(json.loads(render(told), parse_float=str, parse_int=str))


def of(log: Log) -> dict[str, Any]:
    """The document of a log."""
    return document_of(told_of(log))


def resources(document: dict[str, Any], kind: str) -> list[dict[str, Any]]:
    """The resources of a kind, in their order."""
    return [one["resource"] for one in document["entry"] if one["resource"]["resourceType"] == kind]


def observation(document: dict[str, Any], code: str, canal: int = 1) -> dict[str, Any]:
    """The one observation of a code, of a canal or of the tooth (0)."""
    found = [one for one in resources(document, "Observation") if code_of(one) == code]
    mine = [one for one in found if f"canal {canal} " in one.get("bodySite", {}).get("text", "canal 0 ")]
    assert len(mine) == 1, [code_of(one) for one in resources(document, "Observation")]
    return mine[0]


def code_of(one: dict[str, Any]) -> str:
    """The code of our own that a resource or component has."""
    return str(one["code"]["coding"][0]["code"])


def entries_of(resource: dict[str, Any]) -> tuple[int, ...]:
    """The numbers of the entries that a resource says it rests on."""
    named = resource["identifier"] if isinstance(resource["identifier"], list) else [resource["identifier"]]
    mark = next(one["value"] for one in named if one["system"] == codes.RESTS_ON)
    runs = re.findall(r"(\d+)(?:-(\d+))?", mark.rsplit(" @ ", 1)[1])
    return tuple(seq for first, last in runs for seq in range(int(first), int(last or first) + 1))


def walked(value: object, where: str = "") -> Iterator[tuple[str, object]]:
    """Every value with the path that leads to it."""
    yield where, value
    if isinstance(value, dict):
        for key, one in value.items():
            yield from walked(one, f"{where}.{key}")
    if isinstance(value, list):
        for one in value:
            yield from walked(one, where)


def strings(value: object) -> list[str]:
    """Every text in a document but what is attached."""
    return [one for where, one in walked(value) if isinstance(one, str) and not where.endswith(".data")]
