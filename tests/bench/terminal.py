"""The real program at a pseudo-terminal, against a minimal app measured in turn in the same run; each bar beside it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from tests.bench import bursts, endings, holding, latency
from tests.bench.contenders import Contender, contenders
from tests.bench.outcome import Asked, Outcome

ON_SESSIONS: dict[str, Callable[[Sequence[Contender], int], Outcome]] = {
    "terminal.echo": latency.echo,
    "terminal.enter": latency.enter,
    "terminal.scan": latency.scan,
    "terminal.holding": lambda found, _: holding.bench(found),
}
"""Parts that are measured on sessions resumed."""

BY_THEMSELVES: dict[str, Callable[[int], Outcome]] = {
    "terminal.start": latency.start,
    "terminal.bursts": lambda _: bursts.bench(),
    "terminal.endings": lambda _: endings.bench(),
}
"""Parts that start the program themselves."""


def bench(asked: Asked, parts: Sequence[str] = (*BY_THEMSELVES, *ON_SESSIONS)) -> Outcome:
    """Measure these parts, those on sessions on the same ones."""
    blocks = asked.turns or latency.BLOCKS
    made = {name: BY_THEMSELVES[name](blocks) for name in parts if name in BY_THEMSELVES}
    if any(name in ON_SESSIONS for name in parts):
        with contenders() as found:
            made |= {name: ON_SESSIONS[name](found, blocks) for name in parts if name in ON_SESSIONS}
    lines = [line for outcome in made.values() for line in (*outcome.lines, "")]
    members = {name: outcome.members for name, outcome in made.items()}
    return Outcome(lines[:-1], members, all(outcome.kept for outcome in made.values()))


PARTS: dict[str, Callable[[Asked], Outcome]] = {
    name: partial(bench, parts=(name,)) for name in (*BY_THEMSELVES, *ON_SESSIONS)
}
"""Each part by itself."""
