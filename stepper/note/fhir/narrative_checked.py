"""Whether a narrative is one that FHIR allows: a few elements of XHTML, nothing that runs or leads elsewhere.

FHIR allows more (chapters 7 to 11 and 15 of HTML 4.0, seen); the notes need no more than this.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final
from xml.etree import ElementTree

from stepper.note.fhir.codes import XHTML

ELEMENTS: Final = frozenset(f"{{{XHTML}}}{name}" for name in ("div", "p", "table", "tr", "th", "td"))
ATTRIBUTES: Final = frozenset({"title"})


def narrative_faults(div: str) -> Iterator[str]:
    """Say what is wrong with a narrative (txt-1: only these elements; txt-2: something in it)."""
    if "<!" in div or "<?" in div:
        yield "txt-1: a narrative has no declarations, comments or instructions"
        return
    try:
        root = ElementTree.fromstring(div)
    except ElementTree.ParseError as error:
        yield f"a narrative is XHTML: {error}"
        return
    if root.tag != f"{{{XHTML}}}div":
        yield "a narrative is a div of XHTML"
    for one in root.iter():
        if one.tag not in ELEMENTS:
            yield f"txt-1: {one.tag} is not allowed"
        yield from (f"txt-1: the attribute {name} is not allowed" for name in one.attrib if name not in ATTRIBUTES)
    if not "".join(root.itertext()).strip():
        yield "txt-2: a narrative says something"
