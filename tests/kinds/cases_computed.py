"""Rules about computed values: below or above a limit, one of some words; and how such a value is written."""

from __future__ import annotations

from tests.cases import Log, opened
from tests.kinds.rules import Said, case

# computed: the level of the fill, against -0.5 to 1.5 mm.

RANGE = "MB: the fill ends {} mm short of length (below 0: beyond); the protocol's range is -0.5 to 1.5 mm."


def _filled(log: Log, level: str) -> int:
    return opened(log).answer("sealing", 1, level=level)


@case("computed", "fill_level")
def shorter_than_the_range(log: Log) -> Said:
    return [(1, (_filled(log, "-2"),), RANGE.format("2"))]


@case("computed", "fill_level")
def further_beyond_than_the_range(log: Log) -> Said:
    return [(1, (_filled(log, "+1"),), RANGE.format("-1"))]


@case("computed", "fill_level")
def at_one_end_of_the_range(log: Log) -> Said:
    _filled(log, "-1.5")
    return []


@case("computed", "fill_level")
def at_the_other_end_of_the_range(log: Log) -> Said:
    _filled(log, "+0.5")
    return []


@case("computed", "fill_level")
def no_level_was_measured(log: Log) -> Said:
    _filled(log, "-/")
    return []


@case("computed", "fill_level")
def the_level_keyed_wrong(log: Log) -> Said:
    log.correct(_filled(log, "-2"), level="-1")
    return []


@case("computed", "fill_level")
def of_each_canal_for_itself(log: Log) -> Said:
    _filled(log, "-1")
    seq = log.answer("sealing", 3, level="-3")
    return [(3, (seq,), RANGE.format("3").replace("MB", "D"))]


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
