"""`stepper note --as fhir`, as a whole."""

from __future__ import annotations

import json
import stat
from pathlib import Path

import pytest

from stepper.cli.main import main
from tests.note.fhir.documents import SAMPLES


@pytest.mark.parametrize("path", SAMPLES[:1], ids=lambda path: path.stem)
def test_the_command_writes_a_document_for_its_owner_alone(path: Path, tmp_path: Path) -> None:
    out = tmp_path / "note.json"
    assert main(["note", str(path), "--as", "fhir", "--out", str(out)]) == 0
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    document = json.loads(out.read_bytes())
    assert document["resourceType"] == "Bundle"
    assert out.read_bytes().count(b"\n") == 1


def test_the_command_writes_to_standard_output_too(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    assert main(["note", str(SAMPLES[0]), "--as", "fhir"]) == 0
    assert json.loads(capfdbinary.readouterr().out)["type"] == "document"
