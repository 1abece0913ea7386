"""Running a command of a sum in this process, and what it printed."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from stepper.cli.main import main

AsJson = Callable[..., dict[str, Any]]
Table = Callable[..., str]


def printed_by(command: str) -> tuple[AsJson, Table]:
    """Give two functions of `capsys` and arguments: the command's one JSON document, and its table."""

    def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
        assert main([command, *arguments]) == 0
        out, err = capsys.readouterr()
        assert err == ""
        return out

    def as_json(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, Any]:
        out = run(capsys, *arguments, "--json")
        assert out.count("\n") == 1
        return json.loads(out)

    return as_json, run
