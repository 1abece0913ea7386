"""`python -m tests.screens.faulty ...` is the real program with a fault in what paints: it fails on a line of 666."""

from __future__ import annotations

import sys

from textual.strip import Strip

from stepper.cli.main import main
from stepper.screens.paper import Paper

_render_line = Paper.render_line


def _faulty(self: Paper, y: int) -> Strip:
    row = _render_line(self, y)
    if "> 666_" in row.text:
        local_patient_name = "Invented Person"
        raise RuntimeError(f"cannot paint, {len(local_patient_name)}")
    return row


if __name__ == "__main__":
    Paper.render_line = _faulty  # type: ignore[method-assign]
    sys.exit(main())
