"""What a command says when it cannot be done."""

from __future__ import annotations


class Refused(Exception):  # noqa: N818 - it is what the user is told
    """Something that cannot be done, in one sentence: what, where, what is allowed."""
