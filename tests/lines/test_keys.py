"""Keys in order: names of plain and kitty terminals, bursts against a simple model, scans, pastes, doubled Enter."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.lines.key_names import APPLICATION_KEYPAD, said_of
from stepper.lines.keys import (
    DOUBLED_ENTER_S,
    MOST_SCANNED,
    MOST_TYPED,
    Entered,
    Ignored,
    KeyBuffer,
    KeyRefused,
    MoveWish,
    NotOurs,
    NumLockOff,
    OpenMenu,
    Press,
    TakeOffer,
    Typed,
    WipeLine,
)

NUM_LOCK = NumLockOff("Num Lock is off; press Num Lock, then type on. Nothing was changed")

# The two name tables were measured at a terminal: sign, plain name and character, kitty name and character.
KEYPAD_NAMES: list[tuple[str, tuple[str, str | None], tuple[str, str | None]]] = [
    *[(digit, (digit, digit), (digit, None)) for digit in "0123456789"],
    (".", ("full_stop", "."), ("decimal", None)),
    (".", ("comma", ","), ("decimal", ",")),
    (".", ("comma", ","), ("separator", None)),
    ("/", ("slash", "/"), ("divide", None)),
    ("*", ("asterisk", "*"), ("multiply", None)),
    ("-", ("minus", "-"), ("subtract", None)),
    ("+", ("plus", "+"), ("add", None)),
]


def type_all(buffer: KeyBuffer, text: str) -> Press:
    """Press every character of `text`; the last result."""
    result: Press = Ignored()
    for sign in text:
        result = buffer.press(sign, sign, 0.0)
    return result


def filled(text: str) -> KeyBuffer:
    buffer = KeyBuffer()
    type_all(buffer, text)
    assert buffer.line == text
    return buffer


@pytest.mark.parametrize(("sign", "plain", "kitty"), KEYPAD_NAMES)
def test_plain_and_kitty_names_type_the_same_sign(
    sign: str, plain: tuple[str, str | None], kitty: tuple[str, str | None]
) -> None:
    for key, character in (plain, kitty):
        assert filled("2").press(key, character, 0.0) == Typed(f"2{sign}")
        assert KeyBuffer().press(key, character, 0.0) == Typed(sign)


@pytest.mark.parametrize(("key", "character"), [("enter", "\r"), ("enter", None), ("ctrl+j", "\n"), ("ctrl+j", None)])
def test_every_name_of_enter_enters_the_line_and_begins_a_new_one(key: str, character: str | None) -> None:
    buffer = filled("20.5")
    assert buffer.press(key, character, 1.0) == Entered("20.5")
    assert buffer.line == ""


@pytest.mark.parametrize(
    "key", ["home", "end", "insert", "delete", "pageup", "pagedown", "kp_begin", "kp_home", "\ue053"]
)
def test_keypad_names_without_num_lock_change_nothing_and_are_said(key: str) -> None:
    for buffer in (KeyBuffer(), filled("2*2"), filled("]d2")):
        before = buffer.line
        assert buffer.press(key, key if len(key) == 1 else None, 0.0) == NUM_LOCK
        assert buffer.line == before


@pytest.mark.parametrize("key", ["up", "down", "left", "right"])
def test_arrows_move_on_an_empty_line_and_are_num_lock_off_in_a_typed_one(key: str) -> None:
    assert KeyBuffer().press(key, None, 0.0) == MoveWish(key)  # type: ignore[arg-type]
    buffer = filled("20")
    assert buffer.press(key, None, 0.0) == NUM_LOCK
    assert buffer.line == "20"


MOVED = NumLockOff("Num Lock is off; press Num Lock. The keys before it were arrows and have moved: look where you are")
NOT_TAKEN = NumLockOff(
    "Enter was not taken: the key before it was no digit. If one was meant, press Num Lock and type it; "
    "if not, press Enter again"
)


def test_a_number_typed_without_num_lock_says_that_its_arrows_have_moved() -> None:
    buffer = KeyBuffer()  # 20.5, as a plain terminal sends it
    assert [buffer.press(key, None, 0.0) for key in ("down", "insert", "delete", "kp_begin")] == [
        MoveWish("down"),
        MOVED,
        MOVED,
        MOVED,
    ]
    assert buffer.press("enter", "\r", 9.0) == NOT_TAKEN
    assert buffer.press("enter", "\r", 18.0) == Entered("")


@pytest.mark.parametrize(("typed", "key"), [("", "down"), ("", "home"), ("12", "home"), ("12", "down")])
def test_an_enter_right_after_a_lost_digit_is_asked_for_once_more(typed: str, key: str) -> None:
    buffer = filled(typed)
    buffer.press(key, None, 0.0)
    buffer.press("num_lock", None, 1.0)
    assert buffer.press("ctrl+j", None, 2.0) == NOT_TAKEN
    assert buffer.line == typed
    assert buffer.press("enter", None, 2.1) == Entered(typed)


@pytest.mark.parametrize(("key", "character"), [("3", "3"), ("backspace", None), ("escape", None)])
def test_whoever_goes_on_typing_has_looked(key: str, character: str | None) -> None:
    buffer = filled("12")
    buffer.press("home", None, 0.0)
    buffer.press(key, character, 1.0)
    assert isinstance(buffer.press("enter", None, 2.0), Entered)


def test_where_nothing_is_logged_an_enter_may_follow_an_arrow() -> None:
    buffer = KeyBuffer()
    buffer.bounces = False
    buffer.press("down", None, 0.0)
    assert buffer.press("enter", None, 0.1) == Entered("")


@pytest.mark.parametrize("key", ["ctrl+d", "ctrl+backslash", "ctrl+circumflex_accent", "ctrl+underscore"])
def test_a_separator_belongs_into_a_scan_and_is_no_line_of_its_own(key: str) -> None:
    assert KeyBuffer().press(key, None, 0.0) == NotOurs(key)
    assert isinstance(filled("]d2").press(key, None, 0.0), Typed)
    assert KeyBuffer().press("ctrl+right_square_bracket", None, 0.0) == Typed("\x1d")


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("ctrl+c", "Ctrl+Q leaves"),
        ("ctrl+z", "Ctrl+Q leaves"),
        ("ctrl+s", "The key ctrl+s means nothing here; nothing was changed"),
        ("f2", "If it was / on the keypad"),
        ("f4", "If it was - on the keypad"),
        (APPLICATION_KEYPAD, "If it was + on the keypad"),
    ],
)
def test_what_a_key_is_not_good_for_is_said(key: str, said: str) -> None:
    assert filled("2").press(key, None, 0.0) == NotOurs(key)
    assert said in said_of(key)


@pytest.mark.parametrize("key", ["num_lock", "left_shift", "right_control", "caps_lock", "iso_level3_shift"])
def test_a_modifier_on_its_own_does_nothing(key: str) -> None:
    buffer = filled("20")
    assert buffer.press(key, None, 0.0) == Ignored()
    assert buffer.line == "20"


@pytest.mark.parametrize(("key", "character"), [("ctrl+q", "\x11"), ("f2", None), ("ctrl+a", "\x01"), ("alt+x", None)])
def test_a_key_that_is_no_part_of_a_line_is_passed_on(key: str, character: str | None) -> None:
    buffer = filled("20")
    assert buffer.press(key, character, 0.0) == NotOurs(key)
    assert buffer.line == "20"


def test_escape_wipes_tab_takes_an_offer_and_a_question_mark_opens_the_menu() -> None:
    buffer = filled("2*20")
    assert buffer.press("tab", "\t", 0.0) == Ignored()
    assert buffer.press("question_mark", "?", 0.0) == Typed("2*20?")
    assert buffer.press("escape", None, 0.0) == WipeLine()
    assert buffer.line == ""
    assert buffer.press("tab", "\t", 0.0) == TakeOffer()
    assert buffer.press("question_mark", "?", 0.0) == OpenMenu()
    assert buffer.press("question_mark", None, 0.0) == OpenMenu()
    assert buffer.line == ""


def test_backspace_takes_one_off_and_an_empty_line_stays_empty() -> None:
    buffer = filled("12")
    assert [buffer.press("backspace", "\x7f", 0.0) for _ in range(3)] == [Typed("1"), Typed(""), Typed("")]


def test_an_empty_enter_soon_after_the_last_one_is_ignored_and_a_full_one_is_not() -> None:
    buffer = filled("1")
    assert buffer.press("enter", None, 10.0) == Entered("1")
    assert buffer.press("enter", None, 10.0 + DOUBLED_ENTER_S - 0.1) == Ignored()
    type_all(buffer, "2")
    assert buffer.press("enter", None, 10.7) == Entered("2")
    assert buffer.press("ctrl+j", None, 10.8) == Ignored()
    assert buffer.press("enter", None, 10.8 + DOUBLED_ENTER_S + 0.1) == Entered("")
    buffer.press("space", " ", 11.7)
    assert buffer.press("enter", None, 11.8) == Ignored()


def test_the_very_first_empty_enter_counts() -> None:
    assert KeyBuffer().press("enter", None, 0.0) == Entered("")


def test_the_doubled_enter_is_within_seven_tenths_of_a_second() -> None:
    assert DOUBLED_ENTER_S == 0.7


def test_letters_and_other_scripts_enter_the_line() -> None:
    buffer = KeyBuffer()
    for key, character in [("É", "É"), ("shift+a", None), ("shift+space", " "), ("space", " "), ("日", "日")]:
        buffer.press(key, character, 0.0)
    assert buffer.line == "ÉA  日"


def test_a_comma_is_a_point_among_keypad_signs_and_a_comma_in_words_and_scans() -> None:
    assert filled("20").press("comma", ",", 0.0) == Typed("20.")
    assert filled("pain").press("comma", ",", 0.0) == Typed("pain,")
    assert filled("]d2").press("comma", ",", 0.0) == Typed("]d2,")
    assert filled("]d2").press("full_stop", ".", 0.0) == Typed("]d2.")


@pytest.mark.parametrize("character", ["\x1d", None])
def test_a_scan_keeps_its_separators_and_ends_only_at_enter(character: str | None) -> None:
    buffer = KeyBuffer()
    buffer.press("right_square_bracket", "]", 0.0)
    type_all(buffer, "d217")
    assert buffer.scanning
    buffer.press("ctrl+right_square_bracket", character, 0.0)
    type_all(buffer, "10AB")
    buffer.press("ctrl+circumflex_accent", None, 0.0)
    buffer.press("ctrl+d", None, 0.0)
    assert buffer.press("enter", None, 0.0) == Entered("]d217\x1d10AB\x1e\x04")
    assert not buffer.scanning


def test_speed_never_turns_typed_keys_into_a_scan() -> None:
    buffer = KeyBuffer()
    type_all(buffer, "010401234567890117")
    assert not buffer.scanning


@pytest.mark.parametrize(("opening", "most"), [("1", MOST_TYPED), ("]", MOST_SCANNED)])
def test_a_full_line_says_so_and_is_wiped_rather_than_entered_cut_short(opening: str, most: int) -> None:
    buffer = KeyBuffer()
    type_all(buffer, opening + "2" * (most - 1))
    assert len(buffer.line) == most
    sentence = f"Line full: {most} characters at most, the rest is not taken. Enter wipes the line"
    assert type_all(buffer, "3") == KeyRefused(sentence)
    assert len(buffer.line) == most
    again = "scan it again" if opening == "]" else "type it again"
    shown = opening + "2" * 39
    wiped = KeyRefused(f"{shown}...: not entered, since not all of it was taken; {again}")
    assert buffer.press("enter", None, 0.0) == wiped
    assert buffer.line == ""
    type_all(buffer, "1")
    assert buffer.press("enter", None, 0.0) == Entered("1")


def test_a_full_line_that_a_person_shortened_may_be_entered() -> None:
    buffer = KeyBuffer()
    type_all(buffer, "2" * (MOST_TYPED + 1))
    buffer.press("backspace", None, 0.0)
    assert buffer.press("enter", None, 0.0) == Entered("2" * (MOST_TYPED - 1))


def test_a_sign_that_the_terminal_does_not_tell_spoils_the_line() -> None:
    buffer = filled("]d2")
    said = KeyRefused("This terminal does not say which sign was typed with Shift; the sign was not taken")
    assert buffer.press("shift+8", None, 0.0) == said
    refused = buffer.press("enter", None, 0.0)
    assert refused == KeyRefused("]d2: not entered, since not all of it was taken; scan it again")


def test_a_paste_keeps_separators_and_takes_a_line_end_for_enter() -> None:
    buffer = KeyBuffer()
    assert buffer.paste("]d217\x1d10AB\x1e\r\n12\n34", 0.0) == [
        Typed("]d217\x1d10AB\x1e"),
        Entered("]d217\x1d10AB\x1e"),
        Typed("12"),
        Entered("12"),
        Typed("34"),
    ]
    assert buffer.paste("\r\r", 5.0) == [Entered("34"), Ignored()]


def test_a_paste_too_long_is_said_once_and_never_entered() -> None:
    buffer = KeyBuffer()
    results = buffer.paste("1" * (MOST_TYPED + 50) + "\n", 0.0)
    assert [type(result) for result in results] == [Typed, KeyRefused, KeyRefused]
    assert buffer.line == ""


def reference(burst: list[str]) -> tuple[list[str], str]:
    """Lines entered and the line left over, by the simplest model; keys are a second apart."""
    entered, line = [], ""
    for key in burst:
        if key == "enter":
            entered.append(line)
            line = ""
        elif key == "backspace":
            line = line[:-1]
        elif key == "escape":
            line = ""
        elif key == "gs":
            line += "\x1d"
        else:
            line += key
    return entered, line


NAMES: dict[str, dict[str, tuple[str, str | None]]] = {
    "plain": {".": ("full_stop", "."), "/": ("slash", "/"), "*": ("asterisk", "*"), "-": ("minus", "-"),
              "+": ("plus", "+"), "enter": ("enter", "\r"), "gs": ("ctrl+right_square_bracket", "\x1d")},
    "kitty": {".": ("decimal", None), "/": ("divide", None), "*": ("multiply", None), "-": ("subtract", None),
              "+": ("add", None), "enter": ("ctrl+j", None), "gs": ("ctrl+right_square_bracket", None)},
}  # fmt: skip

BURSTS = st.lists(st.sampled_from([*"0123456789.+-*/]a", "enter", "enter", "backspace", "escape", "gs"]), max_size=40)


@pytest.mark.parametrize("terminal", ["plain", "kitty"])
@given(burst=BURSTS)
def test_any_burst_of_keys_is_taken_in_order(terminal: str, burst: list[str]) -> None:
    buffer, entered = KeyBuffer(), []
    for second, key in enumerate(burst):
        result = buffer.press(*NAMES[terminal].get(key, (key, key if len(key) == 1 else None)), float(second))
        if isinstance(result, Entered):
            entered.append(result.line)
    assert (entered, buffer.line) == reference(burst)


@given(st.text(), st.one_of(st.none(), st.text(max_size=2)))
def test_no_key_ever_raises_and_only_some_change_the_line(key: str, character: str | None) -> None:
    buffer = filled("20")
    result = buffer.press(key, character, 0.0)
    match result:
        case Typed(line):
            assert buffer.line == line
        case Entered() | WipeLine():
            assert buffer.line == ""
        case _:
            assert buffer.line == "20"


@given(st.text(st.characters(exclude_categories=()), max_size=300))
def test_a_paste_loses_no_character(pasted: str) -> None:
    buffer = filled("a")
    results = buffer.paste(pasted, 0.0)
    entered = [result.line for result in results if isinstance(result, Entered)]
    ignored = sum(isinstance(result, Ignored) for result in results)
    lines = pasted.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    assert len(entered) + ignored + 1 == len(lines)
    blanks_and_commas = str.maketrans({",": ".", " ": None, "\t": None})  # a blank line may be a doubled Enter
    kept = "".join(entered) + buffer.line
    assert kept.translate(blanks_and_commas) == ("a" + "".join(lines)).translate(blanks_and_commas)


def test_where_it_can_do_no_harm_an_empty_enter_may_follow_at_once() -> None:
    buffer = KeyBuffer()
    assert buffer.press("enter", None, 1.0) == Entered("")
    assert buffer.press("enter", None, 1.1) == Ignored()
    buffer.bounces = False
    assert buffer.press("enter", None, 1.2) == Entered("")
    assert buffer.press("enter", None, 1.2) == Entered("")
    buffer.bounces = True
    assert buffer.press("enter", None, 1.3) == Ignored()
