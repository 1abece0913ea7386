"""Everything else that can be answered or corrected, in any order, for any canal."""

from __future__ import annotations

from stepper.case.judge import unanswered
from stepper.facts.entries import Answer, AnyEntry, Correction
from stepper.facts.record import written
from tests.machine.chart import Value, absent, choice, digits, instrument, number
from tests.machine.right import Act, confirm_all, depart, dry, fill, fit, measure, rinse
from tests.machine.walk import Walk

PURPOSES = ("cut", "recapitulate", "patency", "scout")


def anything(walk: Walk, canal: int) -> None:
    """Answer any question at all, often as having happened earlier."""
    step, name = walk.chart.any_question(walk.draw)
    question = walk.chart.questions[(step, name)]
    value = walk.not_known() if walk.draw.random() < 0.15 else walk.chart.value(walk.draw, step, name)
    whose = canal if step not in walk.chart.of_tooth or question.per_canal else 0
    if whose and walk.draw.random() < 0.03:
        whose = max(walk.case.told.canals) + 1
        walk.drew("answer for a canal not named yet")
    row = walk.row(step, whose, question.part)
    at = {"at": walk.draw.choice(list(walk.case.told.canals))} if walk.draw.random() < 0.2 else {}
    walk.drew("for another canal", bool(at))
    walk.log("answer", step=step, canal=whose, row=row, values={name: value}, **at, **walk.extra(0.3))
    if walk.draw.random() < 0.3:
        _correct(walk, walk.case.entries[-1])


def cut(walk: Walk, canal: int) -> None:
    step, question = walk.draw.choice(walk.chart.where["file"])
    short = walk.draw.choice(["0", "0", "0", "0.5", "1", "2", "-0.5"])
    file = instrument(walk.draw.choice([25, 30, 35, 40]), walk.draw.choice(["0.04", "0.04", "0.06"]), short)
    purpose = choice(walk.draw.choice(["cut", "cut", "cut", "recapitulate", "patency", "scout"]))
    walk.together(step, canal, {question: file, walk.chart.purpose(step): purpose})


def patency(walk: Walk, canal: int) -> None:
    step, question = walk.chart.where["file"][-1]
    walk.together(step, canal, {question: instrument(10, "0.02", "0"), walk.chart.purpose(step): choice("patency")})


def purposed(walk: Walk, canal: int) -> None:
    """Say, or say once more, what a file was for, without the file."""
    files = [one for one in walk.rows_keyed(canal) if "file" in one.values]
    if files:
        row = walk.draw.choice(files[-4:])
        said = choice(walk.draw.choice(PURPOSES))
        walk.log("answer", step=row.step, canal=canal, row=row.row, values={"purpose": said}, **walk.extra())


def purposeless(walk: Walk, canal: int) -> None:
    """A file whose purpose nobody has said yet."""
    step, question = walk.draw.choice(walk.chart.where["file"])
    walk.together(step, canal, {question: instrument(walk.draw.choice([20, 30, 40]), "0.04", "0")})


def correct(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is any entry
    """Correct one of the last entries, or any."""
    entries = [one for one in walk.case.entries if isinstance(one, Answer | Correction)]
    if entries:
        _correct(walk, walk.draw.choice(entries if walk.draw.random() < 0.2 else entries[-12:]))


def _correct(walk: Walk, entry: AnyEntry) -> None:
    if not isinstance(entry, Answer | Correction):
        return
    home = walk.seen.home(entry)
    name = walk.draw.choice(list(entry.values))
    known = home is not None and (home.step, name) in walk.chart.answers
    value = walk.chart.value(walk.draw, home.step, name) if home is not None and known else digits("36")
    if home is not None and (home.step, name) in walk.chart.where["canals"]:
        value = written(entry.values[name])  # other canals come by being named
    if walk.draw.random() < 0.15:
        value = walk.not_known()
    walk.drew("correction of a correction", isinstance(entry, Correction))
    how = walk.draw.choice(["keyed_wrong", "measured_anew"])
    walk.log("correction", of=entry.seq, how=how, values={name: value})


def correct_nothing(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is any entry
    """Correct an entry that holds no answer, which changes nothing."""
    entries = [one for one in walk.case.entries[1:] if not isinstance(one, Answer | Correction)]
    if entries:
        walk.drew("correction of nothing")
        how = walk.draw.choice(["keyed_wrong", "measured_anew"])
        walk.log("correction", of=walk.draw.choice(entries).seq, how=how, values={"fill": choice("filled")})


def header(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is the whole session's
    member, value = walk.draw.choice([("patient", "4712"), ("tooth", "37"), ("patient", "4711"), ("tooth", "36")])
    walk.drew("correction of the header")
    walk.log("correction", of=0, how="keyed_wrong", values={member: digits(value)})


def confirm_some(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is the whole session's
    """Confirm some of what waits, now and then something that does not wait, or is not there yet."""
    waits = list(walk.case.unconfirmed)
    if walk.draw.random() < 0.1:
        waits.append(walk.draw.randint(1, walk.seq + 5))
    if len(waits) > 1:
        walk.drew("confirm some")
        walk.log("confirm", of=walk.draw.sample(waits, walk.draw.randint(1, len(waits) - 1)), said_by=1)


def named(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is the tooth's
    """Name the canals again, one more or one less, also as having happened earlier."""
    walk.answer("canals", 0, choice(*["mb", "db", "p", "ml", "dl"][: walk.draw.randint(1, 4)]))


def found(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is a new one
    known = walk.case.told.canals
    if walk.draw.random() < 0.1:  # a number or a name that is taken already
        walk.log("canal", canal=max(known), name=walk.draw.choice(walk.chart.labels[:4]))
    elif len(known) < 4:
        walk.drew("canal found late")
        walk.log("canal", canal=max(known) + 1, name=f"extra {len(known)}")


def join(walk: Walk, canal: int) -> None:
    others = [one for one in walk.case.told.canals if one != canal]
    if others and walk.draw.random() < 0.5:
        at = {"at_mm": walk.draw.choice(["16", "19", "20"])} if walk.draw.random() < 0.6 else {}
        walk.drew("join with mm" if at else "join without mm")
        walk.log("join", canal=canal, into=walk.draw.choice(others), **at)


def act_in_joined(walk: Walk, canal: int) -> None:
    """Rinse or file a canal that another one joins with."""
    others = [one for one in walk.readings[0][0].together(canal) if one != canal]
    if others:
        walk.drew("act in a joined canal")
        walk.draw.choice((rinse, rinse, patency, cut))(walk, walk.draw.choice(others))


def hold(walk: Walk, canal: int) -> None:
    """Hold back an act, or give up a row that was keyed for it."""
    rows = [one for one in walk.rows_keyed(0, canal) if one.step in walk.chart.many or walk.draw.random() < 0.1]
    if rows:
        row, drops = walk.draw.choice(rows[-6:]), walk.draw.random() < 0.5
        walk.drew("held and dropped" if drops else "held")
        where = {"step": row.step, "canal": row.canal, "row": row.row}
        walk.log("held", **where, values={"any": absent("not_done")}, remarks=[], drops=drops)


def overrule(walk: Walk, canal: int) -> None:
    """What a stop was about is done all the same: mostly a cone, but it could be any row."""
    cones = {step for step, _ in walk.chart.where["cone"]}
    rows = [one for one in walk.rows_keyed(0, canal) if one.step in cones or walk.draw.random() < 0.1]
    if rows:
        row = walk.draw.choice(rows[-4:])
        walk.drew("overruled")
        walk.log("overruled", step=row.step, canal=row.canal, row=row.row, remark="cone:1:1+2")


def owe(walk: Walk, canal: int) -> None:
    asks = unanswered(walk.case, walk.case.told, canal)
    if asks:
        walk.drew("owe")
        walk.log("owe", remark=walk.draw.choice(asks).key)


def dam(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is the tooth's
    """The dam came off; mostly it goes on again, each in a row of its own."""
    walk.answer("dam", 0, choice("off"))
    if walk.draw.random() < 0.7:
        walk.answer("dam", 0, choice("on"))
        walk.drew("dam off and on again")


def allergy(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is the tooth's
    walk.answer("allergies", 0, choice(walk.draw.choice(["none", "none", "epoxy", "hypochlorite"])))


def reference(walk: Walk, canal: int) -> None:
    """Say the reference point, and now and then that it broke."""
    step, name = walk.chart.where["reference"][0]
    walk.together(step, canal, {name: walk.chart.value(walk.draw, step, name)})
    if walk.draw.random() < 0.3:
        walk.log("correction", of=walk.seq - 1, how="measured_anew", values={name: choice("buccal_cusp")})


def block(walk: Walk, canal: int) -> None:
    """A canal is blocked: its outcome with where it ended, and the length agreed anew at the block."""
    step, outcome = walk.chart.where["outcome"][0]
    mm = number(walk.draw.choice(["17", "18.5"]))
    said = choice(walk.draw.choice(["blocked", "blocked", "fragment", "not_treated"]))
    walk.drew("blocked canal", said == choice("blocked"))
    walk.together(step, canal, {outcome: said, "ended_at": mm})
    if walk.draw.random() < 0.7:
        _length_anew(walk, canal, mm)


def remeasure(walk: Walk, canal: int) -> None:
    """Measure the length anew, mostly with nothing new found."""
    agreed = walk.case.told.role("working_length", canal)
    if agreed is not None:
        mm = number(walk.draw.choice(["20", "20", "20.5"]))
        walk.drew("length measured anew")
        walk.log("correction", of=agreed.seq, how="measured_anew", values={walk.chart.id_of("working_length"): mm})


def _length_anew(walk: Walk, canal: int, mm: Value) -> None:
    walk.drew("length anew at the block")
    agreed = walk.case.told.role("working_length", canal)
    name = walk.chart.id_of("working_length")
    if agreed is None or agreed.seq in walk.seen.carried or walk.draw.random() < 0.5:
        walk.answer("working_length", canal, mm)
    else:
        walk.log("correction", of=agreed.seq, how="measured_anew", values={name: mm})


def disturb(walk: Walk, canal: int) -> None:
    """Do something to a canal whose gate is open: to one that it joins with, if there is any."""
    if len(walk.readings[0][0].together(canal)) > 1:
        act_in_joined(walk, canal)
    else:
        walk.draw.choice(NOISE)(walk, canal)


NOISE: tuple[Act, ...] = (
    *(cut, correct, correct, correct, confirm_all, confirm_some, confirm_some, header, found, join, hold, overrule),
    *(owe, dam, dam, allergy, patency, reference, measure, fill, fit, dry, rinse, depart, purposed, purposeless),
    *(named, block, remeasure, act_in_joined, act_in_joined, fill, join, correct_nothing),
    *(anything, anything, anything, anything, anything),
)
"""Facts in any order."""
