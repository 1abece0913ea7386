"""Rules about computed values: below or above a limit, one of some words; and how such a value is written."""

from __future__ import annotations

from stepper.facts.state import LAST
from tests.cases import Log, opened
from tests.kinds.rules import Said, case

# computed: a number above a limit. The canal is cut 25/.04 and the needle a 30 G one, 0.32 mm at most (from memory): it
# touches 1.75 mm short.

PAST = "MB: the needle went {} mm past where it touches, as reckoned; it may have been wedged."


def _needled(log: Log, depth: str, canal: int = 1) -> tuple[int, int]:
    typed = {"solution": "saline", "volume": "3", "needle_depth": depth, "needle": "needle_30_side"}
    master = log.answer("shaping", canal, LAST, master="25/4")
    return master, log.answer("irrigation", canal, **typed)


@case("computed", "needle_past_touch")
def past_where_the_needle_touches(log: Log) -> Said:
    return [(1, _needled(opened(log), "-1"), PAST.format("0.75"))]


@case("computed", "needle_past_touch")
def further_out_than_it_touches(log: Log) -> Said:
    _needled(opened(log), "-2")
    return []


@case("computed", "needle_past_touch", edits=(('id = "needle_past_touch"', "above = 0", "above = 0.75"),))
def at_the_limit_itself(log: Log) -> Said:
    _needled(opened(log), "-1")
    return []


@case("computed", "needle_past_touch")
def how_deep_it_went_was_not_measured(log: Log) -> Said:
    _needled(opened(log), "-/")
    return []


@case("computed", "needle_past_touch")
def the_depth_keyed_wrong(log: Log) -> Said:
    log.correct(_needled(opened(log), "-1")[1], needle_depth="-2")
    return []


@case("computed", "needle_past_touch")
def of_each_canal_for_itself(log: Log) -> Said:
    _needled(opened(log), "-2")
    return [(3, _needled(log, "-0.5", 3), PAST.format("1.25").replace("MB", "D"))]


# computed: a word. Between a 40 that cut to length and a 30 held there no canal is round.

AGAIN = "MB: the gauging readings cannot all be true in a round, straight canal; worth reading again."


def _gauged(log: Log, cut: str, held: str) -> int:
    opened(log).answer("length", 1, working_length="20.5")
    log.answer("flare", 1, file=cut, purpose="cut")
    return log.answer("gauging", 1, gauge=held, held="held")


@case("computed", "gauging_contradicts")
def a_reading_that_cannot_be_true(log: Log) -> Said:
    return [(1, (_gauged(log, "40/4-0", "30-0"),), AGAIN)]


@case("computed", "gauging_contradicts")
def readings_that_can_be_true(log: Log) -> Said:
    _gauged(log, "25/6-0", "30-0")
    return []


@case("computed", "gauging_contradicts")
def the_reading_was_keyed_wrong(log: Log) -> Said:
    log.correct(_gauged(log, "40/4-0", "30-0"), gauge="45-0")
    return []


@case("computed", "gauging_contradicts")
def the_apex_is_open(log: Log) -> Said:
    _gauged(log, "40/4-0", "30-0")
    log.answer("length", 1, apex="open")
    return []


# computed: of the tooth, and written to hundredths so that no limit reads as kept. 1.8 mL of articaine are 72 mg of
# 7 x 71 = 497 (label and handbook, seen): 14.4869 %.


def _dose(limits: str) -> tuple[str, str, str]:
    rule = (
        'id = "share"\nkind = "computed"\nweight = "tell"\nvalue = "dose_share_percent"\n'
        f'{limits}\ntext = "{{canal}}{{value}} %, {{below}} to {{above}}."'
    )
    return (
        'id = "effect_untested"',
        'text = "The tooth is being opened, and the effect of the anaesthetic has not been tested."',
        f'text = "The tooth is being opened, and the effect was not tested."\n\n[[step.rule]]\n{rule}',
    )


def _given(log: Log) -> tuple[int, int]:
    weight = log.answer("anaesthesia", row=0, weight="71")
    return weight, log.answer("anaesthesia", agent="articaine_4_epi_100", volume="1.8", site="buccal")


@case("computed", "share", edits=(_dose("above = 14.486"),))
def above_a_limit_it_is_rounded_up(log: Log) -> Said:
    return [(0, _given(log), "14.49 %,  to 14.486.")]


@case("computed", "share", edits=(_dose("below = 14.488\nabove = 30"),))
def below_a_limit_it_is_rounded_down(log: Log) -> Said:
    return [(0, _given(log), "14.48 %, 14.488 to 30.")]


@case("computed", "share", edits=(_dose("below = 14.48\nabove = 14.49"),))
def between_the_limits(log: Log) -> Said:
    _given(log)
    return []
