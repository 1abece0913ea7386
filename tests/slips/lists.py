"""Slips in the lists and conversations that lie over the question. Person, chart and lots are invented."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.session.modes.canals import FoundLate, Joining
from stepper.session.modes.closing import CloseVisit, Leave, VoidVisit
from stepper.session.modes.correcting import How, NewValue, Question, SpokenYes, Which
from stepper.session.modes.finishing import Finish
from stepper.session.modes.holding import Act
from stepper.session.modes.incident import What
from stepper.session.modes.menu import Menu
from stepper.session.modes.people import Relieve
from stepper.session.modes.reasons import Reason, WhoSaid
from stepper.session.room import Mode

SCAN = "]d201020000000000151728053110L5"

MEANT_FOR_THE_QUESTION = (
    "25/4-0", "2*25/4-0", "12*25/4-0", "22**22**22**1**1", "22.5", "-0.5", "+1", "11.2027", "3.4.2026", "1+3", "word",
    SCAN, "2*", "10/", "5--", "10/--", "0*35/4-0", "35-", "1..5", "99",
)  # fmt: skip
"""Lines struck as if the question were still on the screen, while something lies over it."""


@dataclass(frozen=True)
class InList:
    """A slip in a list: where it is opened, what is struck, and what is refused or opened then.

    `at` is what the title begins with afterwards, `says` what the sentence or the question holds, `logged` the entries.
    `back` leaves it again without logging more.
    """

    mode: type[Mode]
    station: str
    keys: tuple[str, ...]
    struck: str
    at: str
    says: str = ""
    logged: str = ""
    back: tuple[str, ...] = ()


SHAPING = "10 Shaping"
ENTRY = ("35/4-1",)

IN_LISTS: tuple[InList, ...] = (
    InList(Menu, "shaping", ("/",), "55", "Menu", "Type one of the numbers that are listed", "", ("0",)),
    InList(Menu, "shaping", ("/",), "66", "Menu", "Type one of the numbers that are listed", "", ("",)),
    InList(Menu, "shaping", ("/",), "11", "Record of the canal", "", "", ("",)),
    InList(Menu, "shaping", ("/",), "9", "Void the visit", "Why?", "", ("0",)),
    InList(Menu, "shaping", ("/",), "8", "Leave", "Leave the session open and go?", "", ("1",)),
    InList(Menu, "shaping", ("/",), "5", "End early", "Why?", "", ("0",)),
    InList(Menu, "shaping", (), "/6", SHAPING, "one line opens only what changes nothing"),
    InList(Menu, "shaping", (), "/9", SHAPING, "one line opens only what changes nothing"),
    InList(CloseVisit, "closed", ("",), "22", "Close the visit", "Type one of 1, 2", "", ("1",)),
    InList(CloseVisit, "closed", ("",), "", "Close the visit", "Type one of 1, 2", "", ("1",)),
    InList(CloseVisit, "closed", ("",), "2*", "Close the visit", "Answer this first", "", ("1",)),
    InList(CloseVisit, "closed", ("",), "3", "Close the visit", "Type one of 1, 2", "", ("1",)),
    InList(VoidVisit, "shaping", ("/", "9"), "44", "Void the visit", "Type one of", "", ("0",)),
    InList(VoidVisit, "shaping", ("/", "9", "4"), "4", "Void the visit", "Type one of 1, 2", "", ("1",)),
    InList(VoidVisit, "shaping", ("/", "9", "4"), "", "Void the visit", "Type one of 1, 2", "", ("1",)),
    InList(VoidVisit, "shaping", ("/", "9", "4"), "22", "Void the visit", "Type one of 1, 2", "", ("1",)),
    InList(Leave, "shaping", ("/", "8"), "8", "Leave", "Type one of 1, 2", "", ("1",)),
    InList(Leave, "shaping", ("/", "8"), "", "Leave", "Type one of 1, 2", "", ("1",)),
    InList(Leave, "shaping", ("/", "8"), "22", "Leave", "Type one of 1, 2", "", ("1",)),
    InList(Finish, "shaping", (*ENTRY, "+"), "11", "Finish", "Type one of 1, 2", "", ("2",)),
    InList(Finish, "shaping", (*ENTRY, "+"), "", "Finish", "Type one of 1, 2", "", ("2",)),
    InList(Act, "fill", ("1",), "11", "Sure", "Type one of 1, 2", "", ("2",)),
    InList(Act, "fill", ("1",), "", "Sure", "Type one of 1, 2", "", ("2",)),
    InList(Act, "fill", ("1",), "4", "Sure", "Type one of 1, 2", "", ("2",)),
    InList(Act, "fill", ("1",), "-0.5**1", "Sure", "Type one of 1, 2", "", ("2",)),
    InList(Which, "shaping", (*ENTRY, "."), "11", "Correct", "Type one of", "", ("0",)),
    InList(Which, "shaping", (*ENTRY, "."), "7", "Correct", "", "", ("0",)),
    InList(Which, "shaping", (*ENTRY, "."), "1**1**3**2", "Correct", "Type one of 0, 1, 2", "", ("0",)),
    InList(Which, "shaping", (*ENTRY, "."), "1**1**1**25/4", "Correct", "distance missing", "", ("0",)),
    InList(Which, "shaping", (*ENTRY, "."), "1**1**1**25/4-0**1", "Correct", "one answer too many", "", ("0",)),
    InList(Which, "shaping", (*ENTRY, "."), "1*1**1**25/4-0", "Correct", "Type one of", "", ("0",)),
    InList(Which, "shaping", (*ENTRY, "."), "1**11**1**25/4-0", "Correct", "Type one of 0, 1, 2", "", ("0",)),
    InList(How, "shaping", (*ENTRY, ".", "1"), "11", "Correct", "Type one of 0, 1, 2", "", ("0",)),
    InList(How, "shaping", (*ENTRY, ".", "1"), "", "Correct", "Type one of 0, 1, 2", "", ("0",)),
    InList(Question, "shaping", (*ENTRY, ".", "1", "1"), "3", "Correct", "Type one of 0, 1, 2", "", ("0",)),
    InList(NewValue, "shaping", (*ENTRY, ".", "1", "1", "1"), "25/4", "Correct", "distance missing", "", ("",)),
    InList(NewValue, "shaping", (*ENTRY, ".", "1", "1", "1"), "2*25/4-0", "Correct", "without a canal", "", ("",)),
    InList(SpokenYes, "shaping", (*ENTRY, ".", "1**1**2**2"), "11", "Read aloud", "Type one of 1, 2", "", ("2",)),
    InList(SpokenYes, "shaping", (*ENTRY, ".", "1**1**2**2"), "", "Read aloud", "Type one of 1, 2", "", ("2",)),
    InList(What, "shaping", ("//",), "11", "INCIDENT", "Type one of", "", ("",)),
    InList(What, "shaping", ("//",), "5*1", "INCIDENT", "Type one of", "", ("",)),
    InList(What, "shaping", (), "//", "INCIDENT", "Incident logged with its time", "incident", ("",)),
    InList(Reason, "lot", ("999", "1"), "9", "Reason", "Type one of", "", ("0", "2")),
    InList(Reason, "lot", ("999", "1"), "33", "Reason", "Type one of", "", ("0", "2")),
    InList(Reason, "lot", ("999", "1"), "3**9", "Who said it", "Type one of 0, 1", "", ("0", "0", "2")),
    InList(WhoSaid, "lot", ("999", "1", "3"), "11", "Who said it", "Type one of 0, 1", "", ("0", "0", "2")),
    InList(Relieve, "shaping", ("/", "7"), "33", "Keyboard", "Type one of", "", ("0",)),
    InList(Relieve, "shaping", ("/", "7"), "", "Keyboard", "Type one of", "", ("0",)),
    InList(FoundLate, "length", ("/", "3"), "1", "Canal found late", "Type one of", "", ("0",)),
    InList(FoundLate, "length", ("/", "3"), "22", "Canal found late", "Type one of", "", ("0",)),
    InList(Joining, "both measured", ("/", "4"), "2**2", "Canals join", "two different canals", "", ("0",)),
    InList(Joining, "both measured", ("/", "4"), "1**3", "Canals join", "two different canals", "", ("0",)),
    InList(Joining, "both measured", ("/", "4"), "12", "Canals join", "two different canals", "", ("0",)),
    InList(Joining, "both measured", ("/", "4"), "1*2", "Canals join", "two different canals", "", ("0",)),
    InList(Joining, "both measured", ("/", "4"), "1**2**1-5", "Canals join", "not a number", "", ("0",)),
)
"""The other numbers of these lists, each with its way out, stand in `tests/session/table.py`."""


@dataclass(frozen=True)
class Said:
    """Logged by a conversation, and only said: `.` does not list it. `again`: what says it anew, where anything does.

    The later word counts then; where there is none, the entry stands and the note tells it.
    """

    station: str
    keys: tuple[str, ...]
    kind: str
    words: str
    again: tuple[str, ...] = ()


ONLY_SAID: tuple[Said, ...] = (
    Said("length", ("/", "3", "11"), "canal", "Canal 2 is D."),
    Said("both measured", ("/", "4", "2**1"), "join", "Logged: P joins B."),
    Said("both measured", ("/", "4", "1**2**17.5"), "join", "Logged: B joins P at 17.5 mm."),
    Said("shaping", ("/", "7", "3"), "relief", "Assistant 2 keys from now on.", ("/", "7", "2")),
    Said("shaping", ("/", "5", "6**1"), "ending", "Time is up; to be completed at the next visit (Clinician 1)."),
    Said("lot", ("999", "1", "3**1"), "departure", "The patient could not tolerate more (Clinician 1)."),
    Said("both measured", ("15/", "2*--"), "answer", "Logged for P: material not done", (".", "1**1**1")),
    Said("both measured", ("10/", "12*--"), "step", "Shaping B P: not done.", ("10/", "2*25/4-0")),
    Said("shaping", ("11/--",), "step", "Irrigation single canal: not done.", ("11/", "1**4**-2**31")),
    Said("shaping", ("//", "1"), "incident_detail", "Logged: Separated file.", (".", "1**1**2")),
    Said("both measured", ("//", "2*1"), "incident_detail", "Logged for P: Separated file.", (".", "1**1**2")),
    Said("shaping", ("//", "3", "4"), "incident_detail", "Stopped by: it has not stopped", (".", "1**2**1")),
    Said("shaping", ("//", "3", "1**15"), "incident_detail", "After how many minutes: 15 min", (".", "1**3**5")),
    Said("shaping", ("//", "3", "1", "", ".", "1**2**2"), "incident_detail", "Stopped by: longer rinsing"),
    Said("irrigation", ("1**4**-1**31", "1"), "held", "Held back, not done: solution Sodium hypochlorite 3 %"),
    Said("irrigation", ("1**4**-1**31", "3"), "owe", "needle depth 1 mm short"),
    Said("irrigation", ("1**4**-1**31", "2", "1**1"), "departure", "needle depth 1 mm short"),
    Said("cone", ("30/4", "1"), "held", "Held back. Logged as held.", ("35/4",)),
    Said("cone", ("30/4", "2"), "overruled", "Logged outside the chain"),
)
"""Each says canal and value. What nothing says anew, the note tells as it was keyed."""

START: tuple[tuple[tuple[str, ...], str, str], ...] = (
    ((), "", "Type 1"),
    ((), "25/4-0", "Type 1"),
    ((), "9", "Type 1"),
    ((), "44", "Type 1"),
    ((), "1*", "Type 1"),
    ((), SCAN, "Type 1"),
    ((), "3", "Type 1"),
    (("1",), "47-11", "digits only"),
    (("1",), "", "type 1 to 12 digits"),
    (("1",), "4711*", "type 1 to 12 digits"),
    (("1",), "1234567890123", "13 digits typed"),
    (("1",), SCAN, "type 1 to 12 digits"),
    (("1", "4711"), "1", "1 digit typed"),
    (("1", "4711"), "111", "3 digits typed"),
    (("1", "4711"), "19", "no such tooth"),
    (("1", "4711"), "91", "no such tooth"),
    (("1", "4711"), "1*", "type 2 digits"),
    (("1", "4711", "11"), "4", "no clinician has that number"),
    (("1", "4711", "11"), "11", "no clinician has that number"),
    (("1", "4711", "11", "1"), "22", "no assistant has that number"),
    (("1", "4711", "11", "1"), "1", "no assistant has that number"),
    (("1", "4711"), "11**1**2**1", "one answer too many; 1 on a line of its own opens the session"),
)
"""At the start screen and in its form: what was keyed before, what is struck, words of the refusal."""
