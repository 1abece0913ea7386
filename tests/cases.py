"""Logs written by hand: what an assistant would have keyed, as typed entries, without a screen and without a file.

    log = Log(tooth="46")
    log.answer("access", tooth_opened="46", pulp_seen="bleeding", canals="mb+ml", straight="yes", sought="magnified")
    log.answer("shaping", 1, file="35/4-0", purpose="cut")
    log.correct(2, file="30/4-0")
    case = log.case()

Every method gives the number of the entry that it logged. A value is written as it is keyed (`35/4-0`, `20.5`, `-1`,
`--` for not done, `-/` for not measured, `-.` for owed); only choices are written by their option ids, joined by `+`.
`ready` logs a whole visit up to the moment before the fill.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import cache

from stepper.case.fold import fold
from stepper.case.state import Case
from stepper.facts import entries as kinds
from stepper.facts.entries import AnyEntry, Open
from stepper.facts.record import read_as
from stepper.facts.state import LAST
from stepper.facts.values import Absent, Choice, Digits, Value, Why
from stepper.kinds.questions.choice import ChoiceQuestion
from stepper.lines.refusal import Refusal
from stepper.protocol.load import load_file
from stepper.protocol.models import Protocol
from stepper.record.places import bundled

START = dt.datetime(2026, 3, 2, 8, 0, tzinfo=dt.UTC)
SID = "0b9d1c9e-6f0e-4f3c-8a55-1f2d3c4b5a69"
ABSENT = {"--": Why.NOT_DONE, "-/": Why.NOT_MEASURED, "-.": Why.OWED}


@cache
def protocol() -> Protocol:
    """The bundled protocol, read once."""
    return load_file(bundled("protocols") / "one_visit.toml")[0]


class Log:
    """The entries of one session. Each entry is `step_s` seconds after the one before; `wait` lets time pass."""

    def __init__(
        self,
        *,
        patient: str = "4711",
        tooth: str = "46",
        practice: bool = False,
        settings: str = "",
        off: str = "+01:00",
        step_s: int = 20,
        plan: Protocol | None = None,
        previous: kinds.Previous | None = None,
    ) -> None:
        self.plan = plan or protocol()
        self.off, self.step_s, self.by = off, step_s, 2
        self.elapsed_s = 0
        self.boot = "boot-1"
        self.entries: list[AnyEntry] = []
        self.log(
            Open,
            sid=SID,
            nonce="00",
            app="test",
            practice=practice,
            patient=patient,
            tooth=tooth,
            clinician=1,
            protocol="",
            settings=settings,
            previous=previous,
        )

    def log(self, kind: type[kinds.Entry], **members: object) -> int:
        """Log an entry of any kind, stamped with number, times and the person at the keyboard."""
        seq = len(self.entries)
        self.elapsed_s += self.step_s if seq else 0
        stamp: dict[str, object] = {
            "seq": seq,
            "t": START + dt.timedelta(seconds=self.elapsed_s),
            "off": self.off,
            "tz": "Europe/Berlin",
            "mono_us": self.elapsed_s * 1_000_000,
            "boot": self.boot,
            "by": self.by,
        }
        self.entries.append(read_as(kind, {**stamp, **members}))  # type: ignore[arg-type]
        return seq

    def wait(self, minutes: int) -> None:
        """Let minutes pass."""
        self.elapsed_s += minutes * 60

    def case(self) -> Case:
        """Fold the log."""
        return fold(self.plan, self.entries)

    def values(self, step: str, typed: dict[str, str]) -> dict[str, Value]:
        """Read values as they are keyed, choices by their option ids."""
        return {name: self._value(step, name, text) for name, text in typed.items()}

    def answer(
        self, step: str, canal: int = 0, row: int = 1, *, ago: int | None = None, outside: bool = False, **typed: str
    ) -> int:
        """Log the answers of one line; `row` is 0 for what a step asks first, `LAST` or more for what it asks last."""
        values = self.values(step, typed)
        return self.log(kinds.Answer, step=step, canal=canal, row=row, values=values, ago_min=ago, outside=outside)

    def correct(self, of: int, *, anew: bool = False, **typed: str) -> int:
        """Correct an entry: keyed wrong, or measured anew. Of entry 0, `patient` or `tooth` can be corrected."""
        how = "measured_anew" if anew else "keyed_wrong"
        values: dict[str, Value] = {name: Digits(value=text) for name, text in typed.items()}
        if of:
            values = self.values(self._step_of(of), typed)
        return self.log(kinds.Correction, of=of, how=how, values=values)

    def confirm(self, *of: int, said_by: int = 1) -> int:
        """Log the clinician's spoken yes."""
        return self.log(kinds.Confirm, of=of, said_by=said_by)

    def depart(
        self, remark: str, reason: str = "The anatomy does not allow otherwise.", *, text: str = "", said_by: int = 1
    ) -> int:
        """Pass an ask, by its key, with a reason; `text` is the ask as it was read out."""
        return self.log(kinds.Departure, remark=remark, text=text, reason=reason, said_by=said_by)

    def owe(self, remark: str, *, text: str = "") -> int:
        """Leave an ask open until closing."""
        return self.log(kinds.Owe, remark=remark, text=text)

    def hold(
        self,
        step: str,
        canal: int = 0,
        row: int = 1,
        *,
        remarks: Mapping[str, str] | None = None,
        drops: bool = False,
        **typed: str,
    ) -> int:
        """Log an act that was held back; `remarks` are what held it, by their keys, as they were read out."""
        values, held = self.values(step, typed), remarks or {}
        why = {"remarks": tuple(held), "texts": tuple(held.values())}
        return self.log(kinds.Held, step=step, canal=canal, row=row, values=values, drops=drops, **why)

    def declare(self, step: str, canal: int = 0, how: str = "finished") -> int:
        """Declare a step finished, not_done or owed."""
        return self.log(kinds.StepDone, step=step, canal=canal, how=how)

    def found(self, canal: int, name: str) -> int:
        """Log a canal found late."""
        return self.log(kinds.CanalFound, canal=canal, name=name)

    def join(self, canal: int, into: int, at_mm: str | None = None) -> int:
        """Log that a canal joins another."""
        return self.log(kinds.Joined, canal=canal, into=into, at_mm=Decimal(at_mm) if at_mm else None)

    def incident(self, step: str, canal: int = 0, what: str | None = None) -> int:
        """Log an incident, and what it was if that is said."""
        seq = self.log(kinds.Incident, step=step, canal=canal)
        if what is not None:
            self.log(kinds.IncidentDetail, of=seq, what=what)
        return seq

    def relieve(self, person: int) -> int:
        """Another person takes the keyboard."""
        seq = self.log(kinds.Relief, person=person)
        self.by = person
        return seq

    def void(self, reason: str) -> int:
        """Void the visit."""
        return self.log(kinds.Void, reason=reason)

    def close(self) -> int:
        """Close the visit."""
        return self.log(kinds.Close)

    def _value(self, step: str, name: str, text: str) -> Value:
        if text in ABSENT:
            return Absent(why=ABSENT[text])
        question = self.plan.by_step[step].asked(name)
        assert question is not None, f"{step} has no question {name}"
        if isinstance(question, ChoiceQuestion):
            known = {option.id for option in question.options_of(self.plan)}
            options = tuple(text.split("+"))
            assert set(options) <= known, f"{step}.{name} has no option {text}"
            return Choice(options=options)
        value = question.parse(text, self.plan)
        assert not isinstance(value, Refusal), value
        return value

    def _step_of(self, of: int) -> str:
        entry = self.entries[of]
        while isinstance(entry, kinds.Correction):
            entry = self.entries[entry.of]
        assert isinstance(entry, kinds.Answer)
        return entry.step


def examined(log: Log) -> Log:
    """Log everything about the tooth up to the dam, without anything to remark on."""
    tooth = str(getattr(log.entries[0], "tooth", ""))
    patient = str(getattr(log.entries[0], "patient", ""))
    log.answer("diagnosis", complaint="biting", history="unchanged", allergies="none", cold="none")
    log.answer("diagnosis", percussion="tender", palpation="normal", control="normal")
    log.answer("diagnosis", pulpal="necrosis", apical="symptomatic_periodontitis", restorable="yes")
    log.answer("diagnosis", image_date="2.3.2026", consent="written", findings="lesion")
    log.answer("time_out", patient_number=patient, tooth_on_image=tooth, tooth_in_mouth=tooth)
    for row, item in enumerate(("hypochlorite_3", "edta_17", "resin_sealer", "cones_04"), start=1):
        log.answer("set_up", row=row, item=item, expiry="11.2027", lot=f"700{row}")
    log.answer("set_up", row=LAST, labelled="yes", motor="yes")
    log.answer("anaesthesia", row=0, weight="70")
    log.answer("anaesthesia", agent="articaine_4_epi_100", volume="1.8", site="buccal", aspiration="negative")
    log.answer("anaesthesia", row=LAST, effect="numb")
    log.answer("isolation", dam="on", tight="yes", clamped=tooth, through="1")
    return log


def opened(log: Log, canals: str = "mb+ml+d") -> Log:
    """Log the access with these canals."""
    tooth = str(getattr(log.entries[0], "tooth", ""))
    log.answer("access", tooth_opened=tooth, pulp_seen="dead_tissue", canals=canals, straight="yes", sought="magnified")
    return log


def shaped(log: Log, canal: int = 1) -> Log:
    """Log length, gauging, shaping to 35/.04 and the final rinse of a canal."""
    log.answer("length", canal, row=0, estimate="20")
    log.answer("length", canal, electronic="20.5", image_length="20.5", working_length="20.5")
    log.answer("length", canal, reference="mesiobuccal_cusp", patency="yes", mark="half_mark", apex="closed")
    log.answer("flare", canal, file="25/8-6", purpose="cut")
    log.answer("gauging", canal, gauge="30-0", held="held")
    log.answer("shaping", canal, 1, file="25/4-0", purpose="cut")
    log.answer("shaping", canal, 2, file="35/4-0", purpose="cut")
    log.answer("shaping", canal, LAST, master="35/4")
    for row, item in enumerate(("edta_17", "hypochlorite_3"), start=1):
        log.answer(
            "irrigation",
            canal,
            row,
            solution=item,
            volume="3",
            needle_depth="-2",
            needle="needle_30_side",
            activation="none",
        )
    return log


def fitted(log: Log, canal: int = 1) -> Log:
    """Log drying and a cone fit that suits; then the gate is open."""
    log.answer("drying", canal, point_depth="0", dryness="dry", blood="none")
    log.answer("cone_fit", canal, row=0, technique="single_cone", sealer="resin_sealer")
    log.answer("cone_fit", canal, cone="35/4", seat="0", tug_back="yes", cone_image="seated")
    return log


def ready(log: Log | None = None, canals: str = "mb+ml+d", ready_canals: Sequence[int] = (1,)) -> Log:
    """Log a whole visit up to the fill: the gates of `ready_canals` are open."""
    log = opened(examined(log or Log()), canals)
    for canal in ready_canals:
        fitted(shaped(log, canal), canal)
    return log


def fill(log: Log, canal: int = 1, *, ago: int | None = None, outside: bool = False) -> int:
    """Log the fill of a canal and what is asked beside it; give the number of the entry with the act."""
    log.answer("sealing", canal, sealer_lot="7003")
    seq = log.answer("sealing", canal, ago=ago, outside=outside, fill="filled")
    log.answer("sealing", canal, level="0", voids="none")
    return seq
