"""The app: every key passes one router in the order it came, the desk answers, the sheet is painted anew."""

from __future__ import annotations

import asyncio
import gc
from pathlib import Path
from typing import ClassVar, assert_never

from textual import events
from textual.app import App, ComposeResult
from textual.geometry import Offset, Size

from stepper.lines.key_names import said_of
from stepper.lines.keys import (
    ARROW,
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
from stepper.screens.crash import note_crash
from stepper.screens.desk import Desk
from stepper.screens.job_control import JobControl
from stepper.screens.opening import REFUSED, NotOpened, Opener
from stepper.screens.page import Said, entry_row, page_rows
from stepper.screens.page_size import LEAST_HEIGHT, LEAST_WIDTH, text_height
from stepper.screens.palette import Look, ThemeName, palette_for
from stepper.screens.paper import Paper
from stepper.screens.shown import WHOLE_S, Shown
from stepper.screens.terminal import Modes, TerminalWatch, heed

_SECOND_RING_S = 0.35
"""Between two rings, in seconds; closer ones sound like one on many terminals."""


class ChairApp(App[None], inherit_bindings=False):
    """The chairside screen, and the start screen before it; which one it is, the desk decides.

    No widget takes keys, so none can lose them; there are no further screens and no boxes on top of this one.
    """

    ENABLE_COMMAND_PALETTE: ClassVar[bool] = False
    CSS = "Screen { overflow: hidden; }"

    def __init__(
        self,
        desk: Desk,
        crash_folder: Path,
        theme: ThemeName = "dark",
        found: Modes | None = None,
        then: Opener | None = None,
        *,
        utf8: bool = True,
    ) -> None:
        """Show `desk`, then what `then` makes. `found`: the terminal's modes as they were; `utf8`: what it can show."""
        super().__init__()
        self.animation_level = "none"
        self.last_line = ""
        self._then = then
        self._early: list[events.Key | events.Paste] = []
        self._desk = desk
        self._crash_folder = crash_folder
        self._look = Look(palette_for(theme, self.console.color_system), utf8)
        self._keys = KeyBuffer()
        self._offer_pending()
        self._journalled = self._keys.line
        self._shown = Shown(desk)
        self._said: Said | None = None
        self._extent = Size(0, 0)
        self._ended = self._left = False
        self._paper = Paper(utf8=utf8)
        self._watch: TerminalWatch | None = None
        self._jobs = JobControl(self, found)

    def _offer_pending(self) -> None:
        """Put back into the line what the desk still holds of it: half typed before a crash, or not saved."""
        self._keys.paste("".join(sign for sign in self._desk.pending if sign not in "\r\n"), now=0.0)

    def _ask(self) -> None:
        """Ask the desk what to show; where nothing is logged, a quick Enter is no bounce but haste."""
        self._shown.ask(self._desk)
        if self._keys.mask(on=self._shown.view.masked):
            self._said, self._journalled = None, ""
        self._keys.bounces, self._keys.words = not self._shown.view.read_only, self._shown.view.words

    def compose(self) -> ComposeResult:
        """Lay out the one sheet."""
        yield self._paper

    def on_mount(self) -> None:
        """Begin with the clock, the signals and the watch over the terminal."""
        self.screen.styles.background = self._look.palette.ground
        self.set_interval(1.0, self._tick)
        if self.is_headless:
            return
        loop = asyncio.get_running_loop()
        self._jobs.listen(loop)
        self._watch = heed(loop, self.end)

    def on_ready(self) -> None:
        """Set the terminal as this screen wants it."""
        self._jobs.own_modes()

    def on_resize(self, event: events.Resize) -> None:
        """Paint for the new size; what is typed stays."""
        first, self._extent = not self._extent, event.size
        self._fit()
        if first:
            self.call_after_refresh(self._open)

    def _fit(self) -> None:
        self._desk.fit(text_height(self._extent.height))
        self._ask()
        self._paint()

    def _open(self) -> None:
        """Make the desk behind the screen that stands, and take what was typed meanwhile to it."""
        try:
            if self._then:
                self._desk = self._then()
                self._offer_pending()
                self._fit()
        except NotOpened as error:
            self.last_line = str(error)
            self.end(REFUSED)
        self._then = None
        gc.freeze()  # what is loaded by now stays until the end
        gc.enable()
        for event in self._early:
            self._typed_at(event)

    async def on_event(self, event: events.Event) -> None:
        """Take every key and paste here, at once and in order; anything else goes its usual way."""
        if isinstance(event, events.Key | events.Paste) and not event.is_forwarded:
            event.stop()
            self._early.append(event) if self._then else self._typed_at(event)
        else:
            await super().on_event(event)

    def _typed_at(self, event: events.Key | events.Paste) -> None:
        if isinstance(event, events.Key):
            self._take(self._keys.press(event.key, event.character, event.time))
        else:
            for press in self._keys.paste(event.text, event.time):
                self._take(press)

    def _take(self, press: Press) -> None:
        if self._ended:
            return
        match press:
            case Typed(line):
                self._typed(line)
            case WipeLine():
                self._typed("")
            case Entered(line):
                self._journalled = ""
                self._desk.enter(line)
                self._offer_pending()
                self._answered()
            case TakeOffer():
                self._desk.take_offer()
                self._answered()
            case OpenMenu():
                self._desk.menu()
                self._answered()
            case MoveWish(direction):
                self._desk.move(direction)
                self._answered()
                self._say(f"{self._shown.view.saying} {ARROW}".strip())
            case NumLockOff(sentence) | KeyRefused(sentence):
                self._journal(self._keys.line)
                self._say(sentence)
            case NotOurs("ctrl+q"):
                self.end(0)
            case NotOurs(key):
                self._say(said_of(key))
            case Ignored():
                pass
            case _:
                assert_never(press)

    def _journal(self, line: str) -> None:
        if line != self._journalled:
            self._journalled = line
            self._desk.typing(line)

    def _typed(self, line: str) -> None:
        self._journal(line)
        said, self._said = self._said, None
        self._paint() if said else self._paint_entry()

    def _say(self, sentence: str) -> None:
        if self._said != Said(sentence):
            self._said = Said(sentence)
            self._paint()

    def _answered(self) -> None:
        """Paint what the desk makes of it, ring as often as it says, and leave if it is over.

        What was logged and what is asked next is shown first, since that is what is waited for; the rest follows.
        """
        self._said = None
        if self._shown.answered(self._desk):
            self.set_timer(WHOLE_S, self._show_whole)
        else:
            self._ask()
        self._paint()
        for ring in range(self._desk.bells()):
            self.set_timer(ring * _SECOND_RING_S, self.bell) if ring else self.bell()
        if self._shown.view.over:
            self.end(0)

    def _show_whole(self) -> None:
        """Show the whole, unless that was done meanwhile."""
        if not self._shown.whole and not self._ended:
            self._ask()
            self._paint()

    def _tick(self) -> None:
        if self._ended:
            return
        now = self._desk.clocks()
        if now == self._shown.clocks or (self._is_too_small() and now.locked == self._shown.view.masked):
            return
        cells = self._shown.ticked(now, self._said, self._extent, self._look)
        if cells is None:
            self._ask()
            self._paint()
        else:
            self._paper.show_cells(cells)

    def _is_too_small(self) -> bool:
        return self._extent.width < LEAST_WIDTH or self._extent.height < LEAST_HEIGHT

    def _paint(self) -> None:
        shown = self._shown
        self._paper.show(page_rows(shown.view, shown.clocks, self._keys.seen, self._said, self._extent, self._look))
        self._paint_entry()

    def _paint_entry(self) -> None:
        entry = entry_row(self._shown.view.armed, self._keys.seen, self._extent.width, self._look)
        from_foot = 1 if self._is_too_small() else 2
        self._paper.show_row(-from_foot, entry.row)
        self.cursor_position = Offset(entry.cursor, self._extent.height - from_foot)

    def end(self, code: int) -> None:
        """Close the files and leave with this exit code; the first wish to leave counts."""
        if self._ended:
            return
        self._ended = True
        try:
            self.leave_desk()
        except Exception as error:
            self._handle_exception(error)
        else:
            self._paper.show(())  # should it be painted once more
            self._jobs.erase()
            self.exit(return_code=code)

    def leave_desk(self) -> None:
        """Close the files, once."""
        if not self._left:
            self._left = True
            self._desk.leave()

    def stop_watching(self) -> None:
        """Watch the terminal no longer."""
        if self._watch:
            self._watch.stop()

    async def action_quit(self) -> None:
        """Leave as Ctrl+Q does."""
        self.end(0)

    def _handle_exception(self, error: Exception) -> None:
        """End in one line of words; the framework's own way would show variables, and with them the patient's data."""
        self._ended = True
        self._jobs.erase()
        self._return_code = 1
        if self._exception is None:
            self._exception = error
            self._exception_event.set()
            self.last_line = note_crash(error, self._crash_folder)
        self._close_messages_no_wait()
