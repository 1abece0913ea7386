"""Whole visits to read a note of: four canals interleaved with mishaps, and a visit that ended early."""

from __future__ import annotations

from stepper.facts import entries as kinds
from stepper.facts.state import LAST
from stepper.facts.values import Absent, Choice, Value
from stepper.kinds.questions.choice import ChoiceQuestion
from stepper.lines.refusal import Refusal
from stepper.protocol.models import Protocol
from tests.cases import ABSENT, Log, examined, fill, opened, ready

FOUR = "mb+ml+db+dl"


def four_canals(*, practice: bool = True, plan: Protocol | None = None) -> Log:
    """A lower molar: four canals filled in turns, more anaesthetic in the middle, a correction, a separated file."""
    log = Log(practice=practice, settings='heading = "Praxis für Beispiele"', plan=plan)
    log = opened(examined(log), FOUR)
    _lengths(log)
    log.wait(4)
    log.answer("anaesthesia", row=2, agent="lidocaine_2_epi_100", volume="1.8", site="alveolar_block")
    log.answer("anaesthesia", row=2, aspiration="negative")
    _shaped(log)
    seq = log.incident("shaping", 4)
    detail(log, seq, "separated_file")
    detail(log, seq, "separated_file", fragment_mm="3")
    detail(log, seq, "separated_file", fragment_mm="2.5", level="apical", result="-.")
    _rinsed(log)
    for canal in (1, 2, 3):
        _fitted(log, canal)
    for canal in (1, 2, 3):
        fill(log, canal)
    log.answer("dressing", 4, material="calcium_hydroxide", pellet="cotton", lot="8101")
    log.answer("closing", 4, outcome="fragment", ended_at="17.5")
    log.answer("coronal_seal", material="glass_ionomer", thickness="4", cover="flowable", restorer="here")
    log.answer("coronal_seal", restore_by="16.3.2026")
    log.answer("closing", counted="yes", dam_off="yes", advice="spoken+emergency", next_visit="go_on")
    log.close()
    return log


def ended_early(*, practice: bool = True) -> Log:
    """The same molar, ended early once two canals are shaped: dressed, closed, made safe."""
    log = opened(examined(Log(practice=practice)), FOUR)
    _lengths(log)
    for canal in (1, 2):
        log.answer("shaping", canal, 1, file="25/4-0", purpose="cut")
        log.answer("irrigation", canal, 1, solution="hypochlorite_3", **_rinse())
    log.log(kinds.Ending, reason="The patient could not tolerate more.", said_by=1)
    for canal in (1, 2):
        log.answer("dressing", canal, material="calcium_hydroxide", pellet="cotton")
    log.answer("coronal_seal", material="temporary_cement", thickness="4", restorer="here")
    for canal in (3, 4):
        log.answer("closing", canal, outcome="not_treated")
    log.answer("closing", counted="yes", dam_off="yes", advice="spoken", next_visit="go_on")
    log.close()
    return log


def eventful() -> Log:
    """A visit with something in every section."""
    log = ready(Log(practice=True, settings='heading = "Praxis für Beispiele"'))
    fill(log)
    log.answer("shaping", 1, 3, ago=2, file="40/4-0", purpose="cut")
    log.correct(len(log.entries) - 1, file="45/4-0")
    log.depart("needle_near:1:7")
    log.owe("needle_near:2:8")
    log.hold("cone_fit", 2, cone="40/4", remarks={"cone:2:9": "It does not match."})
    detail(log, log.incident("shaping", 2), "separated_file", level="apical")
    log.answer("diagnosis", consent="-.")
    log.relieve(3)
    log.answer("irrigation", 2, solution="saline", volume="3", outside=True)
    log.close()
    return log


def detail(log: Log, of: int, what: str, **typed: str) -> int:
    """Log what an incident was, with answers as they are keyed; choices by their option ids."""
    kind = log.plan.incident_of(what)
    assert kind is not None
    values: dict[str, Value] = {}
    for name, text in typed.items():
        question = kind.asked(name)
        assert question is not None
        if text in ABSENT:
            values[name] = Absent(why=ABSENT[text])
        elif isinstance(question, ChoiceQuestion):
            values[name] = Choice(options=tuple(text.split("+")))
        else:
            value = question.parse(text, log.plan)
            assert not isinstance(value, Refusal)
            values[name] = value
    return log.log(kinds.IncidentDetail, of=of, what=what, values=values)


def _lengths(log: Log) -> None:
    for canal, mm in ((1, "20.5"), (2, "20"), (3, "20.5"), (4, "21")):
        log.answer("length", canal, row=0, estimate=mm)
        log.answer("length", canal, electronic=mm, image_length=mm, working_length=mm)
        log.answer("length", canal, reference="mesiobuccal_cusp", patency="yes", mark="half_mark", apex="closed")
        log.answer("flare", canal, file="25/8-6", purpose="cut")
        log.answer("gauging", canal, gauge="25-0" if canal < 3 else "30-0", held="held")


def _shaped(log: Log) -> None:
    for row, size in enumerate(("25/4-0", "30/4-0", "35/4-0"), start=1):
        for canal in (1, 2, 3, 4):
            if canal > 2 or row < 3:
                log.answer("shaping", canal, row, file=size, purpose="cut")
                log.answer("irrigation", canal, row, solution="hypochlorite_3", **_rinse())
    for canal, master in ((1, "30/4"), (2, "30/4"), (3, "35/4"), (4, "35/4")):
        log.answer("shaping", canal, LAST, master=master)


def _rinse() -> dict[str, str]:
    return {"volume": "2", "needle_depth": "-2", "needle": "needle_30_side"}


def _rinsed(log: Log) -> None:
    log.wait(7)
    for row, item in ((4, "edta_17"), (5, "hypochlorite_3")):
        for canal in (1, 2, 3, 4):
            active = {"activation": "ultrasonic", "seconds": "30"} if row == 5 else {}
            log.answer("irrigation", canal, row, solution=item, **_rinse(), **active)


def _fitted(log: Log, canal: int) -> None:
    log.answer("drying", canal, point_depth="0", dryness="dry", blood="none")
    log.answer("cone_fit", canal, row=0, technique="single_cone", sealer="resin_sealer")
    log.answer("cone_fit", canal, cone="30/4" if canal < 3 else "35/4", seat="0", tug_back="yes", cone_image="seated")
