"""A protocol for a second visit, for tests: the bundled one with a first step and a shorter length step.

The two-visit protocol itself comes later. `python -m tests.protocols.second_visit FILE` writes it.
"""

from __future__ import annotations

import sys
from pathlib import Path

from stepper.record.places import bundled
from tests.protocols.made import in_place_of, written

NAME = "second_visit"

SINCE = """\
[[step]]
id = "since"
title = "Since last time"
scope = "T"

[[step.question]]
id = "symptoms"
kind = "choice"
prompt = "Symptoms since the last visit"
option = [
    { id = "none", label = "none" },
    { id = "pain", label = "some pain" },
    { id = "swelling", label = "swelling" },
]

[[step.question]]
id = "temporary"
kind = "choice"
prompt = "Temporary restoration"
option = [
    { id = "intact", label = "intact" },
    { id = "worn", label = "worn" },
    { id = "lost", label = "lost" },
]

[[step.note]]
text = "Since the last visit: symptoms, {symptoms}; temporary restoration, {temporary}."

"""

HEAD = '\nid = "one_visit"\ntitle = "Root canal treatment in one visit"\n'
FIRST_STEP = '[[step]]\nid = "diagnosis"\n'
ESTIMATE = 'prompt = "Estimated length, from the image"\npart = "first"\n'
BY_IMAGE = """\
[[step.question]]
id = "image_length"
kind = "number"
prompt = "Length by image with a file"
holds = ["length_found_by"]
unit = "mm"
least = 5
most = 40
"""
MARK = '# The 0.5 mark is a reading of the meter, not half a millimetre.\n[[step.question]]\nid = "mark"\n'


def text() -> str:
    """The protocol: what happened since comes first, and a length asks for no estimate and no new image."""
    made = bundled("protocols").joinpath("one_visit.toml").read_text(encoding="utf-8")
    made = in_place_of(made, HEAD, f'\nid = "{NAME}"\ntitle = "Root canal treatment, second visit"\n')
    made = in_place_of(made, FIRST_STEP, SINCE + FIRST_STEP)
    made = in_place_of(made, ESTIMATE, f"{ESTIMATE}needed = false\n")
    made = in_place_of(made, f"{BY_IMAGE}\n", "")
    return in_place_of(made, MARK, f"{BY_IMAGE}needed = false\n\n{MARK}")


def write(folder: Path) -> Path:
    """Write it into a folder and give the file."""
    return written(folder, NAME, text())


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(text(), encoding="utf-8")
