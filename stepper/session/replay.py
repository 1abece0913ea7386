"""Replay: a session that is past, entry by entry. Read only: nothing is opened for writing, nothing is locked."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from stepper.case.state import Case
from stepper.lines.grammar import Answer, Command, CommandName, Empty, GoCanal, GoStep, Line, Wipe, read_line
from stepper.note.addendum import not_signed
from stepper.note.compose import compose
from stepper.note.text import render
from stepper.note.words import title
from stepper.protocol.settings import read_settings
from stepper.record.problems import Unreadable
from stepper.session.pages import PagedText
from stepper.session.past import Past
from stepper.session.replayed import entry_clocks, entry_view, sound_rows, standing_rows
from stepper.session.store import read_case
from stepper.session.view import ChairView, Choice, Clocks, Prompt, Tone

PAGE_LEGEND = "Enter next page  - page back  * close  / menu"
MENU_LEGEND = "number Enter: choose   Enter back to the entry"
KEYS = "Enter next, - back, + next remark, 17 entry 17, 2* canal 2, 7/ step 7, * note, // what rang, / menu."
WAYS = (
    "what stands: the remarks",
    "the note as it stood",
    "to the start",
    "to the end",
    "leave the replay",
    "what came of each sound",
)
LEAST_ROWS = 18
"""Rows of a page on the smallest screen."""


def open_replay(path: Path, why: str = "") -> Replay:
    """Read a session of any mode, in any folder, to replay it; `why` it is only read. Raises Unreadable."""
    found, case, fault = read_case(path)
    damage = found.damage
    if case is None:
        whole = damage.sentence if damage is not None and not found.entries else fault
        raise Unreadable(whole.split("\n")[0])
    if damage is not None:
        return Replay(Past(case), path.name, damage.sentence, damaged=True)
    cut_off = "The last entry was cut off while it was being saved, and is not shown." if found.unfinished else ""
    return Replay(Past(case), path.name, why or cut_off or _signed(case, path))


def _signed(case: Case, path: Path) -> str:
    """Say who signed a session last, and what adds to it all the same."""
    if not case.signatures:
        return ""
    last = case.signatures[-1]
    more = " What came after it is not signed." if not_signed(case) else ""
    return f"Signed by {last.name} ({last.initials}).{more} stepper addendum {path.name} adds to it."


class Replay:
    """A desk at which a session is gone through. `said` is said before anything is keyed."""

    def __init__(self, past: Past, file: str, said: str = "", *, damaged: bool = False) -> None:
        self._past = past
        self._file = file
        self._saying, self._tone = said, Tone.WARN
        self.damaged = damaged
        self.theme = read_settings(past.case.header.settings, file).theme
        self._text: PagedText | None = None
        self._in_menu = False
        self._rows = LEAST_ROWS
        self.pending = ""
        self.over = False

    def enter(self, text: str) -> None:
        """Take one entered line."""
        line = read_line(text)
        self._saying = ""
        if isinstance(line, Command) and line.name is CommandName.MENU:
            self._in_menu = not self._in_menu
        elif isinstance(line, Wipe):
            self._say("Wiped.", Tone.PLAIN)
        elif self._in_menu:
            self._choose(line)
        elif self._text is not None:
            self._turn(line)
        else:
            self._walk(line)

    def view(self) -> ChairView:
        """Give what to show."""
        made = entry_view(self._past, self._saying, self._tone, file=self._file, damaged=self.damaged)
        made = replace(made, over=self.over)
        if self._in_menu:
            return replace(made, prompt=_menu())
        if self._text is None:
            return made
        prompt = replace(made.prompt, legend=PAGE_LEGEND)
        return replace(made, page=self._text.page(), prompt=prompt, saying=self._saying, saying_tone=self._tone)

    def answer(self, before: ChairView) -> ChairView | None:  # noqa: ARG002 - the whole changes with every line
        """Have nothing to show before the whole."""
        return None

    def clocks(self) -> Clocks:
        """Give the clocks as they stood at the entry."""
        return entry_clocks(self._past)

    def fit(self, rows: int) -> None:
        """Take so many rows for a page of text from now on."""
        self._rows = rows
        if self._text is not None:
            self._text.fit(rows)

    def typing(self, line: str) -> None:
        """Keep nothing: a half-typed line would have to be written somewhere."""

    def move(self, direction: str) -> None:
        """Go on (right, down) or back (left, up), by an entry or by a page."""
        if not self._in_menu:
            self.enter("" if direction in ("right", "down") else "-")

    def take_offer(self) -> None:
        """Do as Enter does."""
        self.enter("")

    def menu(self) -> None:
        """Open the menu."""
        if not self._in_menu:
            self.enter("/")

    def bells(self) -> int:
        """Ring never: a remark that rang says so."""
        return 0

    def leave(self) -> None:
        """Close nothing: nothing is open."""

    def _say(self, text: str, tone: Tone = Tone.WARN) -> None:
        self._saying, self._tone = text, tone

    def _walk(self, line: Line) -> None:
        """Go to another entry, or open the note."""
        past = self._past
        match line:
            case Empty() if past.at == past.last:
                self._say("This is the last entry; / then 5 leaves.", Tone.PLAIN)
            case Command(CommandName.LOOK_BACK) if past.at == 0:
                self._say("This is the first entry.", Tone.PLAIN)
            case Empty():
                past.go(past.at + 1)
            case Command(CommandName.LOOK_BACK):
                past.go(past.at - 1)
            case Command(CommandName.FINISH):
                self._find(past.next_remark(), f"No further remark comes up after entry {past.at}.")
            case Command(CommandName.REPEAT):
                self._open_note()
            case Command(CommandName.INCIDENT):
                self._open_sounds()
            case Command(CommandName.CLOCK):
                self._say(self.clocks().in_words, Tone.PLAIN)
            case Answer(None, (number,)) if number.isdecimal():
                self._go_to(number)
            case GoCanal(canal):
                self._find(past.next_of_canal(canal), f"Canal {canal} has no entry after entry {past.at}.")
            case GoStep(number):
                self._go_step(number)
            case _:
                self._say(f"Nothing is logged in replay. {KEYS}")

    def _go_to(self, typed: str) -> None:
        past = self._past
        if len(typed) > 9 or int(typed) > past.last:
            self._say(f"There is no entry {typed:.12}; they are numbered from 0 to {past.last}.")
        else:
            past.go(int(typed))

    def _find(self, found: int | None, none: str) -> None:
        if found is None:
            self._say(none, Tone.PLAIN)
        else:
            self._past.go(found)

    def _go_step(self, number: int) -> None:
        steps = self._past.case.protocol.step
        if not 1 <= number <= len(steps):
            self._say(f"There is no step {number}; steps are 1 to {len(steps)}.")
            return
        step = steps[number - 1]
        self._find(self._past.first_of_step(step.id), f"{title(self._past.case.protocol, step.id)} has no entry.")

    def _choose(self, line: Line) -> None:
        """Take a line of the menu."""
        typed = line.fields[0] if isinstance(line, Answer) and line.canals is None and len(line.fields) == 1 else ""
        if typed not in ("0", "1", "2", "3", "4", "5", "6") and not isinstance(line, Empty):
            self._say(f"Type one of 1 to {len(WAYS)}, then Enter; 0 goes back.")
            return
        self._in_menu = False
        match typed:
            case "1":
                self._text = PagedText(f"What stood at entry {self._past.at}", standing_rows(self._past), self._rows)
            case "2":
                self._open_note()
            case "3" | "4":
                self._text = None
                self._past.go(0 if typed == "3" else self._past.last)
            case "5":
                self.over = True
            case "6":
                self._open_sounds()

    def _open_note(self) -> None:
        rows = tuple(render(compose(self._past.case)).rstrip("\n").split("\n"))
        self._text = PagedText(f"The note as it stood at entry {self._past.at}", rows, self._rows)

    def _open_sounds(self) -> None:
        rows = sound_rows(self._past)
        self._text = PagedText(f"What came of each sound, up to entry {self._past.at}", rows, self._rows)

    def _turn(self, line: Line) -> None:
        """Turn a page or close the text."""
        text = self._text
        assert text is not None
        match line:
            case Empty():
                if not text.turn(1):
                    self._say("This is the last page; * closes it.", Tone.PLAIN)
            case Command(CommandName.LOOK_BACK):
                if not text.turn(-1):
                    self._say("This is the first page.", Tone.PLAIN)
            case Command(CommandName.REPEAT):
                self._text = None
            case _:
                self._say("Enter next page, - page back, * closes it and goes back to the entry.")


def _menu() -> Prompt:
    ways = tuple(Choice(str(number), text) for number, text in enumerate(WAYS, start=1))
    return Prompt("Replay", "", "Where to?", "", ways, "", "back to the entry", "", MENU_LEGEND)
