"""A note in each format that it can be written in; what a format needs is loaded when it is asked for.

The same log gives the same bytes of each format on any machine, but for PDF, of which the text is the same.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from stepper.case.state import Case
from stepper.note.compose import compose
from stepper.note.shape import Note


@dataclass(frozen=True, slots=True)
class LogFile:
    """A session file as it stands: its `name`, its bytes, and the hash of its last entry that holds."""

    name: str
    data: bytes
    head: str


@dataclass(frozen=True, slots=True)
class Told:
    """What is written: a case, its composed note, and the files that it was read from, the oldest first."""

    case: Case
    note: Note
    files: Sequence[LogFile]


def tell(case: Case, files: Sequence[LogFile]) -> Told:
    """Compose the note of a case and put it beside the files that it was read from."""
    return Told(case, compose(case), files)


def _text(told: Told) -> bytes:
    from stepper.note import text

    return text.render(told.note).encode()


def _markdown(told: Told) -> bytes:
    from stepper.note import markdown

    return markdown.render(told.note).encode()


def _html(told: Told) -> bytes:
    from stepper.note import html
    from stepper.note.pictures import pictures

    return html.render(told.note, pictures(told.case)).encode()


def _pdf(told: Told) -> bytes:
    from stepper.note import pdf
    from stepper.note.pictures import pictures

    case = told.case
    about = (case.told.patient, case.told.tooth, case.today, case.header.sid)
    return pdf.render(told.note, pictures(case), pdf.Foot(*about, told.files[-1].head, case.entries[-1].t))


def _fhir(told: Told) -> bytes:
    from stepper.note.fhir.document import render

    return render(told)


FORMATS: Mapping[str, Callable[[Told], bytes]] = {
    "text": _text,
    "markdown": _markdown,
    "html": _html,
    "pdf": _pdf,
    "fhir": _fhir,
}
"""How a note is written, by the name of the format."""
