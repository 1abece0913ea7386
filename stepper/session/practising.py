"""Opening the practice tooth: nothing is asked, since patient, tooth and people are invented."""

from __future__ import annotations

from stepper.protocol.load import load_file
from stepper.protocol.settings import Settings
from stepper.record.places import bundled
from stepper.session.store import Opening

FILE = "practice_tooth.toml"
PATIENT = "1234"
TOOTH = "14"
"""Whom and what the lessons of the file speak of."""


def practice_opening(settings: Settings) -> Opening:
    """Give what the practice tooth is opened with. Raises BadProtocol where its file is missing or was spoilt.

    Of the practice's own settings only sound and theme: its people and stock have other numbers than the lessons.
    """
    protocol, text = load_file(bundled("protocols") / FILE)
    first = {one.role: one.number for one in reversed(protocol.person)}
    kept = f'sound = {str(settings.sound).lower()}\ntheme = "{settings.theme}"\n'
    return Opening(PATIENT, TOOTH, first["clinician"], first["assistant"], text, kept, practice=True)
