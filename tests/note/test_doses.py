"""What the note says of local anaesthetic: volume, mg, cartridges, share of the maximum, source."""

from __future__ import annotations

from stepper.facts.state import LAST
from tests.cases import Log
from tests.kinds.rules import edited
from tests.note.reading import section, single, the

ARTICAINE = "Articaine 4 % with epinephrine 1:100,000"
LIDOCAINE = "Lidocaine 2 % with epinephrine 1:100,000"
BY_LOWEST = ("dose_over", 'method = "shares"', 'method = "lowest_maximum"')


def weighed(kg: str = "70") -> tuple[Log, int]:
    log = single()
    return log, log.answer("anaesthesia", row=0, weight=kg)


def inject(log: Log, row: int, agent: str, volume: str, **more: str) -> int:
    return log.answer("anaesthesia", row=row, agent=agent, volume=volume, site="buccal", aspiration="negative", **more)


def test_two_cartridges_of_one_agent() -> None:
    log, weight = weighed()
    one = inject(log, 1, "articaine_4_epi_100", "1.8")
    two = inject(log, 2, "articaine_4_epi_100", "0.9")
    told = the(log, f"{ARTICAINE}, in all", "Anaesthesia")
    assert told.text == (
        f"{ARTICAINE}, in all: 2.7 mL, 108 mg, 1.5 cartridges of 1.8 mL. "
        "That is 23 % of the maximum that the protocol names, 490 mg (7 mg/kg at 70 kg). "
        "Source: US label and Handbook of Local Anesthesia, Table 4-4: 7 mg/kg, no cap listed (seen)."
    )
    assert told.entries == (weight, one, two)
    assert the(log, "Epinephrine in all: 27 µg, 14 % of the 200 µg that the protocol allows.").entries == (
        weight,
        one,
        two,
    )
    assert not [one for one in section(log, "Anaesthesia") if one.startswith("All agents")]


def test_two_agents_are_told_apart_and_their_shares_added() -> None:
    log, _ = weighed()
    inject(log, 1, "articaine_4_epi_100", "1.8")
    inject(log, 2, "lidocaine_2_epi_100", "1.8")
    inject(log, 3, "articaine_4_epi_100", "1.8")
    told = section(log, "Anaesthesia")
    assert [one for one in told if "in all: 3.6 mL, 144 mg, 2 cartridges of 1.8 mL. That is 30 %" in one]
    assert [one for one in told if "in all: 1.8 mL, 36 mg, 1 cartridge of 1.8 mL. That is 8 %" in one]
    # 144/490 + 36/490 = 36.7 %, and 180 mg of the 490 that both have
    together = "37 % by shares, as the protocol has it; 37 % by the lowest maximum (490 mg)"
    assert f"All agents together, share of the maximum: {together}." in told
    assert "Epinephrine in all: 54 µg, 27 % of the 200 µg that the protocol allows." in told


def test_the_lower_of_two_maxima_and_the_method_of_the_protocol() -> None:
    """72 of 490 mg and 9 of 90 mg are 24.7 %; all 81 mg are 90 % of the lower maximum."""
    shares, lowest = "25 % by shares", "90 % by the lowest maximum (90 mg)"
    log, _ = weighed()
    by_lowest = Log(tooth="11", plan=edited((BY_LOWEST,)))
    by_lowest.answer("anaesthesia", row=0, weight="70")
    for one, told in ((log, f"{shares}, as the protocol has it; {lowest}"), (by_lowest, f"{lowest}, as the protocol")):
        inject(one, 1, "articaine_4_epi_100", "1.8")
        inject(one, 2, "bupivacaine_05_epi_200", "1.8")
        assert f"share of the maximum: {told}" in the(one, "All agents together").text


def test_what_was_given_earlier_today_elsewhere_is_told_and_counted() -> None:
    log, weight = weighed()
    earlier = log.answer("anaesthesia", row=1, agent="lidocaine_2_epi_100", volume="3.6", site="earlier")
    here = inject(log, 2, "lidocaine_2_epi_100", "1.8")
    told = f"Local anaesthetic, earlier today, not here: {LIDOCAINE}, 3.6 mL."
    assert the(log, told).entries == (earlier,)
    assert the(log, f"{LIDOCAINE}, in all: 5.4 mL, 108 mg").entries == (weight, earlier, here)


def test_the_epinephrine_of_a_cardiac_patient() -> None:
    log = single()
    weight = log.answer("anaesthesia", row=0, weight="70")
    cardiac = log.answer("anaesthesia", row=0, epinephrine_limit="cardiac")
    seq = inject(log, 1, "lidocaine_2_epi_100", "1.8")
    told = the(log, "Epinephrine in all")
    assert told.text == "Epinephrine in all: 18 µg, 45 % of the 40 µg that the protocol allows, for a cardiac patient."
    assert told.entries == (weight, cardiac, seq)
    assert the(log, "Epinephrine limit: cardiac patient, lower.").entries == (cardiac,)


def test_without_a_weight_the_share_is_not_made_up() -> None:
    log = single()
    inject(log, 1, "articaine_4_epi_100", "1.8")
    inject(log, 2, "lidocaine_2_epi_100", "1.8")
    told = section(log, "Anaesthesia")
    assert [one for one in told if ARTICAINE in one and "no maximum" in one and " % of the maximum" not in one]
    assert [one for one in told if LIDOCAINE in one and "(cap, below 500 mg). Weight not known" in one]
    assert f"All agents together, share of the maximum: not known for {ARTICAINE}." in told


def test_a_volume_that_is_not_on_record_is_said_and_not_counted() -> None:
    log, _ = weighed()
    inject(log, 1, "articaine_4_epi_100", "1.8")
    seq = inject(log, 2, "articaine_4_epi_100", "-/")
    told = the(log, "in all: 1.8 mL", "Anaesthesia")
    assert told.text.endswith("Given once more without a volume on record: it is at least this.")
    assert seq in told.entries
    log, _ = weighed()
    inject(log, 1, "articaine_4_epi_100", "-.")
    assert f"{ARTICAINE}, in all: no volume is recorded, so no dose is known." in section(log, "Anaesthesia")


def test_a_volume_of_nobody_knows_what_is_in_no_sum() -> None:
    log, _ = weighed()
    seq = log.answer("anaesthesia", volume="1.8")
    assert the(log, "1.8 mL of an agent that is not recorded").entries == (seq,)
    inject(log, 2, "articaine_4_epi_100", "1.8")
    inject(log, 3, "lidocaine_2_epi_100", "1.8")
    assert "share of the maximum: at least 23 % by shares" in the(log, "All agents together").text


def test_what_was_held_back_is_not_counted_and_what_was_given_all_the_same_is() -> None:
    log, _ = weighed()
    inject(log, 1, "articaine_4_epi_100", "1.8")
    inject(log, 2, "articaine_4_epi_100", "1.8")
    log.hold("anaesthesia", row=2, volume="1.8", remarks={"dose_over:0:3": "Too much."}, drops=True)
    assert the(log, "in all: 1.8 mL", "Anaesthesia")
    log.answer("anaesthesia", row=3, agent="articaine_4_epi_100", volume="0.9", outside=True)
    assert the(log, "in all: 2.7 mL", "Anaesthesia")


def test_a_corrected_volume_counts_as_corrected() -> None:
    log, _ = weighed()
    seq = inject(log, 1, "articaine_4_epi_100", "1.8")
    mended = log.correct(seq, volume="0.9")
    assert mended in the(log, "in all: 0.9 mL, 36 mg, 0.5 cartridges", "Anaesthesia").entries


def test_no_anaesthetic_gives_no_sums() -> None:
    log, _ = weighed()
    log.answer("anaesthesia", row=LAST, effect="none_given")
    assert section(log, "Anaesthesia") == ["Weight: 70 kg.", "Effect of the anaesthetic: no anaesthetic given."]


def test_over_the_maximum_never_reads_as_a_hundred() -> None:
    log, _ = weighed("20")
    inject(log, 1, "articaine_4_epi_100", "3.51")
    assert (
        "That is 101 % of the maximum that the protocol names, 140 mg (7 mg/kg at 20 kg)."
        in the(log, "3.51 mL, 140.4 mg").text
    )
