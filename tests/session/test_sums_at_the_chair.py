"""The sums at the chair: which stand beside which question, and in which words."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import pytest

from stepper.sums.iso3630 import name, read_taper
from tests.drive import Chair
from tests.session.chairside import BOTH, COMPARED, CUT, DESIGNED, NEEDLE, flat, page, sums
from tests.session.stations import keyed, seated
from tests.sums.test_gauging_words import PROPOSES


@pytest.fixture
def flared(tmp_path: Path) -> Chair:
    """A front tooth, one canal of 22 mm, at the flare."""
    return seated(tmp_path / "sessions", "flare")


def test_nothing_is_said_before_anything_was_gauged(flared: Chair) -> None:
    assert sums(flared.key("25/6-0")) == ()
    assert sums(flared.key("")) == ()


def test_after_a_gauging_entry_both_bounds_in_the_designs_words(flared: Chair) -> None:
    first, further = sums(flared.key(*DESIGNED))
    assert first == BOTH
    assert further == "No reading with a gauging file of the stock is certain to narrow the bounds."


def test_a_reading_that_would_narrow_them_is_named(flared: Chair) -> None:
    (*_, further) = sums(flared.key("25/6-0", "", "25-0", "40-2"))
    assert re.fullmatch(
        r"A reading with gauging file \d\d/\.02 would narrow the bounds most: whatever it shows, "
        r"from 0\.\d\d mm apart to 0\.\d\d mm or less\.",
        further,
    )


def test_while_nothing_was_held_there_is_no_upper_bound(flared: Chair) -> None:
    assert sums(flared.key("25/6-0", "", "30-0")) == (
        "Round, straight canal assumed: narrowest width at length at least 0.28 mm, no upper bound. "
        "A ledge, a curve, debris or an oval canal make this wrong.",
        "Nothing was held yet, so there is no upper bound. The next gauging file of the stock is 35/.02.",
    )


def test_a_contradiction_names_what_is_worth_reading_again(flared: Chair) -> None:
    assert sums(flared.key("40/4-0", "", "30-0**1")) == (
        "In a round, straight canal these cannot all be true: 40/.04 cut and 30/.02-0 held. "
        "Worth reading again; no bounds are given.",
        "Before any other reading, 40/.04 and 30/.02-0 are worth reading again.",
    )


def test_at_an_open_apex_it_says_why_there_are_none(flared: Chair) -> None:
    flared.key("7/", "22**22**22**1**1**1**2", "9/")
    assert sums(flared.key("30-0")) == (
        "No bounds are reckoned from gauging: the apex is open, so the canal need not be narrowest at length.",
    )


def test_the_bounds_stand_at_the_declaration_and_say_that_files_have_cut(flared: Chair) -> None:
    view = flared.key(*DESIGNED, *CUT)
    assert view.prompt.question == "Master apical file declared"
    assert sums(view) == (f"Files have cut since; as it was gauged: {BOTH}",)


def test_the_comparison_stands_until_something_else_is_logged(flared: Chair) -> None:
    assert sums(flared.key(*DESIGNED, *CUT, "40/4")) == (COMPARED, NEEDLE)
    for line in ("", "++", "30-", "8/", "10/", "/", "0", "-", "0", "/", "10", "", "11/"):
        view = flared.key(line)
    assert sums(view) == (COMPARED, NEEDLE)
    assert sums(flared.key("1**4**-2**31")) == (NEEDLE,)


def test_the_comparison_is_there_after_the_plug_was_pulled(flared: Chair, tmp_path: Path) -> None:
    flared.key(*DESIGNED, *CUT, "40/4")
    kept = tmp_path / "kept"
    kept.mkdir()
    (kept / flared.path.name).write_bytes(flared.path.read_bytes())
    again = Chair(kept, start=flared.clock.now().wall)
    number = next(one.number for one in again.lobby.view().prompt.choices if "4711" in one.text)
    assert sums(again.key(number)) == (COMPARED, NEEDLE)
    again.key("1**4**-2**31")
    assert sums(again.session.view()) == (NEEDLE,)


def test_without_gauging_nothing_is_compared(flared: Chair) -> None:
    assert sums(flared.key("--", "--", "40/4-0", "", "40/4")) == (NEEDLE,)


def test_a_comparison_names_its_canal_where_there_are_several(tmp_path: Path) -> None:
    chair = seated(tmp_path / "sessions", "both measured")
    chair.key("8/", "12*25/6-0", "9/", "12*30-0", "2*35-0.5", "10/", "12*40/4-0", "1*", "")
    said = sums(chair.key("12*40/4"))
    assert [one.split(":")[0] for one in said[:2]] == ["B", "P"]
    shortly = COMPARED[: COMPARED.index(" 1 ISO")]
    assert said[1] == f"P: {shortly}"
    assert "if the 35" not in said[0]
    chair.key("1*1**4**-2**31", "10/")
    assert sums(chair.key("2*", "45/4-0", "", "40/4"))[0] == f"P: {COMPARED}"


MASTER_35 = (
    "35/.04 against the canal as gauged. Larger at length: unknown. The same size as 35. "
    "In the apical 3 mm: larger than what passed over 3 mm, of these unknown over 3 mm."
)
NEEDLE_35 = NEEDLE.replace("40", "35")


@pytest.fixture
def asked(flared: Chair) -> Chair:
    """A 35/.04 declared that is no larger than what was gauged, where the practice wants it one size larger."""
    view = flared.key("25/6-0", "", "30-0", "35-0.5", "", "35/4-0", "", "35/4")
    assert view.prompt.question.startswith("Master apical file 35/.04 is 0 sizes over gauging file 35 at length")
    assert sums(view) == (MASTER_35,)
    return flared


@pytest.mark.parametrize("keys", [("2",), ("1", "1", "1")], ids=["owed", "a reason and who said it"])
def test_the_comparison_stands_beside_the_remark_on_it_and_after_it(asked: Chair, keys: tuple[str, ...]) -> None:
    view = asked.key(*keys)
    assert asked.case.entries[-1].kind == ("owe" if keys == ("2",) else "departure")
    assert view.prompt.question == "Solution about to be used"
    assert sums(view) == (MASTER_35, NEEDLE_35)
    assert sums(asked.key("1**4**-2**31")) == (NEEDLE_35,)


def test_a_reason_and_a_person_are_asked_for_without_it(asked: Chair) -> None:
    assert [sums(asked.key(key)) for key in ("1", "1")] == [(), ()]


def test_a_remark_on_something_else_has_no_comparison_beside_it(tmp_path: Path) -> None:
    chair = seated(tmp_path / "sessions", "flare")
    view = chair.key("25/6-0", "", "30-0", "35-0.5", "", "40/4-0", "", "40/4", "7/", "24**22")
    assert "apart" in view.prompt.question
    assert sums(view) == ()


def declared_of_several(folder: Path, more: tuple[str, ...], *lines: str) -> Chair:
    """Three canals, and one more if it is found, gauged and cut alike; then these lines, up to irrigation."""
    chair = seated(folder / "sessions", "three canals")
    chair.key(*more, "7/", "0*22", "0*21**21**21**2**1", "8/", "0*25/6-0", "9/", "0*30-0", "0*35-0.5", "10/")
    chair.key("0*40/4-0", "1*", "", *lines)
    assert chair.session.view().prompt.question == "Solution about to be used"
    return chair


ALL_OF_THEM, ONE = ("0*40/4",), ("40/4", "11/")


@pytest.mark.parametrize("lines", [ALL_OF_THEM, ONE], ids=["all declared", "one declared"])
@pytest.mark.parametrize("more", [(), ("/", "3", "9")], ids=["three canals", "four canals"])
def test_canals_question_hints_and_choices_keep_their_rows_beside_comparisons(
    tmp_path: Path, more: tuple[str, ...], lines: tuple[str, ...]
) -> None:
    chair = declared_of_several(tmp_path, more, *lines)
    view = chair.session.view()
    count = 4 if more else 3
    assert len(view.canals) == count
    assert len(sums(view)) == (count + 1 if lines == ALL_OF_THEM else 2)
    rows = page(chair)
    text = flat(rows)
    table = [match[1] for row in rows if (match := re.match(r"\d  (\w+)", row[24:]))]
    assert table == [one.name for one in view.canals]
    assert f"{view.prompt.question} {view.prompt.hint} then {view.prompt.then[:30]}" in text
    assert all(one.text.split()[0] in text for one in view.prompt.choices)
    assert f"= {sums(view)[0]}" in text.replace("…", "")


@pytest.mark.parametrize("more", [(), ("/", "3", "9")], ids=["three canals", "four canals"])
def test_several_comparisons_are_cut_with_a_mark_where_there_is_no_room_and_whole_where_there_is(
    tmp_path: Path, more: tuple[str, ...]
) -> None:
    chair = declared_of_several(tmp_path, more, *ALL_OF_THEM)
    rows = [row[24:].strip() for row in page(chair)]
    question = next(at for at, row in enumerate(rows) if "Solution about" in row)
    assert rows[question - 1].endswith("…")
    assert NEEDLE not in flat(page(chair))
    assert sum(row.startswith("▌ = ") for row in rows) >= 2
    large = " ".join(" ".join(row[30:85] for row in page(chair, (200, 60))).replace("▌", " ").split())
    assert all(f"= {one[:40]}" in large for one in sums(chair.session.view()))


def test_each_canal_has_its_own_bounds(tmp_path: Path) -> None:
    chair = seated(tmp_path / "sessions", "both measured")
    chair.key("8/", "2*25/6-0", "9/", "2*30-0", "2*35-0.5")
    assert sums(chair.key("1*")) == ()
    assert sums(chair.key("2*"))[0] == BOTH


# The needle.


@pytest.mark.parametrize(
    ("file", "needle", "said"),
    [
        ("25/4", "31", "touches 1.75 mm short, loose from 2.25 (smallest cut)"),
        ("30/4", "31", "touches 0.5 mm short, loose from 1 (smallest cut)"),
        ("40/4", "32", "touches 0.5 mm short, loose from 1 (smallest cut)"),
        ("15/1", "32", "wider than the cut part, so it touches above it"),
        ("25/1", "31", "touches 7 mm short, loose from 9 (smallest cut)"),
        ("20/1.2", "31", "touches 10 mm short, loose from 11.67 (smallest cut)"),
        ("45/1", "32", "loose down to length (smallest cut)"),
        ("35/4", "31", "loose down to length (smallest cut)"),
    ],
)
def test_at_irrigation_it_is_said_where_the_needle_touches(flared: Chair, file: str, needle: str, said: str) -> None:
    """30 G is at most 0.32 mm wide, 27 G 0.42 mm (ISO 9626:2016, from memory); a file is exact to 0.02 mm."""
    flared.key("--", "--", f"{file}-0", "", file, f"3**4**-3**{needle}")
    size, taper = file.split("/")
    named = f"{30 if needle == '31' else 27} G in {name(int(size), read_taper(Decimal(taper)))}"
    assert sums(flared.session.view()) == (f"{named}: {said}. Protocol: 2 mm short.",)


def test_no_needle_is_spoken_of_before_the_canal_has_a_shape(flared: Chair) -> None:
    flared.key("11/")
    assert sums(flared.session.view()) == ()


# The local anaesthetic: its words are tested where they are made.


def test_before_a_cartridge_it_is_said_what_is_left(tmp_path: Path) -> None:
    chair = seated(tmp_path / "sessions", "anaesthesia")
    assert sums(chair.session.view()) == ()
    assert sums(chair.key("74"))[0].startswith("Nothing given so far")
    said = sums(chair.key("22**1.8**1**1"))
    assert said[0].startswith("So far 14 % by shares")  # 72 of 7 x 74 = 518 mg
    assert any(one.startswith("22: ") for one in said[1:])


# All of a visit.


def test_in_a_whole_visit_no_sentence_proposes_a_size_or_a_dressing(tmp_path: Path) -> None:
    chair = Chair(tmp_path / "sessions")
    tooth, lines = keyed("closed")
    chair.open(tooth=tooth)
    said: set[str] = set()
    for line in lines:
        view = chair.key(line)
        said |= set(sums(view))
        assert not (view.prompt.blind and sums(view))
        page(chair)
    assert len(said) > 8
    assert not [one for one in said if PROPOSES.search(one.removeprefix("Cone "))]
    assert not [one for one in said if "dressing" in one.lower()]


def test_nothing_reckoned_is_logged(flared: Chair) -> None:
    flared.key(*DESIGNED, *CUT, "40/4")
    before = flared.path.read_bytes()
    for line in ("", "/", "10", "+", "+", "-", "1", "9", "word", "0", "/", "2", "0", "++"):
        flared.key(line)
        flared.session.view()
        page(flared)
    assert flared.path.read_bytes() == before
    text = before.decode()
    assert "narrowest" not in text
    assert "against the canal" not in text


@pytest.mark.parametrize("size", [(80, 24), (100, 30), (120, 40), (200, 60)])
def test_the_whole_of_it_stands_on_the_screen(flared: Chair, size: tuple[int, int]) -> None:
    said = sums(flared.key(*DESIGNED))
    text = flat(page(flared, size)) if size[0] < 100 else " ".join(" ".join(page(flared, size)).split())
    for one in said:
        words = [word for word in one.split() if len(word) > 4]
        assert all(word in text for word in words), one
    if size[0] < 100:
        assert f"= {BOTH}" in text
