"""Roles: how the gate and the alarms find their evidence among a practice's own questions.

A protocol marks questions with roles; no rule of the program names a step or a question. Where a role's answer is a
choice, the program reads some option ids, and the question must offer them.
"""

from __future__ import annotations

from dataclasses import dataclass

ALARM_NAMES = frozenset({"patient", "tooth", "cone", "gate", "allergy", "expired", "no_dam"})
"""The names of the built-in alarms: no rule of a protocol may take one."""


@dataclass(frozen=True, slots=True)
class Role:
    """What a question with this role must be. `required`: the gate or an alarm reads it, so it may not be missing."""

    kinds: tuple[str, ...]
    options: tuple[str, ...] = ()
    scope: str = "C"
    required: bool = True


ROLES: dict[str, Role] = {
    "patient_check": Role(("digits",), scope="T"),
    "tooth_check": Role(("digits",), scope="T"),
    "tooth_counted": Role(("digits",), scope="T", required=False),
    "tooth_opened": Role(("digits",), scope="T"),
    "allergies": Role(("choice",), scope="T"),
    "item": Role(("choice",), scope="T"),
    "item_expiry": Role(("expiry",), scope="T"),
    "dam": Role(("choice",), ("on", "off"), scope="T"),
    "canals": Role(("choice",), scope="T"),
    "working_length": Role(("number",)),
    "reference": Role(("choice", "text"), required=False),
    "apex": Role(("choice",), ("closed", "open", "resorbed"), required=False),
    "file": Role(("instrument",)),
    "purpose": Role(("choice",), ("cut", "recapitulate", "patency", "scout")),
    "curvature_deg": Role(("number",), required=False),
    "curvature_radius_mm": Role(("number",), required=False),
    "curvature_method": Role(("choice",), required=False),
    "instrument_mm": Role(("number",), required=False),
    "instrument_on_film_mm": Role(("number",), required=False),
    "tooth_on_film_mm": Role(("number",), required=False),
    "motor_rpm": Role(("number",), required=False),
    "motor_seconds": Role(("span",), required=False),
    "gauge_file": Role(("instrument",), required=False),
    "gauge_held": Role(("choice",), ("held",), required=False),
    "master_apical_file": Role(("size",)),
    "irrigant": Role(("choice",)),
    "rinse_volume": Role(("number",), required=False),
    "rinse_seconds": Role(("span",), required=False),
    "activation": Role(("choice",), ("none",), required=False),
    "needle": Role(("choice",), required=False),
    "needle_depth": Role(("depth",), required=False),
    "paper_point_depth": Role(("depth",)),
    "dryness": Role(("choice",), ("dry",)),
    "damp_mm": Role(("number",), required=False),
    "technique": Role(("choice",)),
    "sealer": Role(("choice",)),
    "cone": Role(("size",)),
    "cone_trimmed": Role(("size",), required=False),
    "seat": Role(("depth",)),
    "tug_back": Role(("choice",), ("yes", "no")),
    "cone_image": Role(("choice",), ("seated", "short", "beyond")),
    "fill": Role(("choice",), ("filled",)),
    "fill_level": Role(("depth",), required=False),
    "dressing": Role(("choice",), required=False),
    "outcome": Role(("choice",), ("blocked", "fragment", "not_treated"), scope="T"),
}
"""Every role the program knows."""
