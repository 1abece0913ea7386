"""How long the real program takes to start, to show a key, to say that a line is logged, to take a scan in."""

from __future__ import annotations

import random
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path

from tests.bench.bars import QUIET, Bar, quiet_blocks, told
from tests.bench.contenders import (
    Contender,
    minimal_shown,
    start_complete,
    start_minimal,
    start_shown,
    start_stepper,
)
from tests.bench.outcome import CannotMeasureError, Outcome
from tests.bench.sessions import write_session
from tests.bench.timing import Figures, pooled

STARTS, KEYS, LINES, SCANS = 5, 40, 10, 12
"""How many of each one block has for each contender."""

BLOCKS = 5

SCAN = "]d2010123456789012817270430" + "10A7B9C1D3E5F7G9H1J3K5L7M9N1P3Q5R"
QUIET_SCAN = 3.0
"""The reference shows a scan in one frame, in two or in three, however quiet it is."""

GAPS_S = (0.030, 0.060)
"""Between two keys, as a quick hand has it; the gap is random, so that no key keeps step with a frame."""

SEED = 5

Blocks = Sequence[dict[str, list[float]]]


def start(blocks: int) -> Outcome:
    """Start both in turns, on a folder with a few sessions; also until those are listed."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for entries in (150, 200, 250):
            write_session(folder / "sessions", entries)
        _start_once(folder)  # byte code is written and the disk's cache is warm

        def block() -> dict[str, list[float]]:
            found: dict[str, list[float]] = {"minimal": [], "frame": [], "complete": []}
            for _ in range(STARTS):
                for name, ns in _start_once(folder).items():
                    found[name].append(ns)
            return found

        taken, noisy = quiet_blocks(block, lambda one: one["minimal"], blocks)
    made = _pooled(taken)
    bars = [Bar("start to the first full screen, median", made["frame"].ratio_to(made["minimal"]), 1.25)]
    return outcome("Start, from exec", made, bars, noisy, len(taken) == blocks)


def _start_once(folder: Path) -> dict[str, float]:
    with start_minimal() as reference:
        minimal = reference.until(minimal_shown) - reference.begun_ns
    with start_stepper(folder) as running:
        frame = running.until(start_shown) - running.begun_ns
        complete = running.until(start_complete) - running.begun_ns
    return {"minimal": minimal, "frame": frame, "complete": max(frame, complete)}


def echo(found: Sequence[Contender], blocks: int) -> Outcome:
    """Type digits and take them back, in turns, with the whole chairside screen shown."""
    made, noisy, enough = _in_blocks(found, blocks, _keys)
    reference, bars = made["minimal"], []
    for one in found[1:]:
        mine = made[one.name]
        bars.append(Bar(f"key to changed screen, {one.name}, median", mine.ratio_to(reference), 0.95))
        bars.append(Bar(f"key to changed screen, {one.name}, p95", mine.p95_ns / reference.p95_ns, 1.1))
    growth = made[found[-1].name].ratio_to(made[found[1].name])
    bars.append(Bar(f"growth from {found[1].name} to {found[-1].name}, median", growth, 1.15))
    return outcome("Key to changed screen", made, bars, noisy, enough)


def enter(found: Sequence[Contender], blocks: int) -> Outcome:
    """Enter lines that are logged, rinses and files by turns, against the key echo of the minimal app."""
    rest, rounds = random.Random(SEED), [0]

    def block() -> dict[str, list[float]]:
        rounds[0] += 1
        taken = {found[0].name: _keys(found[0], rest)}
        for one in found[1:]:
            taken[one.name] = _logged(one, rest, files=rounds[0] % 2 == 0)
        return taken

    taken, noisy = quiet_blocks(block, lambda one: one["minimal"], blocks)
    made = _pooled(taken)
    bars = [
        Bar(f"Enter to logged, {one.name}, median", made[one.name].ratio_to(made["minimal"]), 2.0) for one in found[1:]
    ]
    title = "Enter to 'Logged' on the screen, against the minimal app's key"
    return outcome(title, made, bars, noisy, len(taken) == blocks)


def scan(found: Sequence[Contender], blocks: int) -> Outcome:
    """Write 60 characters in one go, as a scanner does."""
    made, noisy, enough = _in_blocks(found, blocks, _scans, QUIET_SCAN)
    bars = [
        Bar(f"scan of {len(SCAN)} characters, {one.name}, median", made[one.name].ratio_to(made["minimal"]), 0.5)
        for one in found[1:]
    ]
    return outcome(f"Scan of {len(SCAN)} characters in one write", made, bars, noisy, enough)


def outcome(title: str, made: dict[str, Figures], bars: Sequence[Bar], noisy: int, enough: bool) -> Outcome:
    """Tell figures and bars; where it never got quiet, that the figures are no measurement."""
    lines = [title, *(f"  {name:26}{told(figures)}" for name, figures in made.items()), *(bar.line for bar in bars)]
    if noisy:
        lines.append(f"  {noisy} noisy block(s) left out: there the minimal app's p95 was over twice its median")
    if not enough:
        lines.append("  NEVER QUIET: another program was running; nothing is judged by this, run it again")
    figures = {name: {"median_ms": one.median_ns / 1e6, "p95_ms": one.p95_ns / 1e6} for name, one in made.items()}
    members = {"figures": figures, "bars": {bar.name: [bar.found, bar.most] for bar in bars}, "noisy": noisy}
    return Outcome(lines, members, kept=enough and all(bar.kept for bar in bars))


def _in_blocks(
    found: Sequence[Contender],
    blocks: int,
    take: Callable[[Contender, random.Random], list[float]],
    quiet: float = QUIET,
) -> tuple[dict[str, Figures], int, bool]:
    rest = random.Random(SEED)
    taken, noisy = quiet_blocks(
        lambda: {one.name: take(one, rest) for one in found}, lambda block: block["minimal"], blocks, quiet
    )
    return _pooled(taken), noisy, len(taken) == blocks


def _pooled(blocks: Blocks) -> dict[str, Figures]:
    if not blocks:
        raise CannotMeasureError("It never got quiet: another program was running; run it again.")
    return {name: pooled([block[name] for block in blocks]) for name in blocks[0]}


def _keys(one: Contender, rest: random.Random) -> list[float]:
    """Type digits, then take them back one by one: each key changes the line."""
    taken: list[float] = []
    digits = "".join(rest.choice("0123456789") for _ in range(KEYS // 2))
    lines = [digits[:length] for length in (*range(1, len(digits) + 1), *range(len(digits) - 1, -1, -1))]
    for index, line in enumerate(lines):
        key = line[-1] if index < len(digits) else "\x7f"
        taken.append(_took(one, key, line, rest))
    return taken


def _scans(one: Contender, rest: random.Random) -> list[float]:
    """Scan, and take the scan back."""
    taken = []
    for _ in range(SCANS):
        taken.append(_took(one, SCAN, SCAN, rest))
        _took(one, "\x7f" * len(SCAN), "", rest)
    return taken


def _took(one: Contender, keys: str, line: str, rest: random.Random) -> float:
    one.program.rest(rest.uniform(*GAPS_S))
    return one.program.took(keys, one.typed(line))


def _logged(one: Contender, rest: random.Random, *, files: bool) -> list[float]:
    """Enter lines of one step; that two neighbours differ shows which of them was logged."""
    pairs = (("1*25/4-1", "1 mm short"), ("1*25/4-1.5", "1.5 mm short"))
    if not files:
        pairs = (("1*1**3**-2", "volume 3 mL"), ("1*1**2**-2", "volume 2 mL"))
    one.program.took("10/\r" if files else "11/\r", _said("At "))
    taken = []
    for number in range(LINES):
        line, said = pairs[number % 2]
        _took(one, line, line, rest)
        one.program.rest(rest.uniform(*GAPS_S))
        taken.append(float(one.program.took("\r", _said("Logged", said))))
    return taken


def _said(*texts: str) -> Callable[[Sequence[str]], bool]:
    """Wait until the sentences above the empty line hold all of some texts."""
    return lambda rows: rows[-2].startswith(" > _") and all(text in " ".join(rows[-8:-2]) for text in texts)
