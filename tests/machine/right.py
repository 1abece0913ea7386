"""The next right thing: what a visit that goes well would have next, by what still shuts the gate."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from stepper.case.judge import unanswered
from stepper.facts.state import View
from stepper.facts.values import Choice, Size
from tests.machine.chart import Value, Values, absent, choice, depth, digits, instrument, number, size
from tests.machine.walk import Walk

Act = Callable[[Walk, int], None]


def prepare(walk: Walk) -> None:
    """Time-out, set-up, dam and canals, mostly right."""
    walk.prepared = True
    walk.answer("patient_check", 0, digits("4711"))
    walk.answer("tooth_check", 0, digits("36"))
    for item in ("resin_sealer", "calcium_silicate_sealer", "cones_04"):
        set_up(walk, item)
    walk.answer("dam", 0, choice("on"))
    if not walk.case.told.canals or walk.draw.random() < 0.3:
        walk.answer("canals", 0, choice(*walk.chart.names[1 : 1 + walk.draw.randint(1, 4)]))


def next_right(walk: Walk, canal: int) -> None:
    """Do what the first shut clause wants, or fill."""
    reasons = walk.reasons[canal]
    if reasons and walk.draw.random() < 0.1:
        mend(walk, canal, next(iter(reasons)))
    elif reasons:
        FIXES[next(iter(reasons))](walk, canal)
    else:
        fill(walk, canal)


def set_up(walk: Walk, item: str) -> None:
    step, question = walk.chart.where["item"][0]
    expiry: Value = {
        "kind": "expiry",
        "year": walk.draw.choice([2027, 2027, 2027, 2026]),
        "month": walk.draw.choice([1, 3, 12]),
    }
    if walk.draw.random() < 0.05:
        expiry = absent("not_measured")
    walk.together(step, 0, {question: choice(item), walk.chart.id_of("item_expiry"): expiry})


def declare(walk: Walk, canal: int) -> None:
    """Cut to length with the widest file there was, and declare it."""
    uses = [one for one in walk.case.told.canals[canal].files_of_all if one.purpose == "cut"]
    widest, taper = max(
        ((one.size, str(one.taper)) for one in uses),
        default=(30, "0.04"),
        key=lambda pair: Decimal(pair[0]) / 100 + 3 * Decimal(pair[1]),
    )
    step, question = walk.chart.where["file"][-1]
    walk.together(step, canal, {question: instrument(widest, taper, "0"), walk.chart.purpose(step): choice("cut")})
    walk.answer("master_apical_file", canal, size(widest, taper))


def measure(walk: Walk, canal: int) -> None:
    carried = walk.seen.carried.get(canal)
    mm = str(carried.length.mm) if carried is not None and carried.length is not None else "20"
    step, name = walk.chart.where["working_length"][0]
    values: Values = {name: number(walk.draw.choice([mm, mm, mm, "20", "20.5", "21"]))}
    if walk.draw.random() < (0.3 if carried is None else 0.6):
        values[walk.chart.id_of("reference")] = choice(walk.draw.choice(["buccal_cusp", "mesiobuccal_cusp"]))
    walk.together(step, canal, values)


def fit(walk: Walk, canal: int) -> None:
    if walk.real("technique", canal) is None:
        walk.answer("technique", canal, choice(walk.draw.choice(["single_cone", "cold_lateral", "warm_vertical"])))
    declared = walk.real("master_apical_file", canal)
    chosen, taper = (declared.size, str(declared.taper)) if isinstance(declared, Size) else (30, "0.04")
    if walk.draw.random() < 0.15:
        chosen = walk.draw.choice([25, 30, 35, 40])
    step, question = walk.chart.where["cone"][0]
    values: Values = {question: size(chosen, taper)}
    values[walk.chart.id_of("seat")] = depth(walk.draw.choice(["0", "0", "0.5", "1.5"]))
    values[walk.chart.id_of("tug_back")] = choice(walk.draw.choice(["yes", "yes", "yes", "no"]))
    values[walk.chart.id_of("cone_image")] = choice(walk.draw.choice(["seated", "seated", "seated", "short"]))
    if walk.draw.random() < 0.1:
        values[walk.draw.choice(list(values))] = absent("not_measured")
    walk.together(step, canal, values)


def dry(walk: Walk, canal: int) -> None:
    if walk.real("sealer", canal) is None:
        walk.answer("sealer", canal, choice(walk.draw.choice(["resin_sealer", "calcium_silicate_sealer"])))
    step, question = walk.chart.where["paper_point_depth"][0]
    values: Values = {question: depth(walk.draw.choice(["0", "0", "1", "2"]))}
    how = walk.draw.choice(["dry", "dry", "dry", "damp", "wet"])
    values[walk.chart.id_of("dryness")] = choice(how)
    if how == "damp" and walk.draw.random() < 0.8:
        values[walk.chart.id_of("damp_mm")] = number(walk.draw.choice(["0.5", "1", "2"]))
    walk.together(step, canal, values)


def rinse(walk: Walk, canal: int) -> None:
    for solution in walk.draw.choice([["edta_17", "hypochlorite_3"], ["hypochlorite_3", "edta_17", "hypochlorite_3"]]):
        walk.answer("irrigant", canal, choice(solution))


def lots(walk: Walk, canal: int) -> None:
    chosen = walk.real("sealer", canal)
    set_up(walk, chosen.options[0] if isinstance(chosen, Choice) else "resin_sealer")
    set_up(walk, "cones_04")
    for item in ("cones_06", "cones_02"):
        if any(item in row.options("item") for row in walk.case.told.rows_with("item", 0)):
            set_up(walk, item)


def clear(walk: Walk, canal: int) -> None:
    if walk.case.unconfirmed:
        confirm_all(walk, canal)
    view: View = walk.case.told
    if view.canals[canal].fill is not None:
        return
    allergies = view.role("allergies", 0)
    if allergies is not None and isinstance(allergies.value, Choice) and allergies.value.options != ("none",):
        answers = {walk.chart.id_of("allergies"): choice("none")}
        walk.log("correction", of=allergies.seq, how="measured_anew", values=answers)
    walk.answer("dam", 0, choice("on"))
    walk.answer("patient_check", 0, digits(view.patient))
    walk.answer("tooth_check", 0, digits(view.tooth))
    for role in ("tooth_opened", "tooth_counted"):
        if view.role(role, 0) is not None:
            walk.answer(role, 0, digits(view.tooth))


def depart(walk: Walk, canal: int) -> None:
    for view in (walk.case.told, walk.case.sure):
        for remark in unanswered(walk.case, view, canal):
            walk.log("departure", remark=remark.key, reason="anatomy", said_by=1)
            walk.drew("departure")


def confirm_all(walk: Walk, canal: int) -> None:  # noqa: ARG001 - it is the whole session's
    if walk.case.unconfirmed:
        walk.log("confirm", of=list(walk.case.unconfirmed), said_by=1)
        walk.drew("confirm all")


def fill(walk: Walk, canal: int) -> None:
    step, question = walk.chart.where["fill"][0]
    extra: dict[str, object] = {"ago_min": walk.draw.randint(1, 10)} if walk.draw.random() < 0.1 else {}
    walk.log("answer", step=step, canal=canal, row=1, values={question: choice("filled")}, **extra)


def mend(walk: Walk, canal: int, clause: str) -> None:
    """Say that what shuts a clause was keyed wrong: the last row of it was as it should be."""
    role = MENDED.get(clause)
    step, name = walk.chart.where[role][0] if role is not None else ("", "")
    rows = [one for one in walk.rows_keyed(0, canal) if one.step == step and name in one.values]
    if not rows:
        return
    declared, good = walk.real("master_apical_file", canal), dict(GOOD)
    if isinstance(declared, Size):
        good["cone"] = size(declared.size, str(declared.taper))
    roles = {known: walk.chart.questions[(step, known)].role or "" for known in rows[-1].values}
    values = {known: good[role] for known, role in roles.items() if role in good}
    walk.drew("keyed wrong, and right after all")
    walk.log("correction", of=rows[-1].seq, how="keyed_wrong", values=values)


MENDED = {"length": "working_length", "cone_fit": "cone", "dry": "dryness", "lots": "item_expiry", "clear": "dam"}
"""What a clause goes by that one may have keyed wrong."""

GOOD: Values = {
    "working_length": number("20"),
    "cone": size(30, "0.04"),
    "seat": depth("0"),
    "tug_back": choice("yes"),
    "cone_image": choice("seated"),
    "paper_point_depth": depth("0"),
    "dryness": choice("dry"),
    "item_expiry": {"kind": "expiry", "year": 2027, "month": 12},
    "dam": choice("on"),
}
"""What opens a clause, by role."""

FIXES: dict[str, Act] = {
    "clear": clear,
    "length": measure,
    "master_apical_file": declare,
    "cone_fit": fit,
    "dry": dry,
    "rinse": rinse,
    "lots": lots,
    "answered": depart,
}
"""What opens each clause again."""
