"""What was given as the record has it, and the lines before the next cartridge.

Maxima: US label and handbook, FOUND; 0.2 and 0.04 mg of epinephrine, FOUND.
"""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from stepper.facts.state import Fact, Row
from stepper.kinds.doses import WIDE, DosesGiven, doses_given, forecast_lines
from stepper.kinds.rules.dose import Dose
from tests.cases import Log
from tests.kinds.rules import edited

LIDOCAINE, ARTICAINE, MEPIVACAINE = "lidocaine_2_epi_100", "articaine_4_epi_100", "mepivacaine_3"
EVERY = [LIDOCAINE, ARTICAINE, "articaine_4_epi_200", MEPIVACAINE, "prilocaine_4", "bupivacaine_05_epi_200"]
BY_LOWEST = ("dose_over", 'method = "shares"', 'method = "lowest_maximum"')


def weighed(kg: str = "70", **more: str) -> Log:
    log = Log()
    log.answer("anaesthesia", row=0, weight=kg, **more)
    return log


def inject(log: Log, row: int, agent: str, volume: str, **more: str) -> int:
    return log.answer("anaesthesia", row=row, agent=agent, volume=volume, **more)


def rule(log: Log) -> Dose:
    return next(one for one in log.plan.by_step["anaesthesia"].rule if isinstance(one, Dose))


def lines(log: Log, *items: str) -> tuple[str, ...]:
    case = log.case()
    return forecast_lines(case.seen(case.told), rule(log), "anaesthesia", items)


def read(log: Log) -> DosesGiven:
    case = log.case()
    return doses_given(case.seen(case.told), [("anaesthesia", rule(log))])


def test_nothing_given_and_two_agents_set_up():
    """At 70 kg: articaine 490 mg, 12.25 mL; mepivacaine 400 mg, 13.33 mL; a cartridge of 1.8 mL is 72 or 54 mg."""
    assert lines(weighed(), ARTICAINE, MEPIVACAINE, "edta_17") == (
        "Nothing given so far; epinephrine at most 200 µg.",
        "22: 12.25 mL left, 6 cartridges, next makes 15 %",
        "24: 13.33 mL left, 7 cartridges, next makes 14 %",
    )
    assert lines(weighed()) == ("Nothing given so far.",)


def test_the_last_given_stands_first_then_what_is_set_up():
    log = weighed()
    inject(log, 1, LIDOCAINE, "1.8")
    inject(log, 2, ARTICAINE, "3.6")
    assert lines(log, LIDOCAINE) == (
        "So far 37 % by shares; epinephrine at most 200 µg.",  # 36/490 + 144/490
        "22: 7.75 mL left, 4 cartridges, next makes 52 %",
        "21: 14.6 mL left, 8 cartridges, next makes 45 %",  # by epinephrine: 54 of 200 µg
    )


def test_a_cardiac_patient():
    log = weighed(epinephrine_limit="cardiac")
    assert lines(log, LIDOCAINE)[0] == "Nothing given so far; epinephrine at most 40 µg."
    inject(log, 1, LIDOCAINE, "1.8")
    assert lines(log) == (
        "So far 45 % by shares; epinephrine at most 40 µg.",
        "21: 2.2 mL left, 1 cartridge, next makes 90 %",
    )


def test_without_a_weight_it_is_at_most_that():
    log = weighed("-/")
    inject(log, 1, LIDOCAINE, "3.6")
    assert lines(log, ARTICAINE) == (
        "At least 18 % by shares; epinephrine at most 200 µg.",
        "21: no weight; at most 16.4 mL, 9 cartridges",
        "22: what is left is not known.",
    )
    assert lines(log, ARTICAINE, MEPIVACAINE)[1] == "Left at most, mL (cartridges): 21: 16.4 (9), 22: ?,"
    inject(log, 2, ARTICAINE, "1.8")
    assert lines(log)[0] == "So far: share not known without the weight."
    inject(log, 3, LIDOCAINE, "10")
    inject(log, 4, LIDOCAINE, "10")
    assert lines(log)[0] == "So far over the maximum; the share is not known."


def test_by_the_lowest_maximum():
    log = Log(plan=edited((BY_LOWEST,)))
    log.answer("anaesthesia", row=0, weight="70")
    inject(log, 1, ARTICAINE, "1.8")
    inject(log, 2, "bupivacaine_05_epi_200", "1.8")
    assert lines(log) == (
        "So far 90 % by the lowest maximum; epinephrine at most 200 µg.",
        "26: 1.8 mL left, 1 cartridge, next makes 100 %",
        "22: 0.22 mL left, 0 cartridges, next makes 170 %",
    )


def test_more_than_two_agents_share_two_lines():
    told = lines(weighed(), *EVERY)
    assert told == (
        "Nothing given so far; epinephrine at most 200 µg.",
        "Left, mL (cartridges): 21: 20 (11), 22: 12.2 (6),",
        "23: 12.2 (6), 24: 13.3 (7), 25: 14 (7), 26: 18 (10)",
    )


def test_a_volume_or_an_agent_that_is_not_known_makes_it_at_least():
    log = weighed()
    inject(log, 1, ARTICAINE, "1.8")
    inject(log, 2, ARTICAINE, "-/")
    assert lines(log)[0] == "At least 15 % by shares; epinephrine at most 200 µg."
    log = weighed()
    log.answer("anaesthesia", row=1, volume="1.8")
    assert lines(log) == ("At least 0 % by shares.",)


def test_what_was_given_with_its_entries():
    log = weighed("71")
    one = inject(log, 1, ARTICAINE, "1.8", site="earlier")
    two = inject(log, 2, LIDOCAINE, "0.9")
    three = inject(log, 3, ARTICAINE, "--")
    found = read(log)
    assert [group.agent and group.agent.id for group in found.groups] == [ARTICAINE, LIDOCAINE]
    assert [(group.ml, group.without) for group in found.groups] == [(Decimal("1.8"), 1), (Decimal("0.9"), 0)]
    assert [set(group.entries) for group in found.groups] == [{one, three}, {two}]
    assert (found.weight_kg, found.weight and found.weight.seq, found.cardiac) == (71, 1, None)
    assert found.total().mg == 90


def test_a_weight_said_again_counts_and_one_taken_back_does_not():
    log = weighed("70")
    log.correct(1, anew=True, weight="50")
    assert read(log).weight_kg == 50
    log = weighed("70")
    log.correct(1, anew=True, weight="-/")
    assert read(log).weight_kg is None


def test_a_row_that_is_being_judged_is_left_out_and_what_it_says_itself_counts():
    """As before an act is logged: the row is there already, and the line about to be logged says more of it."""
    log = weighed("70")
    inject(log, 1, LIDOCAINE, "1.8")
    inject(log, 2, ARTICAINE, "1.8")
    values = log.values("anaesthesia", {"weight": "50", "epinephrine_limit": "cardiac", "volume": "0.9"})
    case = log.case()
    facts = {name: Fact(value, 9, (9, 0, 9)) for name, value in values.items()}
    row = Row("anaesthesia", 0, 2, {**case.told.rows_of("anaesthesia", 0)[2].facts, **facts})
    found = doses_given(case.seen(case.told), [("anaesthesia", rule(log))], row)
    assert [group.agent and group.agent.id for group in found.groups] == [LIDOCAINE]
    assert (found.weight_kg, found.cardiac_max_ug) == (50, 40)
    plain = doses_given(case.seen(case.told), [("anaesthesia", rule(log))])
    assert (len(plain.groups), plain.weight_kg, plain.cardiac_max_ug) == (2, 70, None)


@settings(deadline=None, max_examples=40)
@given(
    st.lists(st.tuples(st.sampled_from(EVERY), st.sampled_from(["0.1", "1.8", "10", "--"])), max_size=6),
    st.sampled_from(["3", "47", "299.9", "-/"]),
    st.sampled_from(["usual", "cardiac"]),
    st.lists(st.sampled_from([*EVERY, "no_such_thing"]), max_size=6),
)
def test_never_more_than_three_lines_nor_wider_than_there_is_room(some, kg, limit, items):
    log = weighed(kg, epinephrine_limit=limit)
    for row, (agent, volume) in enumerate(some, 1):
        inject(log, row, agent, volume)
    told = lines(log, *items)
    assert 1 <= len(told) <= 3
    assert len(told[0]) <= 2 * WIDE  # it names method and epinephrine limit, and may fold
    assert all(len(line) <= WIDE for line in told[1:])
    assert all(line.isprintable() for line in told)
