"""Who is meant by what is typed before a PIN: a person's number, or initials where there are letters to type them."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection, Mapping

NOBODY = 0
"""No person has this number."""
_MOST = 8


def named(typed: str, initials: Mapping[int, str], people: Collection[int]) -> tuple[int, ...]:
    """Give the numbers of those who are meant: of several the number has to be keyed, and of none it was no name.

    Initials that nobody has stand for `NOBODY`, so that they are no quicker refused than a wrong PIN. Only `people`
    are looked through.
    """
    if typed.isascii() and typed.isdecimal() and len(typed) <= 3:
        return (int(typed),)
    plain = _plain(typed)
    if not (plain.isalpha() and len(plain) <= _MOST):
        return ()
    return tuple(one for one in sorted(people) if _plain(initials.get(one, "")) == plain) or (NOBODY,)


def _plain(typed: str) -> str:
    """Make `A. B.`, `ab` and `AB` one and the same."""
    bare = "".join(sign for sign in typed if sign not in ". -")
    return unicodedata.normalize("NFKC", bare).casefold()
