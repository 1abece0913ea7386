"""The same words of several canals said once, and nothing lost by it."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from stepper.facts.state import LAST
from stepper.note.several import STRETCH, Said, merged
from tests.cases import Log, opened
from tests.note.reading import section, single, the

WORDS = st.sampled_from([("", ": a."), ("", ": b."), ("in ", " c."), ("names no canal",)])


@st.composite
def canals(draw: st.DrawFn) -> list[list[Said]]:
    """Some canals, each with sentences of its own, every one from an entry of its own."""
    found, seq = [], 0
    for canal in range(1, draw(st.integers(1, 4)) + 1):
        said = []
        for words in draw(st.lists(WORDS, max_size=6)):
            seq += 1
            said.append(Said(words, (canal,), (seq,), draw(st.sampled_from(["", "", "STOP"]))))
        found.append(said)
    return found


@settings(deadline=None)
@given(canals())
def test_each_canals_sentences_stay_whole_in_their_order_and_know_their_entries(said: list[list[Said]]) -> None:
    found = merged(said)
    for canal, own in enumerate(said, start=1):
        mine = [one for one in found if canal in one.canals]
        assert [(one.words, one.mark) for one in mine] == [(one.words, one.mark) for one in own]
        assert all(set(one.entries) <= set(put.entries) for one, put in zip(own, mine, strict=True))
    assert sum(len(one.entries) for one in found) == sum(len(own) for own in said)


@settings(deadline=None)
@given(canals())
def test_what_names_no_canal_is_not_put_together(said: list[list[Said]]) -> None:
    assert all(len(one.canals) == 1 for one in merged(said) if len(one.words) == 1)


@settings(deadline=None)
@given(canals())
def test_two_canals_share_as_many_sentences_as_their_order_lets_them(said: list[list[Said]]) -> None:
    """Against the longest common subsequence, counted another way: by trying every choice of one canal's sentences."""
    if len(said) < 2:
        return
    one, other = ([(mine.words, mine.mark) for mine in own if len(mine.words) > 1] for own in said[:2])
    most = max(
        len(chosen) for count in range(len(one) + 1) for chosen in combinations(one, count) if follows(chosen, other)
    )
    assert sum(len(put.canals) == 2 for put in merged(said[:2])) == most


def follows(chosen: tuple[object, ...], whole: list[tuple[tuple[str, ...], str]]) -> bool:
    rest = iter(whole)
    return all(one in rest for one in chosen)


@settings(deadline=None)
@given(st.lists(WORDS.filter(lambda words: len(words) > 1), max_size=6), st.integers(1, 4))
def test_canals_that_say_the_same_say_it_once(words: list[tuple[str, ...]], count: int) -> None:
    said = [[Said(one, (canal,), (canal,)) for one in words] for canal in range(1, count + 1)]
    found = merged(said)
    assert [one.words for one in found] == words
    assert all(one.canals == tuple(range(1, count + 1)) for one in found)


def test_rinses_in_the_same_words_are_one_sentence_with_all_their_entries() -> None:
    log = opened(Log(), "mb+ml+d")
    seqs = [log.answer("irrigation", canal, solution="saline", volume="3") for canal in (1, 2, 3)]
    other = log.answer("irrigation", 2, 2, solution="saline", volume="2")
    first, second = section(log, "Irrigation")
    assert first == "MB, ML, D: Solution about to be used: Saline 0.9 %; Volume: 3 mL."
    assert the(log, "3 mL.", "Irrigation").entries == tuple(seqs)
    assert second == "ML: Solution about to be used: Saline 0.9 %; Volume: 2 mL."
    assert the(log, "2 mL.", "Irrigation").entries == (other,)


def test_another_order_of_rinses_is_not_made_the_same() -> None:
    log = opened(Log(), "mb+ml")
    for canal, items in ((1, ("edta_17", "saline")), (2, ("saline", "edta_17"))):
        for row, item in enumerate(items, start=1):
            log.answer("irrigation", canal, row, solution=item, volume="3")
    told = [one.split(":")[0] + one.split("used:")[1].split(";")[0] for one in section(log, "Irrigation")]
    by_canal = {name: [one for one in told if name in one.split(" ")[0] or f"{name} " in one] for name in ("MB", "ML")}
    assert ["EDTA" in one for one in by_canal["MB"]] == [True, False]
    assert ["EDTA" in one for one in by_canal["ML"]] == [False, True]
    assert len(told) == 3


def test_what_was_keyed_late_or_outside_the_chain_is_not_put_with_what_was_not() -> None:
    log = opened(Log(), "mb+ml+d")
    log.answer("shaping", 1, file="25/4-0", purpose="cut")
    log.answer("shaping", 2, file="25/4-0", purpose="cut", outside=True)
    log.answer("shaping", 3, file="25/4-0", purpose="cut", ago=1)
    told = section(log, "Shaping")
    assert len(told) == 3
    assert told[0] == "MB: 25/.04 at length, cut."
    assert told[1] == "OUTSIDE THE CHAIN: ML: 25/.04 at length, cut."
    assert told[2].endswith("said to have happened 1 min before).")


def test_a_canals_name_with_commas_and_braces_is_only_a_name() -> None:
    log = opened(single(), "b")
    log.found(2, "X, {canal}")
    for canal in (1, 2):
        log.answer("shaping", canal, LAST, master="30/4")
    assert section(log, "Shaping") == ["B, X, {canal}: master apical file 30/.04."]


def test_what_comes_after_different_words_is_put_together_again() -> None:
    log = opened(Log(), "mb+ml+d")
    for canal, mm in ((1, "20"), (2, "21.5"), (3, "20")):
        log.answer("length", canal, row=0, estimate=mm)
        log.answer("length", canal, working_length=mm, reference="buccal_cusp", patency="yes")
    assert section(log, "Working length") == [
        "MB, D: estimated length 20 mm.",
        "MB, D: agreed working length 20 mm from the buccal cusp.",
        "ML: estimated length 21.5 mm.",
        "ML: agreed working length 21.5 mm from the buccal cusp.",
        "MB, ML, D: patency, yes.",
    ]


def test_of_very_many_sentences_none_is_lost_and_what_stands_side_by_side_is_still_said_once() -> None:
    count = STRETCH * 2 + 7
    said = [[Said(("", f": {number}."), (canal,), (number,)) for number in range(count)] for canal in (1, 2)]
    assert [(one.words, one.canals) for one in merged(said)] == [
        (("", f": {number}."), (1, 2)) for number in range(count)
    ]
    odd = [said[0], said[1][::-1]]
    for canal, own in enumerate(odd, start=1):
        assert [one.words for one in merged(odd) if canal in one.canals] == [one.words for one in own]
