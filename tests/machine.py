"""A random walk over entries: the program's gate against the oracle's, after every entry.

`python -m tests.machine --steps 100000 --seed 1` prints how many fills were reached, how many were tried against a shut
gate, and every violation; it fails if there is one, or if no fill was reached.
"""

from __future__ import annotations

import argparse
import datetime as dt
import random
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal

from stepper.case.fold import apply, begin
from stepper.case.gate import shut
from stepper.case.judge import remarks, unanswered
from stepper.facts.entries import Answer, AnyEntry, Correction, parse
from stepper.facts.remarks import Remark, Weight
from stepper.facts.state import View
from stepper.kinds.outcome import outcome_of
from stepper.protocol.load import load_file
from stepper.protocol.models import Protocol
from stepper.record.places import bundled
from tests.oracle import Oracle, is_late

START = dt.datetime(2026, 3, 2, 8, 0, tzinfo=dt.UTC)
Values = dict[str, dict[str, object]]
Reading = tuple[Oracle, list[Remark]]


@dataclass
class Score:
    """What a run came to."""

    steps: int = 0
    sessions: int = 0
    fills: int = 0
    shut: int = 0
    opened: int = 0
    violations: list[str] = field(default_factory=list)


class Walk:
    """One session of the walk: mostly the next right thing, with everything else that can happen mixed in."""

    def __init__(self, protocol: Protocol, draw: random.Random, score: Score) -> None:
        self.protocol, self.draw, self.score = protocol, draw, score
        self.mono, self.seq, self.boot = 1_000_000, 0, "first"
        self.where: dict[str, list[tuple[str, str]]] = {}
        for step in protocol.step:
            for question in step.question:
                self.where.setdefault(question.role or "", []).append((step.id, question.id))
        self.case = begin(protocol, self._open())
        self.canals = draw.randint(1, 4)
        self.late: set[int] = set()

    def _stamp(self, kind: str, **members: object) -> AnyEntry:
        self.mono += self.draw.randint(1, 90_000_000)
        envelope = {
            "seq": self.seq,
            "kind": kind,
            "t": START,
            "off": "+00:00",
            "tz": "",
            "mono_us": self.mono,
            "boot": self.boot,
            "by": 2,
        }
        self.seq += 1
        return parse({**envelope, **members})

    def _open(self) -> AnyEntry:
        header = {
            "sid": "walk",
            "nonce": "",
            "app": "",
            "practice": True,
            "patient": "4711",
            "tooth": "36",
            "clinician": 1,
        }
        return self._stamp("open", **header, protocol="", settings="")

    def log(self, kind: str, **members: object) -> None:
        """Log an entry, and hold the gate against the oracle before and after."""
        entry = self._stamp(kind, **members)
        fills = isinstance(entry, Answer) and any(
            name == self.where["fill"][0][1] and value.kind != "absent" for name, value in entry.values.items()
        )
        expected = self._oracle_open(entry.canal) if fills and isinstance(entry, Answer) else False
        late_fill = isinstance(entry, Answer) and bool(entry.ago_min)
        apply(self.case, entry)
        if is_late(self.protocol, self.case.entries, self.late):
            self.late.add(entry.seq)
        if (entry.seq in self.case.late) != (entry.seq in self.late):
            self._violation(f"entry {entry.seq}: late is {entry.seq in self.case.late}, the oracle says otherwise")
        self.score.steps += 1
        if fills and isinstance(entry, Answer):
            self._after_fill(entry, expected and not entry.outside, late=late_fill)
        self.compare()

    def _after_fill(self, entry: Answer, expected: bool, *, late: bool) -> None:
        counted = self.case.fills[entry.seq]
        self.score.fills += counted
        self.score.shut += not counted
        if counted and not expected:
            self._violation(f"entry {entry.seq} counts as filled through a shut gate")
        if expected and not counted and not late:
            self._violation(f"entry {entry.seq} was held although the gate was open")

    def compare(self) -> None:
        """Compare the gate of every canal, and every outcome, with the oracle's."""
        readings = self._readings()
        for canal in self.case.told.canals:
            reasons, theirs = shut(self.case, canal), self._open_in(readings, canal)
            self.score.opened += theirs
            if (not reasons) != theirs:
                self._violation(f"canal {canal}: the oracle says {theirs}, the gate: {reasons or 'open'}")
            fill = self.case.told.canals[canal].fill
            if outcome_of(self.case.told, canal) == "filled" and (fill is None or not fill.gate_open):
                self._violation(f"canal {canal} counts as filled")

    def _readings(self) -> list[Reading]:
        """Read the log as told and as sure; the asks are the program's own, since rules have tests of their own."""
        views = ((self.case.told, False), (self.case.sure, True))
        return [
            (
                Oracle(self.protocol, self.case.entries, self.late, sure=sure),
                [one for one in remarks(self.case, view) if one.weight is Weight.ASK],
            )
            for view, sure in views
        ]

    def _open_in(self, readings: list[Reading], canal: int) -> bool:
        departed = set(self.case.departures)
        return all(
            oracle.names.get(canal) == readings[0][0].names.get(canal)
            and oracle.open(canal, [one for one in asks if one.canal in (0, canal) and one.key not in departed], asks)
            for oracle, asks in readings
        )

    def _oracle_open(self, canal: int) -> bool:
        return self._open_in(self._readings(), canal)

    def _violation(self, text: str) -> None:
        members = {"step", "canal", "row", "values", "of", "how", "ago_min", "outside"}
        last = self.case.entries[-12:]
        told = [
            f"{one.seq} {one.kind} {one.model_dump(mode='json', include=members, exclude_none=True)}" for one in last
        ]
        self.score.violations.append(f"{text} | {'; '.join(told)}")

    # -- what is done -------------------------------------------------------------------------------------------------

    def step(self) -> None:
        """Do one thing."""
        if not self.case.told.canals:
            self.prepare()
            return
        canal = self.draw.choice(list(self.case.told.canals))
        if self.draw.random() < 0.72:
            self.next_right(canal)
        else:
            self.draw.choice(NOISE)(self, canal)

    def prepare(self) -> None:
        """Time-out, set-up, dam and canals, mostly right."""
        self.answer("patient_check", 0, digits("4711"))
        self.answer("tooth_check", 0, digits("36"))
        for item in ("resin_sealer", "calcium_silicate_sealer", "cones_04"):
            self.set_up(item)
        self.answer("dam", 0, choice("on"))
        names = [option.id for option in self.protocol.by_step["access"].asked("canals").options_of(self.protocol)]  # type: ignore[union-attr]
        self.answer("canals", 0, choice(*names[1 : 1 + self.canals]))

    def next_right(self, canal: int) -> None:
        """Do what the first shut clause wants, or fill."""
        reasons = shut(self.case, canal)
        if not reasons:
            if self.draw.random() < 0.7:
                self.fill(canal)
            return
        FIXES[next(iter(reasons))](self, canal)

    def answer(self, role: str, canal: int, value: dict[str, object], **more: object) -> None:
        """Answer the question of a role, in a new row of a step of many rows, else in its one row."""
        step, question = self.draw.choice(self.where[role])
        self.log(
            "answer",
            step=step,
            canal=canal,
            row=self.row(step, canal),
            values={question: value},
            **self.extra(),
            **more,
        )

    def row(self, step: str, canal: int) -> int:
        if not self.protocol.by_step[step].many:
            return 1
        numbers = [
            one.row for one in self.case.entries if isinstance(one, Answer) and (one.step, one.canal) == (step, canal)
        ]
        return max(numbers, default=0) + (0 if numbers and self.draw.random() < 0.04 else 1)

    def extra(self) -> dict[str, object]:
        """Now and then a minutes-ago, or a fact outside the chain."""
        if self.draw.random() < 0.05:
            return {"ago_min": self.draw.randint(1, 15)}
        return {"outside": True} if self.draw.random() < 0.02 else {}

    def together(self, step: str, canal: int, values: Values) -> None:
        """Answer several questions of a step in one entry."""
        self.log("answer", step=step, canal=canal, row=self.row(step, canal), values=values, **self.extra())

    def set_up(self, item: str) -> None:
        step, question = self.where["item"][0]
        expiry: dict[str, object] = {
            "kind": "expiry",
            "year": self.draw.choice([2027, 2027, 2027, 2026]),
            "month": self.draw.choice([1, 3, 12]),
        }
        if self.draw.random() < 0.05:
            expiry = absent("not_measured")
        self.together(step, 0, {question: choice(item), self.where["item_expiry"][0][1]: expiry})

    def cut(self, canal: int) -> None:
        step, question = self.draw.choice(self.where["file"])
        purpose = next(name for where, name in self.where["purpose"] if where == step)
        size = self.draw.choice([25, 30, 35, 40])
        short = self.draw.choice(["0", "0", "0", "0.5", "1", "2", "-0.5"])
        chosen = self.draw.choice(["cut", "cut", "cut", "recapitulate", "patency", "scout"])
        self.together(
            step,
            canal,
            {question: instrument(size, self.draw.choice(["0.04", "0.04", "0.06"]), short), purpose: choice(chosen)},
        )

    def declare(self, canal: int) -> None:
        """Cut to length with the widest file there was, and declare it."""
        uses = [one for one in self.case.told.canals[canal].files if one.purpose == "cut"]
        size, taper = max(
            ((one.size, str(one.taper)) for one in uses),
            default=(30, "0.04"),
            key=lambda pair: Decimal(pair[0]) / 100 + 3 * Decimal(pair[1]),
        )
        step, question = self.where["file"][-1]
        purpose = next(name for where, name in self.where["purpose"] if where == step)
        self.together(step, canal, {question: instrument(size, taper, "0"), purpose: choice("cut")})
        self.answer("master_apical_file", canal, {"kind": "size", "size": size, "taper": taper})

    def measure(self, canal: int) -> None:
        self.answer("working_length", canal, number(self.draw.choice(["20", "20", "20.5", "21"])))

    def fit(self, canal: int) -> None:
        if self.case.told.role("technique", canal) is None:
            step, question = self.where["technique"][0]
            self.log(
                "answer",
                step=step,
                canal=canal,
                row=0,
                values={question: choice(self.draw.choice(["single_cone", "cold_lateral", "warm_vertical"]))},
            )
        declared = self.case.told.role("master_apical_file", canal)
        size, taper = (declared.value.size, str(declared.value.taper)) if declared else (30, "0.04")  # type: ignore[union-attr]
        if self.draw.random() < 0.15:
            size = self.draw.choice([25, 30, 35, 40])
        step, question = self.where["cone"][0]
        values: Values = {question: {"kind": "size", "size": size, "taper": taper}}
        values[self.where["seat"][0][1]] = {"kind": "depth", "short_mm": self.draw.choice(["0", "0", "0.5", "1.5"])}
        values[self.where["tug_back"][0][1]] = choice(self.draw.choice(["yes", "yes", "yes", "no"]))
        values[self.where["cone_image"][0][1]] = choice(self.draw.choice(["seated", "seated", "seated", "short"]))
        if self.draw.random() < 0.1:
            values[self.draw.choice(list(values))] = absent("not_measured")
        self.together(step, canal, values)

    def dry(self, canal: int) -> None:
        if self.case.told.role("sealer", canal) is None:
            step, question = self.where["sealer"][0]
            self.log(
                "answer",
                step=step,
                canal=canal,
                row=0,
                values={question: choice(self.draw.choice(["resin_sealer", "calcium_silicate_sealer"]))},
            )
        step, question = self.where["paper_point_depth"][0]
        values: Values = {question: {"kind": "depth", "short_mm": self.draw.choice(["0", "0", "1", "2"])}}
        how = self.draw.choice(["dry", "dry", "dry", "damp", "wet"])
        values[self.where["dryness"][0][1]] = choice(how)
        if how == "damp" and self.draw.random() < 0.8:
            values[self.where["damp_mm"][0][1]] = number(self.draw.choice(["0.5", "1", "2"]))
        self.together(step, canal, values)

    def rinse(self, canal: int) -> None:
        for solution in self.draw.choice(
            [["edta_17", "hypochlorite_3"], ["hypochlorite_3", "edta_17", "hypochlorite_3"]]
        ):
            self.answer("irrigant", canal, choice(solution))

    def lots(self, canal: int) -> None:
        chosen = self.case.told.role("sealer", canal)
        self.set_up(chosen.value.options[0] if chosen else "resin_sealer")  # type: ignore[union-attr]
        self.set_up("cones_04")

    def clear(self, canal: int) -> None:
        if self.case.unconfirmed:
            self.confirm(canal)
        view: View = self.case.told
        if view.canals[canal].fill is not None:
            return
        allergies = view.role("allergies", 0)
        if allergies is not None and allergies.value.options != ("none",):  # type: ignore[union-attr]
            self.log(
                "correction",
                of=allergies.seq,
                how="measured_anew",
                values={self.where["allergies"][0][1]: choice("none")},
            )
        self.answer("dam", 0, choice("on"))
        self.answer("patient_check", 0, digits(view.patient))
        self.answer("tooth_check", 0, digits(view.tooth))
        if view.role("tooth_opened", 0) is not None:
            self.answer("tooth_opened", 0, digits(view.tooth))

    def depart(self, canal: int) -> None:
        for view in (self.case.told, self.case.sure):
            for remark in unanswered(self.case, view, canal):
                self.log("departure", remark=remark.key, reason="anatomy", said_by=1)

    def confirm(self, canal: int) -> None:  # noqa: ARG002 - it is the whole session's
        if self.case.unconfirmed:
            self.log("confirm", of=list(self.case.unconfirmed), said_by=1)

    def fill(self, canal: int) -> None:
        step, question = self.where["fill"][0]
        extra: dict[str, object] = {"ago_min": self.draw.randint(1, 10)} if self.draw.random() < 0.1 else {}
        self.log("answer", step=step, canal=canal, row=1, values={question: choice("filled")}, **extra)

    def correct(self, canal: int) -> None:  # noqa: ARG002 - it is any entry
        entries = [one for one in self.case.entries if isinstance(one, Answer | Correction)]
        if not entries:
            return
        entry = self.draw.choice(entries[-12:])
        name, value = self.draw.choice(list(entry.values.items()))
        new = self._other(value.model_dump(mode="json", exclude_none=True), name)
        self.log("correction", of=entry.seq, how=self.draw.choice(["keyed_wrong", "measured_anew"]), values={name: new})

    def _other(self, value: dict[str, object], name: str) -> dict[str, object]:
        """Give another value of the same kind, or none."""
        if self.draw.random() < 0.15:
            return absent(self.draw.choice(["not_done", "not_measured", "owed"]))
        same = {
            "size": lambda: {**value, "size": self.draw.choice([25, 30, 35, 40])},
            "instrument": lambda: {
                **value,
                "size": self.draw.choice([25, 30, 35]),
                "short_mm": self.draw.choice(["0", "1", "-0.5"]),
            },
            "depth": lambda: {**value, "short_mm": self.draw.choice(["0", "0.5", "2"])},
            "number": lambda: {**value, "value": self.draw.choice(["20", "20.5", "1"])},
            "digits": lambda: digits(self.draw.choice(["4711", "36", "37"])),
            "choice": lambda: choice(self.draw.choice(self._options(name) or value["options"])),  # type: ignore[arg-type]
        }
        return same.get(str(value["kind"]), lambda: value)()

    def _options(self, name: str) -> list[str]:
        """The options of a question of that name, few enough to come upon the telling ones; canals keep theirs."""
        asked = [one for step in self.protocol.step for one in step.question if one.id == name and one.role != "canals"]
        return [option.id for one in asked for option in one.options_of(self.protocol)][:13]

    def purposed(self, canal: int) -> None:
        """Say, or say once more, what a file was for, without the file."""
        files = [
            one for one in self.case.entries if isinstance(one, Answer) and one.canal == canal and "file" in one.values
        ]
        if files:
            row = self.draw.choice(files[-4:])
            said = choice(self.draw.choice(["cut", "recapitulate", "patency", "scout"]))
            self.log("answer", step=row.step, canal=canal, row=row.row, values={"purpose": said}, **self.extra())

    def purposeless(self, canal: int) -> None:
        """A file whose purpose nobody has said yet."""
        step, question = self.draw.choice(self.where["file"])
        self.together(step, canal, {question: instrument(self.draw.choice([20, 30, 40]), "0.04", "0")})

    def named(self, canal: int) -> None:  # noqa: ARG002 - it is the tooth's
        """Name the canals again, one more or one less, also as having happened earlier."""
        names = ["mb", "db", "p", "ml", "dl"][: self.draw.randint(1, 4)]
        self.answer("canals", 0, choice(*names))

    def header(self, canal: int) -> None:  # noqa: ARG002 - it is the whole session's
        member, value = self.draw.choice([("patient", "4712"), ("tooth", "37"), ("patient", "4711"), ("tooth", "36")])
        self.log("correction", of=0, how="keyed_wrong", values={member: digits(value)})

    def found(self, canal: int) -> None:  # noqa: ARG002 - it is a new one
        known = self.case.told.canals
        if len(known) < 4:
            self.log("canal", canal=max(known) + 1, name=f"extra {len(known)}")

    def join(self, canal: int) -> None:
        others = [one for one in self.case.told.canals if one != canal]
        if others and self.draw.random() < 0.3:
            at = {"at_mm": self.draw.choice(["16", "19", "20"])} if self.draw.random() < 0.6 else {}
            self.log("join", canal=canal, into=self.draw.choice(others), **at)

    def hold(self, canal: int) -> None:
        rows = [
            one
            for one in self.case.entries
            if isinstance(one, Answer) and one.canal in (0, canal) and self.protocol.by_step[one.step].many
        ]
        if rows:
            row = self.draw.choice(rows[-6:])
            self.log(
                "held",
                step=row.step,
                canal=row.canal,
                row=row.row,
                values={"any": absent("not_done")},
                remarks=[],
                drops=self.draw.random() < 0.5,
            )

    def owe(self, canal: int) -> None:
        asks = unanswered(self.case, self.case.told, canal)
        if asks:
            self.log("owe", remark=self.draw.choice(asks).key)

    def dam(self, canal: int) -> None:  # noqa: ARG002 - it is the tooth's
        self.answer("dam", 0, choice(self.draw.choice(["off", "on"])))

    def allergy(self, canal: int) -> None:  # noqa: ARG002 - it is the tooth's
        self.answer("allergies", 0, choice(self.draw.choice(["none", "none", "epoxy", "hypochlorite"])))

    def reboot(self, canal: int) -> None:  # noqa: ARG002 - it is the machine's
        if self.draw.random() < 0.15:
            self.boot, self.mono = f"boot {self.seq}", 1_000_000
            self.log("resume", app="")

    def patency(self, canal: int) -> None:
        step, question = self.where["file"][-1]
        purpose = next(name for where, name in self.where["purpose"] if where == step)
        self.together(step, canal, {question: instrument(10, "0.02", "0"), purpose: choice("patency")})

    def reference(self, canal: int) -> None:
        if self.draw.random() < 0.3:
            self.answer(
                "reference",
                canal,
                choice(self.protocol.by_step["length"].asked("reference").options_of(self.protocol)[0].id),
            )  # type: ignore[union-attr]
            self.log(
                "correction",
                of=self.seq - 1,
                how="measured_anew",
                values={self.where["reference"][0][1]: choice("buccal_cusp")},
            )


def choice(*options: str) -> dict[str, object]:
    return {"kind": "choice", "options": list(options)}


def digits(value: str) -> dict[str, object]:
    return {"kind": "digits", "value": value}


def number(value: str) -> dict[str, object]:
    return {"kind": "number", "value": value}


def absent(why: str) -> dict[str, object]:
    return {"kind": "absent", "why": why}


def instrument(size: int, taper: str, short: str) -> dict[str, object]:
    return {"kind": "instrument", "size": size, "taper": taper, "short_mm": short}


Act = Callable[[Walk, int], None]
FIXES: dict[str, Act] = {
    "clear": Walk.clear,
    "length": Walk.measure,
    "master_apical_file": Walk.declare,
    "cone_fit": Walk.fit,
    "dry": Walk.dry,
    "rinse": Walk.rinse,
    "lots": Walk.lots,
    "answered": Walk.depart,
}
NOISE: tuple[Act, ...] = (
    *(Walk.cut, Walk.correct, Walk.correct, Walk.confirm, Walk.confirm, Walk.header, Walk.found, Walk.join),
    *(Walk.hold, Walk.owe, Walk.dam, Walk.allergy, Walk.reboot, Walk.patency, Walk.reference, Walk.measure),
    *(Walk.fill, Walk.fit, Walk.dry, Walk.rinse, Walk.depart, Walk.purposed, Walk.purposeless, Walk.named),
)


def run(steps: int, seed: int, *, stop_at: int = 5) -> Score:
    """Walk so many steps in sessions of some 40 to 110 entries."""
    protocol, _ = load_file(bundled("protocols") / "one_visit.toml")
    draw, score = random.Random(seed), Score()
    while score.steps < steps and len(score.violations) < stop_at:
        score.sessions += 1
        walk = Walk(protocol, draw, score)
        length = draw.randint(40, 110)
        while walk.seq < length and score.steps < steps and len(score.violations) < stop_at:
            walk.step()
    return score


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description="Walk at random over entries and hold the gate against the oracle.")
    parser.add_argument("--steps", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args(arguments)
    score = run(chosen.steps, chosen.seed)
    print(f"steps {score.steps}, sessions {score.sessions}, seed {chosen.seed}")
    print(f"fills reached {score.fills}, fills tried against a shut gate {score.shut}, gates found open {score.opened}")
    print(f"violations {len(score.violations)}")
    for violation in score.violations:
        print(f"  {violation}")
    if score.fills == 0:
        print("no fill was reached: the walk proves nothing")
    return 1 if score.violations or not score.fills else 0


if __name__ == "__main__":
    sys.exit(main())
