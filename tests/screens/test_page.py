"""The page as rows: exact in size whatever the text, the line and the legend always there, nothing read as markup."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from textual.strip import Strip

from stepper.screens.large import large
from stepper.screens.page import Said, entry_row, page_rows
from stepper.screens.palette import DARK, Look
from stepper.screens.rows import Block, clean, cut, cut_front, fold, share
from stepper.session.view import Band, CanalCell, ChairView, Choice, Prompt, RemarkLine, Tone
from tests.screens.views import ALARM, CLOCKS, CROWDED, PICK, SHAPING, TIME_OUT, VIEWS

LOOK = Look(DARK)
SIZES = [(80, 24), (100, 30), (120, 40), (200, 60)]


def page(view: ChairView, size: tuple[int, int] = (80, 24), line: str = "35/4-0", said: Said | None = None) -> str:
    rows = page_rows(view, CLOCKS, line, said, size, LOOK)
    assert len(rows) == size[1]
    assert {row.cell_length for row in rows} == {size[0]}
    return "\n".join(row.text for row in rows)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", sorted(VIEWS))
def test_the_line_and_the_legend_stand_in_the_last_two_rows(name: str, size: tuple[int, int]) -> None:
    rows = page(VIEWS[name], size).split("\n")
    assert "> 35/4-0_" in rows[-2]
    assert rows[-1].strip().startswith("Enter log")


def test_an_everyday_page_at_the_least_size_shows_all_of_it() -> None:
    text = page(SHAPING)
    for shown in (
        "Tooth 36 · lower left first molar · patient 4711",
        "visit 1:07:12",
        "17   Closing",
        "10 > Shaping",
        "Which file, how far from length, and what for?",
        "recapitulate",
        "read aloud  ML: 30/.04, cut, one millimetre short.",
        "? ASK ML: Length by image",
        "42 14:29",
        "Logged 42: ML 30/.04 cut 1.0 mm short",
    ):
        assert shown in text
    row = next(row for row in text.split("\n") if " ML " in row and "20.0" in row)
    assert row.split()[-6:] == ["20.0", "30", "·", "·", "shut", "·"]


def test_a_taller_page_has_the_subtitle_and_the_words_of_the_steps() -> None:
    assert "One visit, protocol 1.0" not in page(SHAPING)
    text = page(SHAPING, (120, 40))
    assert "One visit, protocol 1.0" in text
    assert "owed" in text
    assert "step 0:12" in text


def test_a_crowded_page_at_the_least_size_keeps_what_is_needed() -> None:
    text = page(CROWDED)
    for number in range(1, 13):
        assert f"{number}  choice {number} " in text
    for shown in ("! STOP  Everything", "5 min ago > 35/4-0_", "Enter  Everything", "13 > Cone fit", "5 canal5"):
        assert shown in text
    assert text.count("[b]with brackets[/b]") >= 3


def test_twelve_choices_are_whole_at_the_least_size() -> None:
    text = page(PICK)
    for choice in PICK.prompt.choices:
        assert choice.text in text
    assert "Enter  cold, electric, percussion, palpation" in text


def test_more_choices_than_fit_are_counted() -> None:
    choices = tuple(Choice(str(number), f"entry {number}") for number in range(1, 91))
    text = page(replace(ALARM, prompt=replace(ALARM.prompt, choices=choices)))
    shown = sum(f" entry {number} " in text for number in range(1, 91))
    told = int(text.split(" and ")[-1].split(" more")[0])
    assert shown + told == 90


def test_long_choices_are_folded_not_cut_where_there_is_room() -> None:
    way_out = "it was done all the same: log it as what it was, outside the chain, and let it open the note"
    prompt = replace(ALARM.prompt, choices=(Choice("1", "hold"), Choice("2", way_out)))
    text = page(replace(ALARM, prompt=prompt, remarks=(), readback=""), (100, 30))
    assert way_out in " ".join(" ".join(row[26:].split()) for row in text.split("\n"))


def test_covered_hides_everything_that_could_give_the_answer_away() -> None:
    secret = replace(
        TIME_OUT,
        title="SECRET",
        subtitle="SECRET",
        canals=(CanalCell(1, "SECRET", *(["SECRET"] * 6), Tone.PLAIN, current=True),),
        readback="SECRET",
        remarks=(RemarkLine("?", "ASK", "SECRET", "SECRET", "SECRET", Tone.WARN),),
        log=tuple(replace(line, text="SECRET", where="SECRET") for line in SHAPING.log),
    )
    for size in SIZES:
        text = page(secret, size)
        assert "SECRET" not in text
        assert "Covered: the consent form" in text
        assert "Canals, remarks and log are covered" in text
        assert "Patient number, read from the consent form?" in text
    assert "SECRET" in page(replace(secret, covered=False))


def test_the_question_stays_in_its_row_when_the_canals_are_covered() -> None:
    def at(view: ChairView) -> int:
        return next(index for index, row in enumerate(page(view).split("\n")) if "Patient number" in row)

    assert at(TIME_OUT) == at(replace(TIME_OUT, covered=False, log=(), remarks=(), readback=""))


def test_what_the_keyboard_says_goes_before_what_the_session_says() -> None:
    text = page(SHAPING, said=Said("Num Lock is off"))
    assert "Num Lock is off" in text
    assert "Logged 42" not in text


def test_remarks_that_do_not_fit_are_counted() -> None:
    remarks = tuple(replace(SHAPING.remarks[0], text=f"remark {number}") for number in range(20))
    text = page(replace(SHAPING, remarks=remarks, more_remarks=7))
    shown = sum(f" remark {number} " in text for number in range(20))
    assert 0 < shown < 20
    assert f"{20 - shown + 7} more: /12 shows all" in text


def test_steps_that_do_not_fit_are_counted_around_the_current_one() -> None:
    band = Band("!", "STOP", "word " * 60, Tone.STOP)
    text = page(replace(SHAPING, banner="practice", band=band, saying="word " * 40))
    assert "10 > Shaping" in text
    hidden = [int(row.split()[1]) for row in text.split("\n") if row.split()[:1] in (["↑"], ["↓"])]
    shown = sum(f"{step.number:>2} {step.sign or ' '} {step.title}" in text for step in SHAPING.steps)
    assert shown + sum(hidden) == 17


def test_a_window_that_became_too_small_says_so_and_keeps_the_line() -> None:
    text = page(SHAPING, (60, 15))
    assert "This window is 60 x 15; 80 x 24 are needed." in text
    assert text.split("\n")[-1].strip() == "> 35/4-0_"


@pytest.mark.parametrize("size", [(1, 1), (3, 2), (79, 24), (80, 23), (10, 40)])
def test_no_window_is_too_small_to_be_painted(size: tuple[int, int]) -> None:
    assert page(CROWDED, size)


def test_a_long_line_shows_its_end_and_a_scan_says_that_it_is_one() -> None:
    entry = entry_row("", "]d2" + "0123456789" * 30 + "\x1d" + "10AB", 80, LOOK)
    assert entry.row.text.startswith(" scan > …")
    assert "<U+001D>10AB_" in entry.row.text
    assert entry.row.text[entry.cursor] == "_"


def test_the_header_drops_clocks_before_it_cuts_the_title() -> None:
    short = page(replace(SHAPING, title="Tooth 36"), (80, 24)).split("\n")[0]
    assert short.endswith("   hypochlorite 0:09  dam 58:10   step 0:12  visit 1:07:12  14:31 ")
    long = page(replace(SHAPING, title="Tooth 36 " * 20), (80, 24)).split("\n")[0]
    assert long.endswith("…  14:31 ")


WILD = st.text(st.characters(codec="utf-8", exclude_categories=[]), max_size=60) | st.sampled_from(
    ["漢字" * 30, "\x1b[31mred", "[bold]x[/]", "a\nb\tc", "", " ", "e\u0301" * 50, "\u202e\u200d", "👩‍⚕️" * 20]
)


@settings(max_examples=60, deadline=None)
@given(st.data(), st.sampled_from(SIZES[:2]))
def test_any_text_gives_rows_of_exact_width(data: st.DataObject, size: tuple[int, int]) -> None:
    def wild() -> str:
        return data.draw(WILD)

    prompt = Prompt(
        wild(), wild(), wild(), wild(), (Choice(wild(), wild()), Choice(wild(), wild())), wild(), wild(), "", wild()
    )
    canals = (CanalCell(1, *(wild() for _ in range(7)), Tone.WARN, current=data.draw(st.booleans())),)
    remark = RemarkLine(wild(), wild(), wild(), wild(), wild(), Tone.WARN)
    view = replace(
        SHAPING, title=wild(), banner=wild(), readback=wild(), saying=wild(), armed=wild(), remarks=(remark,)
    )
    text = page(replace(view, prompt=prompt, canals=canals), size, line=wild())
    assert "\x1b" not in text
    assert len(text.split("\n")) == size[1]


@settings(max_examples=200, deadline=None)
@given(WILD, st.integers(2, 30))
def test_folding_loses_nothing_and_never_overflows(text: str, width: int) -> None:
    assert all(cell_len(row) <= width for row in fold(text, width))
    wanted = "".join("".join(clean(part).split()) for part in text.strip().split("\n"))
    assert "".join("".join(row.split()) for row in fold(text, width)) == wanted
    assert cell_len(cut(text, width)) <= width
    assert cell_len(cut_front(text, width)) <= width
    assert len(fold(text, width, 2)) <= 2


LENGTH = "ML, working length 20.5 mm."


@pytest.mark.parametrize("size", SIZES)
def test_a_measured_value_is_read_back_in_large_type_and_as_text(size: tuple[int, int]) -> None:
    view = replace(SHAPING, readback=LENGTH)
    rows = [row.rstrip() for row in page(view, size).split("\n")]
    at = next(index for index, row in enumerate(rows) if f"read aloud  {LENGTH}" in row)
    wanted = ["▀▀█ █▀█   █▀▀", "ML, working length █▀▀ █ █   ▀▀█ mm.", "▀▀▀ ▀▀▀ ▀ ▀▀▀"]
    for row, drawn in zip(rows[at + 1 : at + 4], wanted, strict=True):
        assert drawn in row
    for shown in (SHAPING.prompt.question, "recapitulate", "? ASK ML: Length by image", "42 14:29", "> 35/4-0_"):
        assert shown in "\n".join(rows)


def test_without_utf8_large_type_is_drawn_in_ascii() -> None:
    rows = page_rows(replace(SHAPING, readback=LENGTH), CLOCKS, "", None, (80, 24), Look(DARK, utf8=False))
    assert [row.rstrip() for row in large(LENGTH, 60, utf8=False)] == [
        "                    _   _     _",
        "ML, working length  _| | |   |_  mm.",
        "                   |_  |_| .  _|",
    ]
    assert any("ML, working length  _| | |   |_  mm." in row.text for row in rows)


def test_large_type_leaves_out_names_and_what_does_not_fit() -> None:
    assert large("MB2 and D, single cone.", 60, utf8=True) == []
    assert large(LENGTH, 30, utf8=True) == []
    assert large("MB2, cone 40/.04.", 60, utf8=True)[1].startswith("MB2, cone ▀▀█ █ █")


def test_large_type_gives_way_to_question_choices_and_canals() -> None:
    text = page(replace(CROWDED, readback=LENGTH))
    assert f"read aloud  {LENGTH}" in text
    assert "▀▀█" not in text
    assert "12  choice 12" in text


def test_beside_a_band_nothing_else_is_large() -> None:
    assert "▀▀█" in page(replace(ALARM, readback=LENGTH, band=None), (120, 40))
    assert "▀▀█" not in page(replace(ALARM, readback=LENGTH), (120, 40))


def test_either_every_sentence_is_in_large_type_or_none() -> None:
    two = f"MB, working length 21 mm. {LENGTH}"
    assert page(replace(SHAPING, readback=two), (120, 40)).count("working length █▀▀ █ █") == 1
    assert "█▀" not in page(replace(SHAPING, readback=f"MB, single cone. {LENGTH}"), (120, 40))
    assert "█▀" not in page(replace(SHAPING, readback=f"{two} {two}"), (120, 40))


def test_rows_are_shared_by_rank_and_never_overdrawn() -> None:
    def block(rank: int, least: int, fair: int, full: int) -> Block:
        return Block(rank, least, fair, full, lambda rows: [Strip.blank(1)] * rows)

    blocks = [block(2, 2, 4, 9), block(1, 1, 3, 3)]
    assert share(2, blocks) == [1, 1]
    assert share(5, blocks) == [2, 3]
    assert share(7, blocks) == [4, 3]
    assert share(9, blocks) == [5, 3]
    assert share(99, blocks) == [9, 3]
    in_one = [replace(blocks[0], in_one=True), replace(blocks[1], rank=3)]
    assert share(4, in_one) == [2, 2]
    assert share(5, in_one) == [4, 1]
