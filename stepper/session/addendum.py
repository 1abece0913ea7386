"""Adding to a signed session: in a file of its own, behind the signed one, which is never opened for writing again."""

from __future__ import annotations

from pathlib import Path

from stepper.case.state import Case
from stepper.record.clock import Clock
from stepper.record.continuing import SIGNATURE, goes_on_in, last_path
from stepper.record.journal import Journal
from stepper.record.problems import Unreadable
from stepper.record.register import read_register
from stepper.record.verify import Verified
from stepper.session.store import begun_after, go_on, read_case, resume


def open_addendum(path: Path, clock: Clock, by: int) -> tuple[Journal, Case, str]:
    """Open the addendum of a signed session, to add to it; the sentence is that of `resume`. `by` is who begins it.

    `path` is any file of the session. The addendum is its next file, begun after the signature if there is none yet; an
    addendum that is signed too has one after it in its turn. A signed file is never opened for writing.

    Raises as `resume` does, and where nobody has signed.
    """
    last, found, _ = read_signed(path)
    if found.damage is not None or read_register(path.parent).complaint(found):
        return go_on(last, clock)
    if SIGNATURE not in found.entries.kinds:
        return resume(last, clock)
    return *begun_after(last, found, clock, by), ""


def read_signed(path: Path) -> tuple[Path, Verified, Case]:
    """Read a session that an addendum can be made to: its last file, what stands in that, its case.

    Raises RecordError, BadProtocol or BadSettings: nobody has signed it, or an addendum to it is missing.
    """
    last, known = last_path(path), read_register(path.parent)
    found, case, fault = read_case(last)
    if case is None or not case.signatures:
        wrong = found.damage.sentence if found.damage is not None else known.complaint(found)
        raise Unreadable(wrong or fault or f"Session {found.sid} is not signed: an addendum comes after a signature.")
    missing, gone = goes_on_in(last, known.sessions)
    if gone:  # a new one in its place would hide that
        raise Unreadable(f"{missing} Put it back, then add to it.")
    return last, found, case
