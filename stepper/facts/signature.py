"""The entries by which a person signs a session, and adds to one that is signed."""

from stepper.facts.entry import Entry


class Signature(Entry, tag="signature", frozen=True):
    """A person's signature over the `entries` before it, the last of which has the hash `head`; both texts in hex.

    `at` is when it was given, `key` the name of the public key in the practice's list, `meaning` what it says.
    """

    person: int
    name: str
    initials: str
    meaning: str
    at: str
    key: str
    entries: int
    head: str
    sig: str


class Addendum(Entry, tag="addendum", frozen=True):
    """A paragraph that was added after a session was signed; `name` is that of person `said_by` on that day."""

    text: str
    said_by: int
    name: str
