"""The sums at the chair: which stand beside which question, and in which words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

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
    shortly = COMPARED[: COMPARED.index(" 2 ISO")]
    assert said[1] == f"P: {shortly}"
    assert "if the 35" not in said[0]
    chair.key("1*1**4**-2**31", "10/")
    assert sums(chair.key("2*", "45/4-0", "", "40/4"))[0] == f"P: {COMPARED}"


@pytest.mark.parametrize(("canals", "more"), [("three canals", ()), ("four canals", ("/", "3", "9"))])
def test_several_comparisons_leave_room_for_the_question_and_its_choices(
    tmp_path: Path, canals: str, more: tuple[str, ...]
) -> None:
    chair = seated(tmp_path / "sessions", "three canals")
    chair.key(*more, "7/", "0*22", "0*21**21**21**2**1", "8/", "0*25/6-0", "9/", "0*30-0", "0*35-0.5", "10/")
    chair.key("0*40/4-0", "1*", "", "0*40/4")
    view = chair.session.view()
    assert len(view.canals) == len(sums(view)) - 1 == (4 if more else 3), canals
    text = flat(page(chair))
    assert "Solution about to be used" in text
    assert all(one.text.split()[0] in text for one in view.prompt.choices)
    assert "more" not in text
    for one in sums(view):
        assert f"= {one}" in text


def test_each_canal_has_its_own_bounds(tmp_path: Path) -> None:
    chair = seated(tmp_path / "sessions", "both measured")
    chair.key("8/", "2*25/6-0", "9/", "2*30-0", "2*35-0.5")
    assert sums(chair.key("1*")) == ()
    assert sums(chair.key("2*"))[0] == BOTH


# The needle.


@pytest.mark.parametrize(
    ("file", "needle", "said"),
    [
        ("25/4", "31", "30 G side-vented, closed end in 25/.04: touches 1.75 mm short, loose from 2.25 mm short by the "
         "smallest cut. Protocol: 2 mm short."),
        ("40/4", "32", "27 G side-vented, closed end in 40/.04: touches 0.5 mm short, loose from 1 mm short by the "
         "smallest cut. Protocol: 2 mm short."),
        ("15/1", "32", "27 G side-vented, closed end in 15/.01: wider than the cut part, so it touches above it. "
         "Protocol: 2 mm short."),
        ("25/1", "31", "30 G side-vented, closed end in 25/.01: touches 7 mm short, loose from 9 mm short by the "
         "smallest cut. Protocol: 2 mm short."),
        ("20/1.2", "31", "30 G side-vented, closed end in 20/.012: touches 10 mm short, loose from 11.67 mm short by "
         "the smallest cut. Protocol: 2 mm short."),
        ("45/1", "32", "27 G side-vented, closed end in 45/.01: loose down to length, by the smallest cut. "
         "Protocol: 2 mm short."),
        ("35/4", "31", "30 G side-vented, closed end in 35/.04: loose down to length, by the smallest cut. "
         "Protocol: 2 mm short."),
    ],
)  # fmt: skip
def test_at_irrigation_it_is_said_where_the_needle_touches(flared: Chair, file: str, needle: str, said: str) -> None:
    """30 G is at most 0.32 mm wide, 27 G 0.42 mm (ISO 9626:2016, from memory); a file is exact to 0.02 mm."""
    flared.key("--", "--", f"{file}-0", "", file, f"3**4**-3**{needle}")
    assert sums(flared.session.view()) == (said,)


def test_no_needle_is_spoken_of_before_the_canal_has_a_shape(flared: Chair) -> None:
    flared.key("11/")
    assert sums(flared.session.view()) == ()


# The local anaesthetic: its words are tested where they are made.


def test_before_a_cartridge_it_is_said_what_is_left(tmp_path: Path) -> None:
    chair = seated(tmp_path / "sessions", "anaesthesia")
    assert sums(chair.session.view()) == ()
    assert sums(chair.key("74"))[0].startswith("Nothing given so far")
    said = sums(chair.key("22**1.8**1**1"))
    assert said[0].startswith("So far 14 % of the maximum by shares")  # 72 of 7 x 74 = 518 mg
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
