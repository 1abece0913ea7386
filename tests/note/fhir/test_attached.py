"""The log is attached byte for byte, with what proves it: FHIR's SHA-1, a SHA-256, and the last hash of its chain."""

from __future__ import annotations

import base64
import hashlib
from pathlib import Path

import pytest

from stepper.note.outputs import LogFile, tell
from stepper.record.verify import read
from tests.note.fhir.documents import SAMPLES, document_of, resources, sample, told_of
from tests.note.visits import four_canals


def attached(one: dict[str, object]) -> dict[str, object]:
    """What a document of the log holds."""
    return one["content"][0]["attachment"]  # type: ignore[index, no-any-return]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_log_comes_out_as_it_went_in(path: Path, tmp_path: Path) -> None:
    logs = resources(document_of(sample(path)), "DocumentReference")
    assert len(logs) == 1
    data = base64.b64decode(str(attached(logs[0])["data"]))
    assert data == path.read_bytes()
    assert attached(logs[0])["size"] == str(len(data))
    assert base64.b64decode(str(attached(logs[0])["hash"])) == hashlib.sha1(data).digest()
    there = tmp_path / path.name
    there.write_bytes(data)
    found = read(there)
    assert found.damage is None
    named = {one["value"] for one in logs[0]["identifier"]}
    assert found.head in named
    digest = base64.urlsafe_b64encode(hashlib.sha256(data).digest()).decode().rstrip("=")
    assert f"ni:///sha-256;{digest}" in named


def test_the_name_by_sha_256_is_that_of_rfc_6920() -> None:
    """Its own example: "Hello World!" (from memory of RFC 6920, section 8.1)."""
    told = tell(four_canals().case(), [LogFile("a.jsonl", b"Hello World!", "ab" * 32)])
    named = [one["value"] for one in resources(document_of(told), "DocumentReference")[0]["identifier"]]
    assert "ni:///sha-256;f4OxZX_x_FO5LcGBSKHWXfwtSx-j1ncoSt3SABJtkGk" in named


def test_a_session_of_several_files_has_them_all_the_oldest_first() -> None:
    files = [LogFile("a.jsonl", b"1\n", "aa" * 32), LogFile("a.2.jsonl", b"2\n", "bb" * 32)]
    logs = resources(document_of(tell(four_canals().case(), files)), "DocumentReference")
    assert [attached(one)["title"] for one in logs] == ["a.jsonl", "a.2.jsonl"]
    assert "relatesTo" not in logs[0]
    assert logs[1]["relatesTo"] == [{"code": "appends", "target": {"reference": f"urn:uuid:{logs[0]['id']}"}}]


def test_bytes_that_are_no_text_are_kept_too() -> None:
    data = bytes(range(256))
    told = told_of(four_canals())
    logs = resources(document_of(tell(told.case, [LogFile("a.jsonl", data, "00")])), "DocumentReference")
    assert base64.b64decode(str(attached(logs[0])["data"])) == data
