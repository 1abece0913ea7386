"""Which computed values there are: a new one is a line in its module, a new module is a file and a line here."""

from __future__ import annotations

from collections.abc import Mapping

from stepper.kinds.computed import dosing, fitting, gauging, measuring, rinsing
from stepper.kinds.computing import Computed

COMPUTED: Mapping[str, Computed] = {
    one.name: one for one in (*gauging.VALUES, *fitting.VALUES, *rinsing.VALUES, *measuring.VALUES, *dosing.VALUES)
}
"""Every computed value by its name."""
