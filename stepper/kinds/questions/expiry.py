"""When a lot expires: the month is keyed, as 11.2027; a scan may say the day."""

from typing import ClassVar

from stepper.facts.record import Record
from stepper.facts.values import Expiry, Value
from stepper.kinds.asking import Question
from stepper.kinds.tables import Tables
from stepper.kinds.words import year_first
from stepper.lines import dates
from stepper.lines.refusal import Refusal
from stepper.lines.scans.scanned import Scanned


class ExpiryQuestion(Question, tag="expiry", frozen=True):
    """The month a lot expires in: 11.2027."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (Expiry,)

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:  # noqa: ARG002 - it needs no table
        """Read what was typed."""
        return dates.expiry(typed)

    def from_scan(self, scanned: Scanned, tables: Tables) -> Value | Refusal | None:  # noqa: ARG002 - it needs no table
        """Take the expiry that the code says, to the day where it does."""
        return scanned.expiry

    def show(self, value: Value, tables: Tables) -> str:  # noqa: ARG002 - the value says it all
        """Write it out."""
        assert isinstance(value, Expiry)
        return year_first(value)

    def hint(self) -> str:
        """Show the shape by example."""
        return "month.year, as 11.2027"
