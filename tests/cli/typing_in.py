"""A terminal at which somebody answers what a command asks."""

from __future__ import annotations

import builtins
import getpass
import io
import sys
from collections.abc import Sequence

import pytest

from stepper.cli.main import main

Answer = str | type[BaseException]
"""What is typed, or how it ends instead."""


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def called(monkeypatch: pytest.MonkeyPatch, arguments: Sequence[str], answers: Sequence[Answer] = ()) -> int:
    """Run a command as at a terminal and give its exit code; no answer may be left over."""
    left = list(answers)

    def asked(_: str) -> str:
        answer = left.pop(0)
        if isinstance(answer, str):
            return answer
        raise answer

    monkeypatch.setattr(getpass, "getpass", asked)
    monkeypatch.setattr(builtins, "input", asked)
    monkeypatch.setattr(sys, "stdin", _Terminal())
    code = main(arguments)
    assert left == []
    return code
