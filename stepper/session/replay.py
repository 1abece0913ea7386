"""Replay: a session that is past, entry by entry, as it was played, or page by page; and where work on it begins.

Going through it writes nothing and locks nothing. What is corrected, written or signed goes through `Review`.
"""

from __future__ import annotations

import contextlib
from dataclasses import replace
from pathlib import Path

from stepper.case.state import Case
from stepper.lines.grammar import Answer, Command, CommandName, Empty, Line, Wipe, read_line
from stepper.note.addendum import not_signed
from stepper.protocol.settings import read_settings
from stepper.record.clock import SystemClock
from stepper.record.continuing import last_path
from stepper.record.problems import Unreadable
from stepper.session.latch import NUMBER, Latch
from stepper.session.note_page import NotePage
from stepper.session.pages import LEAST_ROWS, PagedText
from stepper.session.paint import time_of_day
from stepper.session.past import Past
from stepper.session.playing import SPEEDS, Playing
from stepper.session.replay_ways import END, LEAVE, RELIEVE, SPEED, START, Opens, correct, menu, offered, text_of, work
from stepper.session.replayed import entry_clocks, entry_view
from stepper.session.review import Review, Study
from stepper.session.store import read_case
from stepper.session.view import ChairView, Clocks, Tone
from stepper.session.walking import walked


def open_replay(path: Path, why: str = "", study: Study | None = None) -> Replay:
    """Read a session of any mode, in any folder, to replay it; `why` it is only read. Raises Unreadable.

    With a `study` it can be worked on, unless it is damaged or `why` says otherwise. Of several files of one session
    the last is taken, which holds what counts of those before it.
    """
    last = last_path(path)
    if last != path:
        with contextlib.suppress(Unreadable):
            return _opened(last, why, study, f"{path.name} goes on in {last.name}; all of it is replayed.")
    return _opened(path, why, study)


def _opened(path: Path, why: str, study: Study | None, told: str = "") -> Replay:
    found, case, fault = read_case(path)
    damage = found.damage
    if case is None:
        whole = damage.sentence if damage is not None and not found.entries else fault
        raise Unreadable(whole.split("\n")[0])
    if damage is not None:
        return Replay(Past(case), path, damage.sentence, damaged=True)
    cut_off = "The last entry was cut off while it was being saved, and is not shown." if found.unfinished else ""
    return Replay(Past(case), path, why or f"{told} {cut_off or _signed(case)}".strip(), study=None if why else study)


def _signed(case: Case) -> str:
    """Say who signed a session last."""
    if not case.signatures:
        return ""
    last = case.signatures[-1]
    more = " What came after it is not signed." if not_signed(case) else ""
    return f"Signed by {last.name} ({last.initials}).{more} What is added now is an addendum."


class Replay:
    """A desk at which a session is gone through. `said` is said before anything is keyed."""

    def __init__(
        self, past: Past, path: Path, said: str = "", *, damaged: bool = False, study: Study | None = None
    ) -> None:
        self._past = past
        self._path = path
        self._saying, self._tone = said, Tone.WARN
        self.damaged = damaged
        self.theme = read_settings(past.case.header.settings, path.name).theme
        self._study = study
        self._clock = study.clock if study is not None else SystemClock()
        self._text: PagedText | NotePage | None = None
        self._in_menu = False
        self._playing: Playing | None = None
        self._review: Review | None = None
        self._rows = LEAST_ROWS
        self.latch = Latch()
        self.over = False

    @property
    def pending(self) -> str:
        """The line that could not be saved."""
        return self._review.pending if self._review is not None else ""

    @property
    def _working(self) -> bool:
        return self._review is not None and self._review.asking

    def enter(self, text: str) -> None:
        """Take one entered line."""
        if self._review is not None and self._review.asking:
            self._work_on(self._review, text)
            return
        line, played = read_line(text), self._playing
        self._saying = ""
        if played is not None:
            self._catch_up()
            self._playing = None
            if isinstance(line, Empty):
                self._say(f"Stopped at entry {self._past.at}.", Tone.PLAIN)
                return
        if isinstance(line, Command) and line.name is CommandName.MENU:
            self._in_menu = not self._in_menu
        elif isinstance(line, Wipe):
            self._say("Wiped.", Tone.PLAIN)
        elif self._in_menu:
            self._choose(line)
        elif self._text is not None:
            self._turn(self._text, line)
        else:
            self._walk(line)

    def view(self) -> ChairView:
        """Give what to show."""
        self._catch_up()
        worked = self._review.view() if self._review is not None and self._review.asking else None
        if worked is not None:
            return worked
        made = entry_view(self._past, self._saying, self._tone, file=self._path.name, damaged=self.damaged)
        made = replace(made, over=self.over)
        if self._review is not None and self._review.asking:
            saying, tone = self._review.said
            return replace(made, prompt=self._review.people(), saying=saying, saying_tone=tone)
        if self._in_menu:
            return replace(made, prompt=menu(self.latch))
        if self._text is None:
            return made
        prompt = replace(made.prompt, legend=self._text.legend)
        return replace(made, page=self._text.page(), prompt=prompt, saying=self._saying, saying_tone=self._tone)

    def answer(self, before: ChairView) -> ChairView | None:  # noqa: ARG002 - the whole changes with every line
        """Have nothing to show before the whole."""
        return None

    def clocks(self) -> Clocks:
        """Give the clocks as they stood at the entry, or stand at the moment that is played."""
        if self._working:
            return Clocks(time_of_day(self._clock.now()), entry=self._past.at)
        self._catch_up()
        moment = self._playing.moment(self._clock.now()) if self._playing is not None else None
        return entry_clocks(self._past, moment)

    def _catch_up(self) -> None:
        """Go on to the entry that was keyed by the moment that is played; after the last one it stops."""
        if self._playing is None:
            return
        at = self._playing.at(self._clock.now())
        if at != self._past.at:
            self._past.go(at)
        if at == self._past.last:
            self._playing = None
            self._say("This is the last entry.", Tone.PLAIN)

    def fit(self, rows: int) -> None:
        """Take so many rows for a page of text from now on."""
        self._rows = rows
        if self._text is not None:
            self._text.fit(rows)
        if self._review is not None:
            self._review.fit(rows)

    def typing(self, line: str) -> None:
        """Keep nothing: a half-typed line would have to be written somewhere."""

    def move(self, direction: str) -> None:
        """Go on (right, down) or back (left, up), by an entry or by a page."""
        if not self._in_menu and not self._working:
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
        """Close the file, where it was opened to be worked on."""
        if self._review is not None:
            self._review.leave()

    def _say(self, text: str, tone: Tone = Tone.WARN) -> None:
        self._saying, self._tone = text, tone

    def _walk(self, line: Line) -> None:
        """Go to another entry, open the note, or correct the entry."""
        match line:
            case Command(CommandName.REPEAT):
                self._text = text_of("2", self._past, self._rows)
            case Command(CommandName.INCIDENT):
                self._text = text_of("6", self._past, self._rows)
            case Command(CommandName.CLOCK):
                self._say(self.clocks().in_words, Tone.PLAIN)
            case Command(CommandName.CORRECT):
                self._begin(correct(self._past.entry))
            case _:
                self._say(*walked(self._past, line))

    def _choose(self, line: Line) -> None:
        """Take a line of the menu."""
        typed = line.fields[0] if isinstance(line, Answer) and line.canals is None and len(line.fields) == 1 else ""
        if typed not in ("0", *offered(self.latch)) and not isinstance(line, Empty):
            self._say("Type one of the numbers that are listed, then Enter; 0 goes back.")
            return
        self._in_menu = False
        opens = work(typed, self._study.data) if self._study is not None else None
        if typed == RELIEVE:
            self.leave()
            self._review = None
        if typed in (START, END):
            self._text = None
            self._past.go(0 if typed == START else self._past.last)
        elif typed == LEAVE:
            self.over = True
        elif typed == str(NUMBER):
            self.latch.lock()
        elif typed in SPEED:
            self._text = None
            self._play(SPEED[typed])
        elif opens is not None:
            self._begin(opens)
        elif (text := text_of(typed, self._past, self._rows)) is not None:
            self._text = text
        elif typed not in ("", "0"):
            self._begin(None)

    def _play(self, speed: int) -> None:
        self._playing = Playing(self._past.entries, self._past.at, self._clock.now().mono_us, speed)
        self._say(f"Playing {SPEEDS[speed]}; Enter stops.", Tone.PLAIN)

    def _begin(self, opens: Opens | None) -> None:
        """Begin to work on the record, where that can be."""
        case = self._past.whole
        if self._study is None or opens is None:
            self._say("Only to be read here.")
        elif not case.closed and case.void is None:
            self._say("This visit is not closed: go on with it at the chair. What is over is worked on here.")
        else:
            self._text = None
            if self._review is None:
                self._review = Review(self._path, self._study, case, self._rows)
            self._review.begin(opens)
            self._worked()

    def _work_on(self, review: Review, text: str) -> None:
        review.enter(text)
        self._worked()

    def _worked(self) -> None:
        """Where something was worked on and that is over, show the record as it is now, and the last entry of it."""
        review = self._review
        if review is None or review.asking:
            return
        self._say(*review.said)
        case = review.case
        if review.signed is not None:  # it was written by whoever signs, and the next thing is an addendum
            self._review = None
            case = read_case(last_path(self._path))[1] or case
        if len(case.entries) > len(self._past.entries):
            self._past = Past(case)
            self._past.go(self._past.last)

    def _turn(self, text: PagedText | NotePage, line: Line) -> None:
        """Turn a page, go to the lines of an entry, or close the text."""
        match line:
            case Empty():
                if not text.turn(1):
                    self._say("This is the last page; * closes it.", Tone.PLAIN)
            case Command(CommandName.LOOK_BACK):
                if not text.turn(-1):
                    self._say("This is the first page.", Tone.PLAIN)
            case Command(CommandName.REPEAT) | Answer(None, ("0",)):
                self._text = None
            case Answer(None, (number,)) if number.isdecimal() and len(number) < 7 and isinstance(text, NotePage):
                found = text.find(int(number))
                lines = f"{found} {'line' if found == 1 else 'lines'}, marked >" if found else "nothing"
                self._say(f"From entry {number} came {lines}.", Tone.PLAIN)
            case _:
                self._say(f"{text.legend}.")
