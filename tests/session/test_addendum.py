"""What comes after a signature: a file of its own that names the signed one, signed in its turn, and never unseen."""

from __future__ import annotations

import errno
import json
import os
from collections.abc import Mapping
from pathlib import Path

import pytest

from stepper.cli.main import main
from stepper.facts.entries import Carried
from stepper.record import system
from stepper.record.clock import SetClock, SystemClock
from stepper.record.journal import Journal
from stepper.record.keys import LIST, Key, read_keys
from stepper.record.problems import NotSaved, RecordError, Unreadable
from stepper.record.register import NAME, read_register
from stepper.session.addendum import open_addendum
from stepper.session.replay import open_replay
from stepper.session.signing import MEANING, sign_session, to_confirm
from stepper.session.store import list_sessions, put_away, read_case, resume, successor
from tests.drive import Chair, script
from tests.session.test_second import LATER, at_second, first_visit, later_file, ways
from tests.session.test_signing import SCRIPTS, WORDS, chained, closed, keyed, lines_of, worth

SAYS = "The patient rang: tender to bite for a day, then nothing."


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A visit that is closed and signed."""
    made = closed(tmp_path)
    sign_session(made, SystemClock(), tmp_path, keyed(tmp_path), WORDS)
    return made


def behind(path: Path, number: int = 2) -> Path:
    return path.with_name(f"{path.stem}.{number}.jsonl")


def add(path: Path, text: str = SAYS) -> Path:
    """Add a paragraph; gives the file that it went into."""
    journal, _, _ = open_addendum(path, SystemClock(), 1)
    journal.append("addendum", {"text": text, "said_by": 1, "name": "Clinician 1"}, 1)
    put_away(journal)
    return journal.path


def sign(path: Path, data: Path) -> None:
    key = read_keys(data).of(1)
    assert key is not None
    sign_session(path, SystemClock(), data, key, WORDS)


# ---- Where it stands -----------------------------------------------------------------------------


def test_it_is_a_file_of_its_own_that_names_all_of_the_signed_one(path: Path) -> None:
    before, stamp = path.read_bytes(), path.stat()
    assert add(path) == behind(path)
    assert path.read_bytes() == before and path.stat().st_mtime_ns == stamp.st_mtime_ns
    told = lines_of(behind(path))[0]
    signed = lines_of(path)
    assert told["continues"] == {
        "sid": path.stem,
        "entries": len(signed),
        "head": signed[-1]["hash"],
        "addendum": True,
    }
    assert told["by"] == 1 and told["patient"] == signed[0]["patient"] and told["practice"] is True
    assert behind(path).stat().st_mode & 0o777 == 0o600


def test_read_again_it_is_one_session_whose_last_entry_is_the_paragraph(path: Path) -> None:
    whole = read_case(path)[1]
    add(path)
    case = read_case(behind(path))[1]
    assert whole is not None and case is not None
    assert case.entries[:-1] == whole.entries and case.signed_up_to == whole.entries[-1].seq
    last = case.entries[-1]
    assert (last.kind, last.seq, last.by) == ("addendum", len(whole.entries), 1)


def test_what_is_added_next_goes_into_the_same_file_until_that_is_signed(path: Path, tmp_path: Path) -> None:
    assert add(path) == add(path, "Another word.") == behind(path)
    assert [line["kind"] for line in lines_of(behind(path))] == ["open", "addendum", "addendum"]
    sign(behind(path), tmp_path)
    kept = [path.read_bytes(), behind(path).read_bytes()]
    assert add(path, "A third.") == add(behind(path), "A fourth.") == behind(path, 3)
    assert [path.read_bytes(), behind(path).read_bytes()] == kept
    case = read_case(behind(path, 3))[1]
    assert case is not None
    assert [one.seq for one in case.entries] == list(range(len(case.entries)))
    kinds = [one.kind for one in case.entries[case.signatures[0].seq :]]
    assert kinds == ["signature", "addendum", "addendum", "signature", "addendum", "addendum"]


def test_a_signed_file_is_not_resumed_and_the_sentence_says_what_can_be_done(path: Path, tmp_path: Path) -> None:
    with pytest.raises(Unreadable) as refused:
        resume(path, SystemClock())
    assert str(refused.value) == (
        f"Session {path.stem} is signed: it takes no more entries; stepper addendum adds to it."
    )
    add(path)
    resume(behind(path), SystemClock())[0].close()
    sign(behind(path), tmp_path)
    with pytest.raises(Unreadable, match=r"\.2 is signed: it takes no more entries"):
        resume(behind(path), SystemClock())


def test_without_a_signature_there_is_no_addendum(tmp_path: Path) -> None:
    made = closed(tmp_path)
    with pytest.raises(Unreadable, match="is not signed: an addendum comes after a signature"):
        open_addendum(made, SystemClock(), 1)
    assert [one.name for one in made.parent.glob("*.jsonl")] == [made.name]
    with pytest.raises(RecordError, match="cannot be read"):
        open_addendum(tmp_path / "nowhere-at-all.jsonl", SystemClock(), 1)


def test_facts_are_corrected_in_it_and_the_yes_is_asked_for_at_its_signing(path: Path, tmp_path: Path) -> None:
    case = read_case(path)[1]
    assert case is not None
    seal = next(one for one in lines_of(path) if one["kind"] == "answer" and one["step"] == "coronal_seal")
    journal, _, _ = open_addendum(path, SystemClock(), 2)
    journal.append("correction", {"of": seal["seq"], "how": "keyed_wrong", "values": seal["values"]}, 2)
    put_away(journal)
    found = read_case(behind(path))[1]
    assert found is not None and len(found.unconfirmed) == 1 and case.departures
    told = to_confirm(found)
    assert len(told.unconfirmed) == 1 and told.departures == (), "those before were confirmed by the first signature"
    sign(behind(path), tmp_path)
    after = read_case(behind(path))[1]
    assert after is not None and not after.unconfirmed
    assert worth(behind(path), tmp_path).holds


@pytest.mark.parametrize("after", [0, 1], ids=["at its end", "in the middle"])
def test_a_damaged_addendum_is_gone_on_from_in_the_next_file(path: Path, tmp_path: Path, after: int) -> None:
    for text in (SAYS, "Another word.", "And one more.")[: 2 + after]:
        add(path, text)
    spoilt = behind(path).read_bytes().replace(b"Another word", b"Another wort")
    behind(path).write_bytes(spoilt)
    assert (read_case(behind(path))[0].damage is not None) == bool(after)
    journal, case, said = open_addendum(path, SystemClock(), 1)
    put_away(journal)
    assert journal.path == behind(path, 3) and behind(path).read_bytes() == spoilt
    assert said == f"Goes on in {path.stem}.3.jsonl after entry 1; {path.stem}.2.jsonl is kept as it is."
    assert [one.kind for one in case.entries[case.signed_up_to :]] == ["signature", "addendum"]
    assert "addendum" not in lines_of(behind(path, 3))[0]["continues"]  # type: ignore[operator]
    found = worth(behind(path, 3), tmp_path)
    assert not found.holds and found.sentences[1].startswith("Addendum of 1 entry, not signed yet")
    sign(behind(path, 3), tmp_path)
    assert worth(behind(path, 3), tmp_path).holds, "what holds of the damaged one is under it by its hash"


@pytest.mark.parametrize("more", [b"rubbish\nrubbish\n", b"half a li"])
def test_a_signed_file_that_was_written_to_behind_its_signature_still_takes_an_addendum(
    path: Path, tmp_path: Path, more: bytes
) -> None:
    with path.open("ab") as file:
        file.write(more)
    assert add(path) == behind(path)
    assert lines_of(behind(path))[0]["continues"]["addendum"] is True  # type: ignore[index]
    found = worth(behind(path), tmp_path)
    assert found.wrong and "but something was written after it" in found.sentences[0]


def test_a_failing_disk_begins_no_addendum(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(handle: int, data: bytes) -> int:  # noqa: ARG001
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(system.os, "write", full)
    with pytest.raises(NotSaved, match="No space left on device"):
        open_addendum(path, SystemClock(), 1)
    assert not behind(path).exists()


def test_where_its_disk_gives_up_what_comes_next_goes_on_and_is_no_addendum_to_itself(path: Path) -> None:
    journal, case, _ = open_addendum(path, SystemClock(), 1)
    journal.append("addendum", {"text": SAYS, "said_by": 1, "name": "Clinician 1"}, 1)
    case = read_case(journal.path)[1] or case
    new = successor(case, journal, SystemClock())
    put_away(new)
    assert new.path == behind(path, 3)
    again = read_case(new.path)[1]
    assert again is not None and again.entries == case.entries


# ---- What it is worth ----------------------------------------------------------------------------


def test_the_first_signature_does_not_cover_it_and_its_own_does(path: Path, tmp_path: Path) -> None:
    first = worth(path, tmp_path)
    add(path)
    assert worth(path, tmp_path) == first and first.holds, "the signed file is as good as it was"
    found = worth(behind(path), tmp_path)
    assert not found.holds and not found.wrong
    assert found.sentences == (
        first.words,
        "Addendum of 1 entry, not signed yet: the signature before it does not cover it.",
    )
    sign(behind(path), tmp_path)
    at = lines_of(behind(path))[-1]["at"]
    found = worth(behind(path), tmp_path)
    assert found.holds and not found.wrong
    assert found.sentences[1:] == (f"Addendum of 1 entry, signed by Invented Person (IP) at {at}: {MEANING}",)
    add(path, "More.")
    add(path, "And more.")
    found = worth(behind(path, 3), tmp_path)
    assert not found.holds and len(found.sentences) == 3 and found.sentences[2].startswith("Addendum of 2 entries, not")


def test_its_signature_is_over_its_own_file_and_names_that(path: Path, tmp_path: Path) -> None:
    add(path)
    sign(behind(path), tmp_path)
    *_, before, last = lines_of(behind(path))
    assert (last["entries"], last["head"]) == (2, before["hash"])
    lines = lines_of(behind(path))
    other = {**lines[-1], "sig": lines_of(path)[-1]["sig"]}
    chained(behind(path), [*lines[:-1], other])
    found = worth(behind(path), tmp_path)
    assert found.wrong and found.sentences[1].endswith("but the signature does not fit.")
    assert "but" not in found.sentences[0]


def test_an_addendum_that_is_begun_and_holds_nothing_is_not_signed(path: Path, tmp_path: Path) -> None:
    put_away(open_addendum(path, SystemClock(), 1)[0])
    with pytest.raises(Unreadable, match=r"is signed by Invented Person \(IP\) at"):
        sign(behind(path), tmp_path)
    found = worth(behind(path), tmp_path)
    assert not found.holds and found.sentences[1].startswith("Addendum of 0 entries, not signed yet")


def test_a_first_signature_by_a_key_that_is_not_known_is_said_of_the_first(path: Path, tmp_path: Path) -> None:
    add(path)
    listed = (tmp_path / LIST).read_bytes()
    second: Key = keyed(tmp_path)
    sign_session(behind(path), SystemClock(), tmp_path, second, WORDS)
    assert worth(behind(path), tmp_path).holds
    (tmp_path / LIST).write_bytes((tmp_path / LIST).read_bytes().removeprefix(listed))
    found = worth(behind(path), tmp_path)
    assert found.wrong and not found.holds
    assert "is not in the practice's list" in found.sentences[0] and "but" not in found.sentences[1]


# ---- What nobody does unseen ---------------------------------------------------------------------


def rewritten(path: Path, **continues: object) -> None:
    """Write an addendum anew with other words about the file that it goes on from, and a chain that holds."""
    first, *rest = lines_of(path)
    told = first["continues"]
    assert isinstance(told, Mapping)
    chained(path, [{**first, "continues": {**told, **continues}}, *rest])


def test_an_addendum_put_behind_another_session_is_refused(path: Path, tmp_path: Path) -> None:
    add(path)
    other = closed(tmp_path / "other")
    sign_session(other, SystemClock(), tmp_path / "other", keyed(tmp_path / "other"), WORDS)
    moved = behind(other)
    moved.write_bytes(behind(path).read_bytes())
    found = read_case(moved)[0]
    assert found.damage is not None and "it was renamed or put in its place" in found.damage.sentence
    first, *rest = lines_of(behind(path))
    chained(moved, [{**first, "sid": moved.stem}, *rest])
    assert read_case(moved)[2] == f"{moved.name} does not say which file it goes on from."
    rewritten(moved, sid=other.stem)
    assert f"of {other.name}, which does not hold it." in read_case(moved)[2]


def test_a_signed_file_that_was_changed_afterwards_is_seen_from_its_addendum(path: Path) -> None:
    add(path)
    lines = lines_of(path)
    chained(path, [{**line, "tz": "Elsewhere"} if line["seq"] == 20 else line for line in lines])
    fault = f"{behind(path).name} goes on from entry {len(lines) - 1} of {path.name}, which does not hold it."
    assert read_case(behind(path))[2] == fault
    assert main(["check", str(behind(path))]) == 2
    with pytest.raises(Unreadable, match="which does not hold it"):
        open_addendum(path, SystemClock(), 1)


def test_a_signed_file_without_its_signature_is_not_the_one(path: Path) -> None:
    add(path)
    path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[:-1]))
    assert "which does not hold it" in read_case(behind(path))[2]


@pytest.mark.parametrize("says", [{"addendum": False}, {"entries": 1}])
def test_what_an_addendum_says_of_itself_has_to_be_so(path: Path, says: dict[str, object]) -> None:
    """That what comes after a signature calls itself so, and nothing else does."""
    add(path)
    heads = {"head": lines_of(path)[0]["hash"]} if "entries" in says else {}
    rewritten(behind(path), **says, **heads)
    assert "differ on whether that one is signed" in read_case(behind(path))[2]


def test_entries_behind_the_first_signature_are_seen_from_its_addendum(path: Path, tmp_path: Path) -> None:
    add(path)
    lines = lines_of(path)
    names = ("v", "seq", "t", "off", "tz", "mono_us", "boot", "by")
    chained(path, [*lines, {**{name: lines[-2][name] for name in names}, "kind": "resume", "app": "x"}])
    found = worth(behind(path), tmp_path)
    assert found.wrong and "but entries came after it" in found.sentences[0]
    assert main(["check", str(behind(path)), "--dir", str(tmp_path)]) == 1


def test_an_addendum_that_was_taken_away_is_missed(
    path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    add(path)
    behind(path).unlink()
    gone = f"{behind(path).name}, in which session {path.stem} went on, was registered and is missing."
    assert main(["list", "--dir", str(tmp_path)]) == 0
    assert f"missing     {behind(path).name}  2 entries of it were registered" in capsys.readouterr().out
    assert main(["check", str(path), "--dir", str(tmp_path)]) == 1
    assert gone in capsys.readouterr().out
    assert main(["note", str(path)]) == 1
    assert gone in capsys.readouterr().err
    with pytest.raises(Unreadable) as refused:
        open_addendum(path, SystemClock(), 1)
    assert str(refused.value) == f"{gone} Put it back, then add to it."
    assert not behind(path).exists(), "another one in its place would hide that it is gone"
    (path.parent / NAME).unlink()
    assert main(["check", str(path), "--dir", str(tmp_path)]) == 0
    assert add(path) == behind(path)


def test_an_addendum_is_missed_even_if_its_program_was_killed(path: Path) -> None:
    journal = open_addendum(path, SystemClock(), 1)[0]
    assert read_register(path.parent).sessions[behind(path).stem].entries == 1
    journal.close()


def test_an_addendum_that_was_shortened_is_seen(path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    add(path)
    add(path, "Another word.")
    behind(path).write_bytes(b"".join(behind(path).read_bytes().splitlines(keepends=True)[:-1]))
    assert main(["check", str(behind(path)), "--dir", str(tmp_path)]) == 1
    assert "was shortened: 3 entries were registered, 2 are there." in capsys.readouterr().out
    assert add(path, "After that.") == behind(path, 3), "what was shortened is not written to"


# ---- check, list, note, the chair ----------------------------------------------------------------


def test_check_tells_both_signatures_and_calls_it_signed_only_with_both(
    path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def told() -> dict[str, object]:
        main(["check", str(behind(path)), "--dir", str(tmp_path), "--json"])
        return json.loads(capsys.readouterr().out)  # type: ignore[no-any-return]

    add(path)
    assert main(["check", str(path), str(behind(path)), "--dir", str(tmp_path)]) == 0
    said = capsys.readouterr().out
    assert f"Goes on in {behind(path).name}." in said
    assert f"An addendum to {path.name}, of which the first {len(lines_of(path))} entries count." in said
    assert "closed, not signed" in said and "Addendum of 1 entry, not signed yet" in said
    one = told()
    assert one["signed"] is False and one["closed"] is True and "Addendum of 1 entry, not" in str(one["signature"])
    sign(behind(path), tmp_path)
    two = told()
    assert two["signed"] is True and str(two["signature"]).count("igned by Invented Person (IP) at") == 2
    assert one.keys() == two.keys()
    (tmp_path / LIST).unlink()
    assert main(["check", str(behind(path)), "--dir", str(tmp_path)]) == 1


def test_it_is_listed_once_as_closed_under_the_day_of_the_visit(path: Path) -> None:
    (before,) = list_sessions(path.parent)
    add(path)
    (listed,) = list_sessions(path.parent)
    assert listed.path == behind(path) and listed.closed and not listed.fault
    assert listed.header == before.header


def test_at_the_chair_it_is_replayed_and_not_resumed(path: Path) -> None:
    add(path)
    chair = Chair(path.parent)
    assert "11" not in ways(chair) and "3" in ways(chair)
    kept = [path.read_bytes(), behind(path).read_bytes()]
    view = chair.key("3", "1")
    assert view.read_only
    said = "Signed by Invented Person (IP). What came after it is not signed. What is added now is an addendum."
    assert view.saying == said
    assert [path.read_bytes(), behind(path).read_bytes()] == kept


def test_the_replay_of_a_signed_session_says_what_adds_to_it(path: Path, tmp_path: Path) -> None:
    assert open_replay(path).view().saying == "Signed by Invented Person (IP). What is added now is an addendum."
    (tmp_path / "unsigned").mkdir()
    assert open_replay(closed(tmp_path / "unsigned")).view().saying == ""


def test_the_note_of_the_signed_file_alone_says_that_there_is_more(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    add(path)
    assert main(["note", str(path)]) == 0
    out, err = capsys.readouterr()
    assert f"Goes on in {behind(path).name}. The note does not hold what stands there." in err
    assert "ADDENDUM" not in out
    assert main(["note", str(behind(path))]) == 0
    out, err = capsys.readouterr()
    assert err == "" and SAYS in " ".join(out.split())


def test_a_second_visit_that_is_signed_takes_an_addendum_and_carries_nothing_over_twice(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "sessions"
    first_visit(folder)
    chair = at_second(folder)
    chair.session.room.log("void", reason="The patient left.")
    chair.session.leave()
    second = later_file(folder)
    sign_session(second, SystemClock(), tmp_path, keyed(tmp_path), WORDS)
    for _ in range(2):
        add(second)
    case = read_case(behind(second))[1]
    assert case is not None and len([one for one in case.entries if isinstance(one, Carried)]) == 1
    assert [one.void for one in list_sessions(folder) if one.path == behind(second)] == [True]
    capsys.readouterr()
    assert main(["check", str(behind(second)), "--dir", str(tmp_path)]) == 0
    assert "Goes on from session" in capsys.readouterr().out


def test_a_second_visit_goes_on_from_a_first_with_an_addendum(tmp_path: Path) -> None:
    folder = tmp_path / "sessions"
    first_visit(folder)
    (first,) = folder.glob("*.jsonl")
    sign_session(first, SystemClock(), tmp_path, keyed(tmp_path), WORDS)
    add(first)
    chair = Chair(folder, start=LATER)
    assert "second visit" in ways(chair)["2"]
    at_second(folder)
    later = sorted(set(folder.glob("*.jsonl")) - {first, behind(first)})
    assert len(later) == 1
    assert lines_of(later[0])[0]["previous"]["head"] == lines_of(behind(first))[-1]["hash"]  # type: ignore[index]
    assert main(["check", str(later[0])]) == 0


def test_a_visit_keyed_under_a_set_clock_stays_for_practice_in_its_addendum(tmp_path: Path) -> None:
    chair = Chair(tmp_path / "sessions")
    chair.key(*script(SCRIPTS / "plain_single.keys"))
    chair.lobby.leave()
    sign_session(chair.path, SetClock(LATER), tmp_path, keyed(tmp_path), WORDS)
    journal: Journal = open_addendum(chair.path, SetClock(LATER), 1)[0]
    put_away(journal)
    case = read_case(journal.path)[1]
    assert case is not None and case.header.practice
