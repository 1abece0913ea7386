"""Visit two from the start screen: what is offered, how it opens, what it brings along, and what `check` says of it."""

from __future__ import annotations

import datetime as dt
import json
import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest

from stepper.cli.main import main
from stepper.facts.entries import Carried
from stepper.kinds.outcome import outcome_of
from stepper.note.compose import compose
from stepper.note.text import render
from stepper.record.clock import SetClock
from stepper.record.journal import Journal
from stepper.record.problems import NotSaved, RecordError
from stepper.record.register import NAME
from stepper.record.verify import read
from stepper.session.lists import SHOWN
from stepper.session.previous import offered
from stepper.session.store import list_sessions, read_case, resume
from tests.case.looking import same
from tests.drive import START, Chair
from tests.protocols import second_visit

LATER = START + dt.timedelta(days=9)

DIAGNOSED = ["2**1**1**2**1**1**1**3**2**1", "27.2.2026**1"]
SET_UP = ["1**12.2027**501", "2**9.2027**502", "11**6.2027**503", "41**11.2028**504", "31**1.2028**505", "", "1**1"]
NUMBED = ["74", "22**1.8**1**1", "", "1"]
RINSED = ["1**4**-2**31", "2**2**-2", "1**4**-2", ""]
CLOSED_UP = ["/", "6", "2"]
"""Out by the menu: close the visit, yes."""


def to_access(tooth: str, canals: str) -> list[str]:
    """From the diagnosis to the canals named."""
    seen = [f"{tooth}**3", canals, "1**1"]
    return [*DIAGNOSED, "4711", tooth, tooth, *SET_UP, *NUMBED, f"1**1**{tooth}**1", *seen]


MEASURED = ["22.5", "22**22**22**1**1", ""]
SHAPED = ["0/54-14", "", "30-0", "35-1**1", "", "25/4-0", "30/4-0", "35/4-0", "", "35/4"]
DRESSED = ["15/", "1**1", "16/", "1**4**3**1", "1.4.2026", "17/", "1**1**1**2", *CLOSED_UP]
FIRST = [*to_access("11", "1"), *MEASURED, *SHAPED, *RINSED, *DRESSED]
"""A front tooth with one canal, shaped and dressed."""

SECOND = ["2", "1", "1", "2", "1"]
"""Second visit; the first of the list; who is there; right."""

FILLED = [*RINSED, "0**1", "", "1**11", "35/4", "0**1**1", "503", "1", "1", "0**1"]
FILLED += ["1**4**3**1", "1.4.2026", "1**1**1**2", *CLOSED_UP]
"""From the final rinse to the closing, with the cone of the carried master apical file."""


def first_visit(folder: Path, lines: list[str] | None = None, *, tooth: str = "11") -> Chair:
    """A first visit, keyed and closed."""
    chair = Chair(folder)
    chair.open(tooth=tooth)
    chair.key(*(FIRST if lines is None else lines))
    assert chair.lobby.session is None, chair.lobby.view().prompt
    return chair


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with one visit that ended dressed."""
    made = tmp_path / "sessions"
    first_visit(made)
    return made


def ways(chair: Chair) -> dict[str, str]:
    return {one.number: one.text for one in chair.lobby.view().prompt.choices}


def at_second(folder: Path, **how: Path) -> Chair:
    """The chair nine days later, with the second visit open."""
    chair = Chair(folder, start=LATER, **how)  # type: ignore[arg-type]
    chair.key(*SECOND)
    assert chair.lobby.session is not None, chair.lobby.view().saying
    return chair


def later_file(folder: Path) -> Path:
    return next(path for path in folder.glob("*.jsonl") if b'"previous"' in path.read_bytes())


def first_file(folder: Path) -> Path:
    return next(path for path in folder.glob("*.jsonl") if b'"previous"' not in path.read_bytes())


# ---- The start screen and the form ---------------------------------------------------------------


def test_it_is_offered_once_a_closed_visit_has_a_canal_to_go_on_with(tmp_path: Path) -> None:
    chair = Chair(tmp_path / "sessions")
    assert set(ways(chair)) == {"1", "4", "5"}
    chair.open()
    chair.key(*FIRST[:-1])
    assert "2" not in ways(Chair(tmp_path / "sessions")), "the visit is not closed"
    chair.key(FIRST[-1])
    assert ways(chair)["2"] == "second visit, going on from an earlier one"


def test_it_is_not_offered_where_every_canal_ended_for_good(folder: Path) -> None:
    chair = at_second(folder)
    chair.key(*to_access("11", "1"), *MEASURED, *FILLED)
    assert "2" not in ways(chair)
    view = chair.key("2")
    assert view.prompt.title == "Start"
    assert view.saying == "No closed visit has a canal that is left to go on with."


def test_the_form_lists_asks_who_is_there_and_asks_once_more(folder: Path) -> None:
    chair = Chair(folder, start=LATER)
    view = chair.key("2")
    assert [(one.number, one.text) for one in view.prompt.choices] == [
        ("1", "patient 4711, tooth 11, 2026-03-02: single canal dressed")
    ]
    assert "from 1 to 1" in chair.key("7").saying
    assert chair.key("1").prompt.question == "Clinician"
    assert chair.key("2").saying == "2: no clinician has that number; type one of 1."
    assert chair.key("1").prompt.question == "Who keys"
    view = chair.key("3")
    assert view.prompt.question == (
        "Patient 4711, tooth 11, upper right central incisor, second visit after 2026-03-02, Clinician 1. Right?"
    )
    assert chair.key("2").prompt.question == "Which visit does it go on from?"
    assert chair.key("/").prompt.title == "Start"
    assert len(list(folder.glob("*.jsonl"))) == 1


def test_patient_and_tooth_are_those_of_the_first_visit_as_corrected_there(tmp_path: Path) -> None:
    chair = Chair(tmp_path)
    chair.open(patient="4712")
    chair.session.room.log(
        "correction", of=0, how="keyed_wrong", values={"patient": {"kind": "digits", "value": "4711"}}
    )
    chair.key(*FIRST)
    later = Chair(tmp_path, start=LATER)
    assert "patient 4711" in ways_of(later.key("2"))
    question = later.key("1", "1", "2").prompt.question
    assert question.startswith("Patient 4711, tooth 11,") and "(corrected then, and not confirmed)" in question
    later.key("1")
    assert later.case.header.patient == "4711"


def ways_of(view: object) -> str:
    return " ".join(one.text for one in view.prompt.choices)  # type: ignore[attr-defined]


def test_what_was_not_confirmed_is_named_before_the_visit_is_opened(tmp_path: Path) -> None:
    chair = Chair(tmp_path)
    chair.open()
    chair.key(*FIRST[: FIRST.index("15/")])
    agreed = next(one.seq for one in chair.case.entries if "working_length" in getattr(one, "values", {}))
    wrong = {"working_length": {"kind": "number", "value": "23"}}
    chair.session.room.log("correction", of=agreed, how="keyed_wrong", values=wrong)
    chair.key(*FIRST[FIRST.index("15/") :])
    later = Chair(tmp_path, start=LATER)
    assert later.key("2", "1", "1", "2").prompt.card == (
        "Not carried over as certain: single canal, working length 23 mm: the clinician has not confirmed it.",
        "Not carried over as certain: single canal, files 25/.08, 25/.04, 30/.04, 35/.04: the clinician has not "
        "confirmed them; they can only shut the gate.",
        "Not carried over as certain: single canal, master apical file 35/.04: its length is not carried over.",
    )
    later.key("1")
    carried = [one for one in later.case.entries if isinstance(one, Carried)]
    assert carried[0].length is None and carried[0].left_out
    assert "23 mm" in render(compose(later.case)).replace("\n  ", " ")


def test_a_long_list_goes_by_pages(tmp_path: Path) -> None:
    folder = tmp_path / "sessions"
    first_visit(folder)
    kept = first_file(folder).read_bytes()
    for number in range(SHOWN + 1):
        again(folder, kept, f"another-visit-{number}")
    chair = Chair(folder, start=LATER)
    assert list(range(1, SHOWN + 1)) == [int(one.number) for one in chair.key("2").prompt.choices]
    assert [int(one.number) for one in chair.key("").prompt.choices] == [SHOWN + 1, SHOWN + 2]
    assert chair.key(str(SHOWN + 2)).prompt.question == "Clinician"


def again(folder: Path, kept: bytes, sid: str) -> Path:
    """The same entries once more, as another session."""
    lines = [json.loads(line) for line in kept.splitlines()]
    return written(folder, sid, lines)


def written(folder: Path, sid: str, lines: list[dict[str, object]]) -> Path:
    """Entries as the program would write them, in a file of their own."""
    own = {"v", "seq", "kind", "t", "off", "tz", "mono_us", "boot", "by", "hash", "sid", "nonce"}
    clock = SetClock(START)
    body = [{name: value for name, value in line.items() if name not in own} for line in lines]
    journal = Journal.create(folder, clock, body[0], 2, sid=sid)
    for line, members in list(zip(lines, body, strict=True))[1:]:
        clock.advance(20)
        journal.append(str(line["kind"]), members, 2)
    journal.close()
    return journal.path


def test_a_visit_that_was_gone_on_from_is_offered_again_only_if_that_one_is_void(folder: Path) -> None:
    chair = at_second(folder)
    assert "2" not in ways(Chair(folder, start=LATER))
    chair.session.room.log("void", reason="Opened twice.")
    assert "2" in ways(Chair(folder, start=LATER))


def test_a_third_visit_goes_on_from_the_second(folder: Path) -> None:
    chair = at_second(folder)
    chair.key(*to_access("11", "1"), *DRESSED)
    assert chair.lobby.session is None
    there = list(offered(list_sessions(folder), practice=True))
    assert [one.path for one in there] == [later_file(folder)]


def test_sessions_for_practice_go_on_in_practice_only(folder: Path) -> None:
    listed = list_sessions(folder)
    assert len(list(offered(listed, practice=True))) == 1
    assert list(offered(listed, practice=False)) == []


def test_a_damaged_visit_is_refused_in_one_sentence(folder: Path) -> None:
    good, bad = first_file(folder), again(folder, first_file(folder).read_bytes(), "another-visit")
    data = bytearray(bad.read_bytes())
    data[-2000] ^= 1
    bad.write_bytes(data)
    chair = Chair(folder, start=LATER)
    labels = [one.text for one in chair.key("2").prompt.choices]
    assert len(labels) == 2 and labels[1].endswith(": damaged")
    view = chair.key("2")
    assert view.saying.startswith("Session another-visit is damaged: entry ")
    assert view.saying.endswith("A second visit cannot go on from it.")
    assert view.prompt.question == "Which visit does it go on from?"
    good.write_bytes(good.read_bytes()[:-40] + b"X" * 40 + b"\n\n")
    assert "is damaged" in chair.key("1").saying, "damaged while the list was on the screen"
    assert len(list(folder.glob("*.jsonl"))) == 2
    assert "2" not in ways(Chair(folder, start=LATER)), "none is left that is not damaged"


# ---- The visit -----------------------------------------------------------------------------------


def test_visit_two_under_the_same_protocol_fills_with_what_was_carried_over(folder: Path) -> None:
    chair = at_second(folder)
    first, second = read(first_file(folder)), read(later_file(folder))
    assert second.entries[0]["previous"] == {"sid": first.sid, "head": first.head, "day": "2026-03-02"}
    assert [one["kind"] for one in second.entries] == ["open", "carried", "sound_state"]
    chair.key(*to_access("11", "1"))
    chair.key(*MEASURED)
    assert chair.lobby.view().prompt.title == "11 Irrigation", "what led to the master apical file is carried over"
    chair.key(*FILLED)
    assert chair.lobby.session is None
    assert outcome_of(chair.case.told, 1) == "filled"
    assert chair.bells == 0
    assert chair.case.late == set()
    _, again, _ = read_case(later_file(folder))
    assert again is not None and same(again, chair.case)
    assert main(["check", str(first_file(folder)), str(later_file(folder))]) == 0


def test_another_length_asks_for_flare_gauging_and_shaping_again(folder: Path) -> None:
    chair = at_second(folder)
    chair.key(*to_access("11", "1"), "22.5", "23**23**23**1**1", "")
    assert chair.lobby.view().prompt.title == "8 Coronal flare"
    chair.key(*SHAPED, *FILLED)
    assert chair.lobby.session is None
    assert outcome_of(chair.case.told, 1) == "filled"


def test_the_variant_for_visit_two_loads_and_asks_less(folder: Path, tmp_path: Path) -> None:
    assert main(["check", str(second_visit.write(tmp_path))]) == 0
    chair = at_second(folder, protocol=second_visit.write(tmp_path))
    assert chair.lobby.view().prompt.title == "1 Since last time"
    chair.key("1**2", *to_access("11", "1"))
    assert chair.lobby.view().prompt.title == "8 Working length"
    chair.key("22**22**1**1", "")
    assert chair.lobby.view().prompt.title == "12 Irrigation"
    chair.key(*FILLED)
    assert outcome_of(chair.case.told, 1) == "filled"
    note = render(compose(chair.case)).replace("\n  ", " ")
    assert "Since the last visit: symptoms, none; temporary restoration, worn." in note
    assert main(["check", str(later_file(folder))]) == 0


def test_the_plug_can_be_pulled_anywhere_in_visit_two(folder: Path) -> None:
    lines = [*to_access("11", "1"), *MEASURED, *FILLED]
    chair = at_second(folder)
    for at, line in enumerate(lines[:-1]):
        before = chair.key(line)
        if at % 7 or before.prompt.title == "Sure":
            continue
        chair.session.leave()
        chair = Chair(folder, start=chair.clock.now().wall + dt.timedelta(minutes=1))
        after = chair.key("11")
        assert after.prompt == before.prompt
        assert (after.canals, after.steps, after.remarks) == (before.canals, before.steps, before.remarks)
    chair.key(lines[-1])
    assert outcome_of(chair.case.told, 1) == "filled"


# ---- Opening it is all or nothing ----------------------------------------------------------------


@pytest.fixture
def many(tmp_path: Path) -> Path:
    """A folder with a first visit of three canals, closed as soon as they were found."""
    made = tmp_path / "many"
    chair = Chair(made)
    chair.open(tooth="46")
    chair.key(*to_access("46", "2+5+11"))
    chair.session.room.log("close")
    chair.session.leave()
    return made


def test_no_file_is_left_where_not_all_of_it_could_be_saved(many: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = Journal.append

    def full(self: Journal, kind: str, body: Mapping[str, object], by: int | None) -> dict[str, object]:
        if kind == "carried" and self.count == 2:
            raise NotSaved("Nothing was saved: the disk is full.")
        return real(self, kind, body, by)

    monkeypatch.setattr(Journal, "append", full)
    chair = Chair(many, start=LATER)
    view = chair.key(*SECOND)
    assert view.saying == "Nothing was saved: the disk is full."
    assert chair.lobby.session is None
    assert len(list(many.glob("*.jsonl"))) == 1
    monkeypatch.undo()
    chair.key("1")
    assert [one.kind for one in chair.case.entries] == ["open", "carried", "carried", "carried", "sound_state"]


@pytest.mark.parametrize("kept", [1, 2, 3])
@pytest.mark.parametrize("torn", [0, 30])
def test_what_the_power_cut_off_while_opening_is_carried_over_on_resuming(many: Path, kept: int, torn: int) -> None:
    chair = at_second(many)
    whole = chair.case
    chair.session.leave()
    lines = later_file(many).read_bytes().splitlines(keepends=True)
    later_file(many).write_bytes(b"".join(lines[:kept]) + lines[kept][:torn])
    (many / NAME).unlink()  # the power went before it was registered
    later = Chair(many, start=LATER)
    later.key("11")
    assert later.lobby.session is not None, later.lobby.view().saying
    carried = [one for one in later.case.entries if isinstance(one, Carried)]
    assert [(one.canal, one.more) for one in carried] == [(1, 2), (2, 1), (3, 0)]
    assert {n: one.name for n, one in later.case.told.canals.items()} == {
        n: one.name for n, one in whole.told.canals.items()
    }
    later.session.leave()
    again = resume(later_file(many), SetClock(LATER))
    again[0].close()
    assert len([one for one in again[1].entries if isinstance(one, Carried)]) == 3, "nothing is carried over twice"
    assert main(["check", str(later_file(many))]) == 0


def test_without_the_earlier_file_a_visit_that_was_cut_off_is_not_gone_on_with(many: Path) -> None:
    at_second(many).session.leave()
    path = later_file(many)
    path.write_bytes(path.read_bytes().splitlines(keepends=True)[0])
    (many / NAME).unlink()  # the power went before it was registered
    first_file(many).unlink()
    with pytest.raises(RecordError, match="open the second visit anew"):
        resume(path, SetClock(LATER))
    view = Chair(many, start=LATER).key("11")
    assert "open the second visit anew" in view.saying


def test_once_all_is_carried_over_the_earlier_file_is_not_needed(many: Path) -> None:
    at_second(many).session.leave()
    first_file(many).unlink()
    journal, case, _ = resume(later_file(many), SetClock(LATER))
    journal.close()
    assert len(case.told.canals) == 3


# ---- check ---------------------------------------------------------------------------------------


def checked(capsys: pytest.CaptureFixture[str], *files: Path) -> tuple[int, str]:
    code = main(["check", *map(str, files)])
    return code, capsys.readouterr().out.splitlines()[-1].strip()


def test_check_looks_beside_it_and_on_the_command_line(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at_second(folder).session.leave()
    sid, entries = first_file(folder).stem, len(read(first_file(folder)).entries)
    fits = f"Goes on from session {sid} as it stood at its entry {entries - 1}."
    assert checked(capsys, later_file(folder)) == (0, fits)
    apart = tmp_path / "apart"
    apart.mkdir()
    moved = shutil.move(later_file(folder), apart)
    assert checked(capsys, first_file(folder), Path(moved)) == (0, fits)
    code, said = checked(capsys, Path(moved))
    assert code == 0
    assert said == f"Goes on from session {sid}, which is not here: what was carried over from it was not checked."
    assert main(["check", "--json", moved]) == 0
    remarks = json.loads(capsys.readouterr().out)["remarks"]
    assert {"id": "previous", "weight": "tell", "canal": 0, "entries": [0]} in remarks


def test_the_first_visit_may_have_grown_since(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    at_second(folder).session.leave()
    sid, entries = first_file(folder).stem, len(read(first_file(folder)).entries)
    journal = resume(first_file(folder), SetClock(LATER))[0]
    dressing = next(
        int(str(one["seq"])) for one in read(journal.path).entries if "working_length" in dict(one.get("values") or {})
    )
    values = {"working_length": {"kind": "number", "value": "21"}}
    journal.append("correction", {"of": dressing, "how": "keyed_wrong", "values": values}, 2)
    journal.close()
    assert checked(capsys, later_file(folder)) == (
        0,
        f"Goes on from session {sid} as it stood at its entry {entries - 1}.",
    )


def test_another_file_under_the_name_of_the_first_is_a_stop(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    at_second(folder).session.leave()
    path = first_file(folder)
    lines = [json.loads(line) for line in path.read_bytes().splitlines()]
    path.unlink()
    written(folder, path.stem, lines)
    code, said = checked(capsys, later_file(folder))
    assert code == 1
    assert said.startswith(f"Goes on from session {path.stem}, and does not fit it: Session {path.stem} has no entry")


def test_a_first_visit_that_is_damaged_is_a_stop_unless_it_passes_through_that_hash(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at_second(folder).session.leave()
    path = first_file(folder)
    whole = path.read_bytes()
    path.write_bytes(whole + b"not a line\nnor this\n")
    assert checked(capsys, later_file(folder))[0] == 0
    path.write_bytes(whole[:-300] + b"X" + whole[-299:])
    code, said = checked(capsys, later_file(folder))
    assert code == 1 and "is damaged: entry" in said
    path.write_bytes(b"{}\n")
    code, said = checked(capsys, later_file(folder))
    assert code == 1 and "does not begin as one" in said


def forged(folder: Path, **members: object) -> Path:
    """A second visit that carries over something else than the first one told."""
    chair = at_second(folder)
    chair.session.leave()
    path = later_file(folder)
    lines = [json.loads(line) for line in path.read_bytes().splitlines()]
    path.unlink()
    for name, value in members.items():
        lines[0 if name in ("patient", "tooth", "previous") else 1][name] = value
    return written(folder, "forged-visit", lines)


@pytest.mark.parametrize(
    "members",
    [
        {"length": {"mm": "23", "of": 24}},
        {"outcome": None},
        {"master": None},
        {"files": []},
        {"name": "P"},
        {"more": 1},
        {"left_out": ["nothing"]},
    ],
    ids=str,
)
def test_something_else_carried_over_is_a_stop(
    folder: Path, members: dict[str, object], capsys: pytest.CaptureFixture[str]
) -> None:
    code, said = checked(capsys, forged(folder, **members))
    assert code == 1
    assert said.endswith("and what was carried over is not what that one told.")


def test_a_record_carried_over_as_it_was_is_none(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert checked(capsys, forged(folder))[0] == 0


@pytest.mark.parametrize("members", [{"patient": "4712"}, {"tooth": "21"}], ids=str)
def test_another_patient_or_tooth_is_a_stop(
    folder: Path, members: dict[str, object], capsys: pytest.CaptureFixture[str]
) -> None:
    code, said = checked(capsys, forged(folder, **members))
    assert code == 1 and said.endswith("which is of another patient or tooth.")


def test_what_is_carried_over_from_nowhere_is_a_stop(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, said = checked(capsys, forged(folder, previous=None))
    assert code == 1 and said == "Carries over what no earlier session told: it names none."


@pytest.mark.parametrize("sid", ["../first", "/etc/passwd", "", "\x1b[2J", "a" * 300])
def test_an_id_that_is_no_files_name_is_looked_for_nowhere(
    folder: Path, sid: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code, said = checked(capsys, forged(folder, previous={"sid": sid, "head": "f" * 64}))
    assert code == 0 and "is not here" in said and "\x1b" not in said


def test_a_session_that_goes_on_from_none_says_nothing_of_it(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "remarks:" in checked(capsys, first_file(folder))[1]
