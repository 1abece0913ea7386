"""The entry that holds words of a person's own, such as a clinician adds to a section of the note."""

from stepper.facts.entry import Entry


class FreeText(Entry, tag="free_text", frozen=True):
    """Words that stand in the note as they were written, in the section of that title; `said_by` is whose they are.

    `instead`: the entry whose words they take the place of; empty words withdraw those.
    """

    section: str
    text: str
    said_by: int
    instead: int | None = None
