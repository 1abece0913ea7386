"""One canal of one view, as the clauses of the gate look at it."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.case.fit import measured_at
from stepper.case.state import Case
from stepper.facts.state import Place, View
from stepper.kinds.judging import Seen
from stepper.protocol.models import Protocol


@dataclass(frozen=True, slots=True)
class Look:
    """One canal of one view, as the clauses look at it."""

    case: Case
    view: View
    canal: int

    @property
    def seen(self) -> Seen:
        """The view with tables and limits."""
        return self.case.seen(self.view)

    @property
    def protocol(self) -> Protocol:
        """The protocol."""
        return self.case.protocol

    @property
    def measured(self) -> Place:
        """Where the length was last measured anew."""
        return measured_at(self.view, self.canal)
