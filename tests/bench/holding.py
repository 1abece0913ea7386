"""What the program holds and burns: memory above the minimal app, and processor time while nobody types."""

from __future__ import annotations

from collections.abc import Sequence

from tests.bench.bars import Bar
from tests.bench.contenders import Contender
from tests.bench.outcome import Outcome

IDLE_S = 30.0
SETTLED_S = 3.0


def bench(found: Sequence[Contender], idle_s: float = IDLE_S) -> Outcome:
    """Measure all at the same time, the clocks running: each leaves the others alone."""
    for one in found:
        one.program.rest(SETTLED_S / len(found))
    before = [one.program.processor_s() for one in found]
    for _ in range(int(idle_s * 4)):
        for one in found:
            one.program.rest(0.25 / len(found))
    percent = [(one.program.processor_s() - begun) / idle_s * 100 for one, begun in zip(found, before, strict=True)]
    return told(found, [one.program.rss_mb() for one in found], percent)


def told(found: Sequence[Contender], held_mb: Sequence[float], percent: Sequence[float]) -> Outcome:
    """Hold memory and processor time to their bars; the minimal app comes first, then the sessions by their size."""
    each = zip(found, held_mb, percent, strict=True)
    rows = [f"  {one.name:26}{mb:8.1f} MB {idle:8.2f} % of a core" for one, mb, idle in each]
    fewest, most = found[1], found[-1]
    per_1000 = (held_mb[-1] - held_mb[1]) / ((most.entries or 0) - (fewest.entries or 0)) * 1000
    bars = [
        Bar(f"memory above the minimal app, {most.name}", held_mb[-1] - held_mb[0], 25, "MB"),
        Bar(f"growth per 1,000 entries, {fewest.name} to {most.name}", per_1000, 2, "MB"),
        *(
            Bar(f"idle with clocks running, {one.name}", idle, 0.5, "%")
            for one, idle in zip(found[1:], percent[1:], strict=True)
        ),
    ]
    names = [one.name for one in found]
    members = {
        "rss_mb": dict(zip(names, held_mb, strict=True)),
        "idle_percent": dict(zip(names, percent, strict=True)),
        "bars": {bar.name: [bar.found, bar.most] for bar in bars},
    }
    return Outcome(["Memory and idle", *rows, *(bar.line for bar in bars)], members, all(bar.kept for bar in bars))
