"""A protocol for tests that asks for more: lengths on the image, the radius of a bend, the motor; and has odd stock.

`python -m tests.protocols.measured FILE` writes it. Its stock is invented: a file whose taper varies, one with a short
cutting part, one with no taper at all, and a wide needle.
"""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path

from stepper.protocol.load import load_text
from stepper.protocol.models import Protocol
from stepper.record.places import bundled
from tests.protocols.made import in_place_of, written

NAME = "measured"

HEAD = '\nid = "one_visit"\ntitle = "Root canal treatment in one visit"\n'
FILES = '[[item]]\ncategory = "file"\nnumber = 51\n'
ODD = """\
[[item]]
category = "file"
number = 76
id = "rotary_25_varies"
label = "Rotary file 25, taper varies"
size = 25
taper = 0.08
diameters_mm = [[0, 0.25], [3, 0.49], [16, 0.88]]
uses_max = 2

[[item]]
category = "file"
number = 77
id = "rotary_30_short"
label = "Rotary file 30/.04, short cutting part"
size = 30
taper = 0.04
cutting_mm = 10

[[item]]
category = "file"
number = 78
id = "steel_20_parallel"
label = "Steel file 20 without a taper"
size = 20
taper = 0

[[item]]
category = "needle"
number = 39
id = "needle_23_wide"
label = "Wide needle"
gauge = 23
outside_diameter_max_mm = 0.710

"""
METHOD = """\
    { id = "by_eye", label = "by eye" },
]
"""
ON_FILM = """
[[step.question]]
id = "radius"
kind = "number"
prompt = "Radius of the bend"
role = "curvature_radius_mm"
part = "first"
needed = false
unit = "mm"
least = 0
most = 60

[[step.question]]
id = "instrument_mm"
kind = "number"
prompt = "Real length of the file on the image"
role = "instrument_mm"
part = "first"
needed = false
unit = "mm"
least = 0
most = 60

[[step.question]]
id = "instrument_on_film"
kind = "number"
prompt = "The same file on the image"
role = "instrument_on_film_mm"
part = "first"
needed = false
unit = "mm"
least = 0
most = 60

[[step.question]]
id = "tooth_on_film"
kind = "number"
prompt = "The tooth on the image"
role = "tooth_on_film_mm"
part = "first"
needed = false
unit = "mm"
least = 0
most = 60
"""
MASTER = '[[step.question]]\nid = "master"\n'
BENT = 'unit = "degrees"\nleast = 0\nmost = {}\n'
"""The range of an angle; a practice may let slip in what no angle can be."""
MOTOR = """\
[[step.question]]
id = "rpm"
kind = "number"
prompt = "Speed of the motor"
role = "motor_rpm"
needed = false
unit = "rpm"
least = 0
most = 3000
decimals = 0

[[step.question]]
id = "ran"
kind = "span"
prompt = "How long it ran"
role = "motor_seconds"
needed = false

"""


def text(more: str = "") -> str:
    """The protocol. `more` is put in at the step gauging, such as a rule."""
    made = bundled("protocols").joinpath("one_visit.toml").read_text(encoding="utf-8")
    made = in_place_of(made, HEAD, f'\nid = "{NAME}"\ntitle = "Root canal treatment, more measured"\n')
    made = in_place_of(made, FILES, ODD + FILES)
    made = in_place_of(made, METHOD, METHOD + ON_FILM)
    made = in_place_of(made, MASTER, MOTOR + MASTER)
    made = in_place_of(made, BENT.format(120), BENT.format(200))
    old = '[[step.rule]]\nid = "gauging_old"\n'
    return in_place_of(made, old, f"{more}\n{old}") if more else made


@cache
def plan(more: str = "") -> Protocol:
    """Load it."""
    return load_text(text(more), f"{NAME}.toml")


def write(folder: Path) -> Path:
    """Write it into a folder and give the file."""
    return written(folder, NAME, text())


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(text(), encoding="utf-8")
