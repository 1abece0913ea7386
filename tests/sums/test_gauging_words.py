"""What is said of gauging: both bounds in the design's words, rounded outward; and never a size to cut or fill."""

from __future__ import annotations

import re
from collections import Counter
from decimal import Decimal
from random import Random

import pytest

from stepper.sums.gauging.bounds import bounds
from stepper.sums.gauging.compare import compare
from stepper.sums.gauging.model import How, Model, Reading, straight
from stepper.sums.gauging.words import APEX_OFF, comparison, contradiction, further, outward, sentences, span
from tests.gauging import evidence
from tests.sums.test_gauging_bounds import WORKED, passed, stopped
from tests.sums.test_gauging_contradiction import THREE

D = Decimal
STOCK = tuple(straight(size, D("0.02")) for size in (15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 70, 80))

PROPOSES = re.compile(
    r"\b(recommend\w*|advi[sc]\w*|should|must|ought|need to|has to|have to|prefer\w*|suggest\w*|propos\w*|suitab\w*"
    r"|ideal\w*|better|best|enough|sufficient\w*|adequate\w*|enlarg\w*|widen\w*|instrument to|prepar\w*|shap\w+"
    r"|cut to|cut with|cut up|go up|step up|continue|use an?|use the|choose|select|master|obturat\w*|fill\w*|cone"
    r"|dress\w*|dentine|remov\w*|finish\w*)\b",
    re.IGNORECASE,
)
FILE = re.compile(r"\b\d{2,3}/\.\d+")


def test_the_worked_sentence() -> None:
    assert " ".join(sentences(bounds(WORKED))) == (
        "Round, straight canal assumed: narrowest width at length 0.28-0.44 mm. If the 35 was held at its tip: "
        "0.28-0.37. A ledge, a curve, debris or an oval canal make both wrong."
    )


def test_without_an_upper_bound() -> None:
    assert " ".join(sentences(bounds([passed(30, "0.02")]))) == (
        "Round, straight canal assumed: narrowest width at length at least 0.28 mm, no upper bound. "
        "A ledge, a curve, debris or an oval canal make this wrong."
    )


def test_without_a_lower_bound() -> None:
    assert sentences(bounds([stopped(35, "0.02", "0.5")]))[:2] == (
        "Round, straight canal assumed: narrowest width at length at most 0.69 mm.",  # 0.37 + 0.02 * 15.8 = 0.686
        "If the 35 was held at its tip: at most 0.37.",
    )


def test_with_nothing_proved_at_length() -> None:
    assert sentences(bounds([passed(30, "0.02", "2")]))[0].endswith("narrowest width at length not known.")


def test_a_file_that_cannot_have_been_held_at_its_tip_is_told() -> None:
    said = sentences(bounds([passed(40, "0.02"), stopped(35, "0.06", "1")]))
    assert said[1] == "The 35/.06-1 cannot have been held at its tip."
    assert said[-1].endswith("make this wrong.")


def test_readings_that_cannot_all_be_true_are_told_and_no_number() -> None:
    found = bounds(THREE)
    assert sentences(found) == (contradiction(found.contradiction),)
    assert sentences(found)[0] == (
        "In a round, straight canal these cannot all be true: 25/.06 cut, 40/.02 loose and 30/.04-1 held. "
        "Worth reading again; no bounds are given."
    )
    assert further(found, STOCK) == "Before any other reading, 25/.06, 40/.02 and 30/.04-1 are worth reading again."
    assert comparison(compare(STOCK[0], found, 40), found) == (
        "15/.02: the gauging readings contradict one another, so nothing is compared.",
    )


def test_widths_are_rounded_outward() -> None:
    assert outward(D("0.289"), D("0.431")) == (D("0.28"), D("0.44"))
    assert outward(D("0.28"), D("0.44")) == (D("0.28"), D("0.44"))
    assert outward(None, None) == (None, None)
    assert outward(D("0.28119"), D("0.43111"), D("0.0001")) == (D("0.2811"), D("0.4312"))
    assert span(D("0.289"), D("0.431")) == "0.28-0.44 mm"
    assert span(D("0.289"), None) == "at least 0.28 mm, no upper bound"
    assert span(None, D("0.431")) == "at most 0.44 mm"
    assert span(None, None) == "not known"


def test_rounding_far_behind_the_point_does_not_cost_a_hundredth() -> None:
    # 0.45 + 0.03 y against 0.13 + 0.06 y: they meet at 10.666... mm, which no decimal is, just 0.77 mm wide.
    found = bounds([passed(15, "0.06"), stopped(43, "0.03", "0")])
    assert outward(found.low_mm, found.high_mm) == (D("0.13"), D("0.77"))


@pytest.mark.parametrize(
    ("readings", "says"),
    [
        ([passed(30, "0.02")], "no upper bound. The next gauging file of the stock is 35/.02."),
        ([passed(80, "0.02")], "the stock has no gauging file larger than what went in."),
        (WORKED, "No reading with a gauging file of the stock is certain to narrow the bounds."),
        (
            [stopped(35, "0.02", "0")],
            "A reading with gauging file 30/.02 would narrow the bounds most: whatever it shows, from 0.69 mm apart to "
            "0.41 mm or less.",
        ),
    ],
)
def test_a_further_reading(readings: list[Reading], says: str) -> None:
    assert further(bounds(readings), STOCK).endswith(says)


def said_in_a_random_case(draw: Random) -> tuple[list[str], set[str]]:
    """Every sentence of a random case, and the files that a sentence may name: those read, compared or in stock."""
    model, readings = evidence.model(draw), evidence.readings(draw)
    found = bounds(readings, model)
    tool = straight(draw.choice((20, 30, 45, 60)), D(draw.choice(("0.02", "0.04", "0.06"))))
    said = [
        *sentences(found),
        *comparison(compare(tool, found, draw.choice((None, 25, 30))), found),
        further(found, STOCK),
    ]
    return said, {tool.name, *(one.tool.name for one in readings), *(one.name for one in STOCK)}


def test_no_sentence_proposes_a_size_to_cut_or_fill() -> None:
    draw, kinds = Random(2), Counter[str]()
    for _ in range(300):
        said, known = said_in_a_random_case(draw)
        for sentence in said:
            assert not PROPOSES.search(sentence), sentence
            assert sentence[0].isupper() or sentence[0].isdigit()
            assert sentence.endswith(".")
            assert set(FILE.findall(sentence)) <= known, sentence
            kinds[re.sub(r"[\d./-]+", "#", sentence)[:24]] += 1
        of_stock = [
            name for name in FILE.findall(said[-1]) if f"gauging file {name}" in said[-1] or "stock is" in said[-1]
        ]
        assert of_stock == FILE.findall(said[-1]) or said[-1].startswith("Before any other reading, ")
    assert not PROPOSES.search(APEX_OFF)
    assert len(kinds) >= 10, kinds


@pytest.mark.parametrize(
    "sentence",
    ["Enlarge to 40/.04.", "A 40 should be used.", "The best master file is 45.", "More dentine may be removed."],
)
def test_the_search_for_proposals_finds_them(sentence: str) -> None:
    assert PROPOSES.search(sentence)


@pytest.mark.parametrize("how", list(How))
def test_how_a_file_went_is_told_in_a_contradiction(how: How) -> None:
    other = stopped(20, "0.02", "0.5")
    held = {How.STOPPED: "50/.02-0 held", How.FREED: "50/.02-0 held before a cut"}
    words = {How.CUT: "50/.02 cut", How.PASSED: "50/.02 loose", **held}
    found = bounds([Reading(straight(50, D("0.02")), how, D(0)), stopped(20, "0.02", "1"), other])
    assert words[how] in sentences(found)[0]


def test_a_length_that_rounds_to_nothing_is_not_told_as_nothing() -> None:
    """By hand: 25/.02 at length proves .23 mm there, 40/.02 cut to 0.04 mm short .38 mm from there on: 30/.02 is larger
    than what passed over those 0.04 mm alone."""
    file = straight(40, D("0.02"))
    found = bounds([passed(25, "0.02"), Reading(file, How.CUT, D("0.04"))], Model(read_error_mm=D(0)))
    told = " ".join(comparison(compare(straight(30, D("0.02")), found, 25), found))
    assert "larger than what passed over less than 0.1 mm" in told
