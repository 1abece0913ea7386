"""A damaged session on the start screen: it goes on in a new file, or is left as it is."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from stepper.record.continuing import next_path
from stepper.session.view import Choice, Prompt


@dataclass(frozen=True)
class Mending:
    """The question what becomes of a damaged session. `sentence` says where it is damaged and what is intact."""

    path: Path
    sentence: str

    def prompt(self, legend: str) -> Prompt:
        """Ask."""
        ways = (Choice("1", f"go on in a new file, {next_path(self.path).suffixes[0]} behind its name"), LEAVE)
        card = (self.sentence, "It is never written to again. The intact entries count, and so does what comes now.")
        return Prompt("Damaged", "", "Go on after the last intact entry?", "1 or 2", ways, "", "", "", legend, card)


LEAVE = Choice("2", "leave it")
