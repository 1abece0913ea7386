"""How a command line is read: every refusal in one sentence, no abbreviation, nothing twice where once is meant."""

from __future__ import annotations

import argparse
import os
from collections.abc import Sequence
from functools import cache
from typing import Any, NoReturn

from stepper.cli.refused import Refused


@cache
def _columns() -> int:
    """Give the width of the terminal; the standard library's own way loads every kind of archive for it."""
    try:
        said = int(os.environ.get("COLUMNS", ""))
    except ValueError:
        said = 0
    try:
        return said if said > 0 else os.get_terminal_size(1).columns or 80
    except OSError:  # standard output is no terminal
        return 80


class Parser(argparse.ArgumentParser):
    """A parser that refuses in one sentence instead of printing how it is called."""

    def __init__(self, **settings: Any) -> None:  # noqa: ANN401 - they are handed on
        super().__init__(allow_abbrev=False, **settings)

    def _get_formatter(self) -> argparse.HelpFormatter:
        """Give what writes the help; argparse makes one for each option too, and would look for its width each time."""
        return argparse.HelpFormatter(self.prog, width=_columns() - 2)

    def error(self, message: str) -> NoReturn:
        """Refuse what was typed."""
        raise Refused(f"{message.rstrip('.')}; {self.prog} --help tells what is allowed.")


class Once(argparse.Action):
    """An option that is given once: a second value would silently take the place of the first."""

    def __call__(
        self,
        parser: argparse.ArgumentParser,  # noqa: ARG002 - argparse hands it over
        namespace: argparse.Namespace,
        values: str | Sequence[Any] | None,
        option_string: str | None = None,
    ) -> None:
        """Keep the value, unless there is one."""
        given: set[str] = getattr(namespace, "_given", set())
        if self.dest in given:
            raise Refused(f"{option_string} is given twice; once is allowed.")
        namespace._given = {*given, self.dest}
        setattr(namespace, self.dest, values)
