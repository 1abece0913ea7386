"""The numbers of the entries that a sentence rests on, as they are shown behind it."""

from __future__ import annotations

from collections.abc import Sequence

from stepper.note.shape import Sentence

_RUN = 3
"""From so many on, numbers in a row are written as the first and the last."""


def shown_numbers(one: Sentence) -> str:
    """Write the entries that a sentence rests on: `12, 14, 20-25`; nothing for one that stands in every note."""
    return "" if one.fixed else ", ".join(_runs(one.entries))


def _runs(entries: Sequence[int]) -> list[str]:
    runs: list[list[int]] = []
    for seq in entries:
        if runs and seq == runs[-1][-1] + 1:
            runs[-1].append(seq)
        else:
            runs.append([seq])
    return [text for run in runs for text in ([f"{run[0]}-{run[-1]}"] if len(run) >= _RUN else map(str, run))]
