"""Agents and drawings for the tests of doses. Figures of label and handbook; each test says how they are known."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import strategies as st

from stepper.sums.agents import SUPPLIED, published
from stepper.sums.dose import Agent, Dose

D = Decimal
LB_KG = D("0.45359237")  # exact by definition
HEALTHY_UG, CARDIAC_UG = D(200), D(40)  # epinephrine 0.2 and 0.04 mg, FOUND

LIDOCAINE = published("lidocaine-2-epi-100")
ARTICAINE = published("articaine-4-epi-100", cartridge_ml=D("1.7"))
MEPIVACAINE = published("mepivacaine-3", cartridge_ml=D("1.7"))
PRILOCAINE = published("prilocaine-4")
BUPIVACAINE = published("bupivacaine-0.5-epi-200")
UNLISTED = Agent("unlisted", "an agent", D(40), None, None, False, D(0), D("1.8"))

volumes = st.integers(0, 400).map(lambda tenths: D(tenths) / 10)
weights = st.integers(8, 150).map(Decimal)
columns = st.sampled_from(["label-handbook", "canada", "teaching-lower"])
limits = st.sampled_from([None, HEALTHY_UG, CARDIAC_UG])
agents = st.sampled_from([published(name) for name in SUPPLIED])
doses = st.lists(st.builds(Dose, agents, volumes.filter(lambda ml: ml <= 12)), max_size=5)


def gave(*pairs: tuple[Agent, str]) -> list[Dose]:
    return [Dose(agent, D(ml)) for agent, ml in pairs]
