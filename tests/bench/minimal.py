"""The app that the real program is measured against: two Statics and one stock Input. Run by path, on a terminal."""

from __future__ import annotations

from textual.app import App, ComposeResult
from textual.widgets import Input, Static

HEAD, FOOT, ASKED = "two statics and an input", "type, then Enter", "type here"


class Minimal(App[None]):
    """As little as a form can be. What is entered is forgotten and the line is empty again."""

    def compose(self) -> ComposeResult:
        """Lay out the three."""
        yield Static(HEAD)
        yield Input(placeholder=ASKED)
        yield Static(FOOT)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Empty the line."""
        event.input.value = ""


if __name__ == "__main__":
    Minimal().run()
