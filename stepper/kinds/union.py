"""Which kinds there are: a new kind of question or rule is one new file and one line here."""

from __future__ import annotations

from stepper.kinds.questions.choice import ChoiceQuestion
from stepper.kinds.questions.date import DateQuestion
from stepper.kinds.questions.depth import DepthQuestion
from stepper.kinds.questions.digits import DigitsQuestion
from stepper.kinds.questions.expiry import ExpiryQuestion
from stepper.kinds.questions.instrument import InstrumentQuestion
from stepper.kinds.questions.lot import LotQuestion
from stepper.kinds.questions.number import NumberQuestion
from stepper.kinds.questions.size import SizeQuestion
from stepper.kinds.questions.span import SpanQuestion
from stepper.kinds.questions.text import TextQuestion
from stepper.kinds.questions.time import TimeQuestion
from stepper.kinds.rules.apart import Apart
from stepper.kinds.rules.at_least import AtLeast
from stepper.kinds.rules.beyond_length import BeyondLength
from stepper.kinds.rules.chosen import Chosen
from stepper.kinds.rules.clash import ClashOfSolutions
from stepper.kinds.rules.combination import Combination
from stepper.kinds.rules.computed import ComputedValue
from stepper.kinds.rules.dated import Dated
from stepper.kinds.rules.dose import Dose
from stepper.kinds.rules.fewer_canals import FewerCanals
from stepper.kinds.rules.fill_level import FillLevel
from stepper.kinds.rules.nearer import Nearer
from stepper.kinds.rules.needed import Needed
from stepper.kinds.rules.no_outcome import NoOutcome
from stepper.kinds.rules.not_set_up import NotSetUp
from stepper.kinds.rules.over_gauge import OverGauge
from stepper.kinds.rules.patency_lost import PatencyLost
from stepper.kinds.rules.read_again import ReadAgain
from stepper.kinds.rules.rinse_order import RinseOrder
from stepper.kinds.rules.said_absent import SaidAbsent
from stepper.kinds.rules.tooth_length import ToothLength
from stepper.kinds.rules.undressed import Undressed
from stepper.kinds.rules.unlogged import Unlogged
from stepper.kinds.rules.unrepeated import Unrepeated
from stepper.kinds.rules.untreated import Untreated
from stepper.kinds.rules.uses import Uses

AnyQuestion = (
    ChoiceQuestion
    | DateQuestion
    | DepthQuestion
    | DigitsQuestion
    | ExpiryQuestion
    | InstrumentQuestion
    | LotQuestion
    | NumberQuestion
    | SizeQuestion
    | SpanQuestion
    | TextQuestion
    | TimeQuestion
)
"""Any kind of question."""

AnyRule = (
    Apart
    | AtLeast
    | BeyondLength
    | Chosen
    | ClashOfSolutions
    | Combination
    | ComputedValue
    | Dated
    | Dose
    | FewerCanals
    | FillLevel
    | Nearer
    | Needed
    | NoOutcome
    | NotSetUp
    | OverGauge
    | PatencyLost
    | ReadAgain
    | RinseOrder
    | SaidAbsent
    | ToothLength
    | Undressed
    | Unlogged
    | Unrepeated
    | Untreated
    | Uses
)
"""Any kind of rule."""
