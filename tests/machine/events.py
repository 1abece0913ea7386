"""What happens beside the facts: incidents, ending early, who keys, interruptions. None of it may move a gate."""

from __future__ import annotations

from stepper.case.judge import remarks
from stepper.facts.entries import Incident
from tests.machine.right import Act
from tests.machine.walk import Walk


def incident(walk: Walk, canal: int) -> None:
    """Something goes wrong; what it was is said at once, later or never."""
    walk.drew("incident")
    walk.log("incident", step=walk.draw.choice(walk.chart.steps), canal=walk.draw.choice([0, canal]))
    if walk.draw.random() < 0.4:
        walk.drew("incident, details later")
    else:
        _detail(walk, walk.seq - 1)


def detail(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is an incident's
    """Say something about an incident, or something more."""
    stamped = [one.seq for one in walk.case.entries if isinstance(one, Incident)]
    if stamped:
        walk.drew("detail: more of it")
        _detail(walk, walk.draw.choice(stamped))


def _detail(walk: Walk, of: int) -> None:
    if walk.draw.random() < 0.2:
        walk.drew("detail: slip")
        walk.log("incident_detail", of=of, what="slip")
        return
    what = walk.draw.choice(list(walk.chart.incidents))
    asked = walk.chart.incidents[what]
    names = walk.draw.sample(list(asked), walk.draw.randint(0, len(asked)))
    values = {name: walk.draw.choice([*asked[name], walk.not_known()]) for name in names}
    walk.drew("detail: with values" if values else "detail: named only")
    walk.log("incident_detail", of=of, what=what, values=values)


def ending(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is the whole session's
    walk.drew("ending")
    walk.log("ending", reason="The patient could not tolerate more.", said_by=1)


def relief(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is the whole session's
    walk.drew("relief")
    person = walk.draw.choice([2, 3])
    walk.log("relief", person=person)
    walk.by = person


def void(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is the whole session's
    walk.drew("void")
    walk.log("void", reason="Opened twice.")


def close(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is the whole session's
    walk.drew("close")
    walk.log("close")


def sound(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is the whole session's
    keys = [one.key for one in remarks(walk.case, walk.case.told)] or ["gate:1:0"]
    walk.drew("sound")
    walk.log("sound", remark=walk.draw.choice(keys), times=walk.draw.randint(1, 2), silent=walk.draw.random() < 0.2)


def go(walk: Walk, canal: int) -> None:
    """Go to a step or a canal, also out of turn."""
    step, jump = walk.draw.choice(walk.chart.steps), walk.draw.random() < 0.3
    walk.drew("go out of turn" if jump else "go")
    whose = 0 if step in walk.chart.of_tooth else canal
    left: dict[str, object] = {"left": {"step": walk.draw.choice(walk.chart.steps), "canal": 0}} if jump else {}
    walk.log("go", step=step, canal=whose, last=walk.draw.random() < 0.2, **left)


def resume(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is the machine's
    """Open the session again, now and then on a machine that was started anew."""
    if walk.draw.random() < 0.4:
        walk.boot, walk.mono = f"boot {walk.seq}", 1_000_000
        walk.drew("resume after a restart")
    walk.drew("resume")
    walk.log("resume", app="")


def recovered(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is the machine's
    walk.drew("recovered")
    walk.log("recovered", at=4096, bytes=3, sha256="0" * 64, base64="e30K")


def step(walk: Walk, canal: int) -> None:
    """Declare a step finished, not done or owed."""
    name, how = walk.draw.choice(walk.chart.steps), walk.draw.choice(["finished", "not_done", "owed"])
    walk.drew(f"step {how}")
    walk.log("step", step=name, canal=0 if name in walk.chart.of_tooth else canal, how=how)


EVENTS: tuple[Act, ...] = (
    *(incident, incident, detail, detail, relief, sound, sound, go, go, step, step, step, resume, recovered),
    *(ending, void, close),
)
"""Everything beside the facts."""
