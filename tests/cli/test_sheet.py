"""`stepper sheet` as a command: both formats, a file for its owner alone, and what it refuses in a sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepper.cli.main import main
from stepper.record.places import bundled
from tests.drive import Chair

OLD = bundled("sample_sessions") / "plain-single-canal.jsonl"


@pytest.fixture
def session(tmp_path: Path) -> Path:
    """A session that was opened and in which the diagnosis is begun."""
    chair = Chair(tmp_path)
    chair.open()
    chair.key("5**1**1")
    chair.session.leave()
    return chair.path


def test_it_writes_text_or_a_page(session: Path, capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    assert main(["sheet", str(session)]) == 0
    out, err = capsysbinary.readouterr()
    assert out.startswith(b"FOR YOU: YOUR TOOTH AND YOUR VISIT\n") and err == b""
    assert b"PRACTICE: this sheet is not about a real treatment.\n" in out
    assert "upper right middle front tooth (number 11)." in " ".join(out.decode().split())
    assert main(["sheet", str(session), "--as", "html"]) == 0
    out, err = capsysbinary.readouterr()
    assert out.startswith(b"<!DOCTYPE html>\n") and out.endswith(b"</html>\n") and err == b""


def test_a_file_is_for_its_owner_alone(session: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "sheet.html"
    before = session.read_bytes()
    assert main(["sheet", str(session), "--as", "html", "--out", str(path)]) == 0
    assert capsys.readouterr() == ("", "")
    assert path.stat().st_mode & 0o777 == 0o600
    assert path.read_bytes().startswith(b"<!DOCTYPE html>")
    assert session.read_bytes() == before


def test_a_protocol_without_such_sentences_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (bundled("protocols") / "one_visit.toml").read_text(encoding="utf-8")
    protocol = tmp_path / "bare.toml"
    protocol.write_text(text[: text.index("[[sheet]]")], encoding="utf-8")
    chair = Chair(tmp_path / "data", protocol=protocol)
    chair.open()
    chair.session.leave()
    assert main(["sheet", str(chair.path)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err == (
        f"stepper: The protocol of session {chair.path.stem} has no [[sheet]] sentences: "
        "there is no sheet for the patient.\n"
    )


def test_a_damaged_session_says_what_the_sheet_holds(session: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = session.read_bytes().splitlines(keepends=True)
    session.write_bytes(b"".join((*lines[:-2], lines[-2].replace(b'"seq"', b'"sep"'), lines[-1])))
    assert main(["sheet", str(session)]) == 1
    out, err = capsys.readouterr()
    assert out.startswith("FOR YOU") and "The sheet holds what stands before it." in err


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["sheet", "nowhere.jsonl"], "nowhere.jsonl"),
        (["sheet", str(OLD), "--as", "pdf"], "--as"),
        (["sheet"], "session"),
    ],
)
def test_what_cannot_be_is_refused(arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    try:
        code = main(arguments)
    except SystemExit as left:
        code = int(left.code or 0)
    out, err = capsys.readouterr()
    assert (code, out) == (2, "")
    assert said in err and "Traceback" not in err
