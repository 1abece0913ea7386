"""Every alarm, every stop of the bundled protocol and every clause of the gate: what provokes it, each way out, and

the shortest mending after which the act that it held is taken. Person, chart and lots are invented.
"""

from __future__ import annotations

from stepper.session.modes.closing import CloseVisit
from stepper.session.modes.correcting import Question, SpokenYes
from stepper.session.modes.holding import Act, Holding
from stepper.session.modes.owing import Owed
from stepper.session.modes.remarking import AskAgain, Stopped, Unsettled, _Once
from tests.session.asks import KEYED_WRONG, MEASURED_ANEW, YES
from tests.session.stations import CHOSEN, DIAGNOSED, DRIED, FITTED, MEASURED, RINSED, SET_UP, rest
from tests.session.ways import Case, Mend, Way

TIMED_OUT = ("4711", "11", "11")
DAM_ON = "1**1**11**1"
SURE = "1"
LATEX, HYPOCHLORITE, EUGENOL = (f"2**1**{number}**2**1**1**1**3**2**1" for number in (2, 6, 9))
TO_FILLED = rest("lot", "coronal seal")
"""The lot of the sealer, the fill in its two lines, and what is asked of it."""


def until_filled(station: str) -> tuple[str, ...]:
    """What is keyed from a place of the visit to the filled canal."""
    return rest(station, "coronal seal")


def held(at: str, done: str = "") -> tuple[Way, ...]:
    """The ways out of a stop before an act; once it is done all the same one is at `done`."""
    return (
        Way(("1",), "held", at),
        Way(("2",), "answer", done or at, "outside"),
        Way(("//", "0", "1"), "incident incident_detail held", at),
    )


ALARMS = (
    Case(
        "time-out",
        ("99",),
        AskAgain,
        (
            Way(("4711",), "answer", "2 Time-out"),
            Way(("98",), "answer", "STOP: call the clinician", "open", into=AskAgain),
            Way(("98", "3"), "answer", "2 Time-out", "open"),
        ),
        (
            Mend(("98", "3"), ("1/", ".", "1", KEYED_WRONG, "4711", YES)),
            Mend(("99", "2", "1"), ("99", "11", "11", *until_filled("set-up")), "filled"),
            Mend(("99", "2", "2"), ("99", "11", "11", "/", "21", "1", *until_filled("set-up")), "filled"),
        ),
        rule="patient",
    ),
    Case(
        "time-out",
        ("99", "99"),
        AskAgain,
        (
            Way(("1",), "", "Time-out", "open", into=_Once),
            Way(("2",), "correction", "Read aloud", into=SpokenYes),
            Way(("2", "1"), "correction confirm", "2 Time-out"),
            Way(("2", "2"), "correction", "2 Time-out"),
            Way(("3",), "", "2 Time-out", "open"),
        ),
        rule="patient",
    ),
    Case(
        "time-out",
        ("99", "99", "1"),
        _Once,
        (
            Way(("4711",), "answer", "2 Time-out"),
            Way(("97",), "answer", "STOP: call the clinician", "open", into=AskAgain),
        ),
        rule="patient",
    ),
    Case(
        "time-out",
        ("4711", "21"),
        AskAgain,
        (
            Way(("11",), "answer", "2 Time-out"),
            Way(("21", "3"), "answer", "2 Time-out", "open"),
        ),
        (Mend(("21", "1", "11"), until_filled("time-out")[2:], "filled"),),
        rule="tooth",
    ),
    Case(
        "time-out",
        ("4711", "11", "21"),
        AskAgain,
        (Way(("11",), "answer", "3 Set-up"), Way(("12", "3"), "answer", "3 Set-up", "open")),
        rule="tooth",
    ),
    Case(
        "access",
        ("21",),
        AskAgain,
        (
            Way(("11",), "answer", "6 Access"),
            Way(("21", "2", "1"), "answer correction confirm", "6 Access"),
            Way(("21", "3"), "answer", "6 Access", "open"),
        ),
        (Mend(("21", "1", "11"), ("3", *until_filled("access")[1:]), "filled"),),
        rule="tooth",
    ),
    Case(
        "cone",
        ("30/4",),
        Stopped,
        (
            Way(("1",), "held", "13 Cone fit", "open"),
            Way(("2",), "overruled", "13 Cone fit", "outside"),
            Way((".", "1", KEYED_WRONG, "35/4", YES), "correction confirm", "13 Cone fit"),
        ),
        (
            Mend(("1",), until_filled("cone"), "filled"),
            Mend(("2", "0**1**1"), ("13/", *until_filled("cone")), "filled"),
            Mend(("1",), (".", "1", KEYED_WRONG, "35/4", YES)),
        ),
        rule="cone",
    ),
    Case(
        "set-up",
        (*SET_UP[:2], "11**1.2026**503"),
        Holding,
        held("3 Set-up"),
        (
            Mend(("1",), (*SET_UP[2:], "", *until_filled("labels")), "filled"),
            Mend(("2",), (*SET_UP[2:], "", *until_filled("labels")), "filled"),
        ),
        rule="expired",
    ),
    Case(
        "set-up",
        ("11", "1.2026"),
        Holding,
        held("3 Set-up"),
        (Mend(("1",), until_filled("set-up"), "filled"),),
        rule="expired",
    ),
    Case(
        "set-up",
        (SET_UP[2], ".", "1", KEYED_WRONG, "2", "1.2026", YES, "/", "21"),
        Stopped,
        (Way(("1",), "held", "3 Set-up"), Way(("2",), "overruled", "3 Set-up", "outside")),
        (Mend(("1",), until_filled("set-up"), "filled"),),
        rule="expired",
    ),
    Case(
        "diagnosis",
        (EUGENOL, DIAGNOSED[1], *TIMED_OUT, "13**6.2027**503"),
        Holding,
        (
            *held("3 Set-up"),
            Way((".", "5", KEYED_WRONG, "3", "1", YES), "correction confirm answer", "3 Set-up"),
        ),
        (
            Mend(("1",), until_filled("set-up"), "filled"),
            Mend(("2",), (".", "1", MEASURED_ANEW, "1", "11")),
        ),
        rule="allergy",
    ),
    Case(
        "diagnosis",
        (HYPOCHLORITE, DIAGNOSED[1], *TIMED_OUT, *SET_UP[1:], *rest("set-up", "irrigation")[5:], "1**4**-2**31"),
        Holding,
        held("11 Irrigation"),
        (Mend(("1",), ("2**4**-2**31",), "logged"),),
        rule="allergy",
    ),
    Case(
        "set-up",
        ("91**6.2027**599", ".", "6", KEYED_WRONG, "3", "2", YES, "/", "21"),
        Stopped,
        (Way(("1",), "held", "3 Set-up"), Way(("2",), "overruled", "3 Set-up", "outside")),
        (Mend(("1",), until_filled("set-up"), "filled"),),
        rule="allergy",
    ),
    Case(
        "irrigation",
        ("5/", "2", "", "1**4**-2**31"),
        Holding,
        held("11 Irrigation"),
        (
            Mend(("1",), ("5/", DAM_ON, "", "1**4**-2**31"), "logged"),
            Mend(("1",), ("5/", DAM_ON, "", *until_filled("irrigation")), "filled"),
            Mend(("2",), ("5/", DAM_ON, "", *until_filled("irrigation")), "filled"),
        ),
        rule="no_dam",
    ),
)

STOPS = (
    Case(
        "length",
        ("17/", "1**1**1+3**1", "/", "21"),
        Unsettled,
        (
            Way(("1",), "", "17 Closing", "open"),
            Way(("2",), "", "Open: Closing", "open", into=Owed),
            Way(("2", "1"), "answer", "16 Coronal seal"),
            Way(("2", ""), "", "17 Closing", "open"),
            Way(("2", "2"), "answer", "17 Closing"),
        ),
        (Mend(("1",), ("1",)), Mend(("1",), ("0*1",))),
        rule="no_outcome",
    ),
    Case(
        "length",
        ("17/", "1**1**1+3**1", "/", "6"),
        CloseVisit,
        (
            Way(("1",), "", "17 Closing", "open"),
            Way(("21",), "", "STOP: Closing", "open", into=Unsettled),
            Way(("21", "2", "1"), "answer", "Close the visit", into=CloseVisit),
            Way(("21", "1"), "", "Close the visit", into=CloseVisit),
            Way(("21", "2", "1", "2"), "answer close", "Start", over=True),
        ),
    ),
    Case(
        "closing",
        ("2**1**4", "1**1+3**1", "/", "21"),
        Unsettled,
        (
            Way(("1",), "", "17 Closing", "open"),
            Way(("2",), "", "Correct", "open", into=Question),
            Way(("2", "3", "1"), "correction", "17 Closing"),
            Way(("2", "0"), "", "17 Closing", "open"),
        ),
        (Mend(("1",), (".", "2", MEASURED_ANEW, "3", "1")),),
        rule="count_open",
    ),
    Case(
        "closing",
        ("2**1**4", "1**1+3**1", ""),
        CloseVisit,
        (
            Way(("1",), "", "17 Closing"),
            Way(("21",), "", "STOP: Closing", into=Unsettled),
            Way(("21", "2", "3", "3", "2"), "correction close", "Start", over=True),
            Way(("21", "2", "0", "1"), "", "17 Closing"),
        ),
    ),
)

FILL = ("503", "1")


def shut(clause: str, at: str, keys: tuple[str, ...], mending: tuple[str, ...], *more: Way) -> Case:
    """A clause of the gate that does not hold when the fill is keyed; after the mending the fill is taken."""
    return Case(
        at,
        (*keys, *FILL),
        Holding,
        (
            Way(("1",), "held", "14 Sealing", "open"),
            Way(("2",), "answer", "14 Sealing", "open"),
            Way(("//", "0", "1"), "incident incident_detail held", "14 Sealing", "open"),
            *more,
        ),
        (Mend(("1",), (*mending, "14/", "1", SURE), "filled"),),
        rule="gate",
        clause=clause,
    )


GATE = (
    shut("clear", "lot", ("5/", "2", ""), ("5/", DAM_ON)),
    shut(
        "length",
        "lot",
        ("7/", "-/", "-/", "-/", "1**1", "14/"),
        ("7/", MEASURED[1], "10/", "35/4-0", "", "35/4", "11/", *RINSED[:3], "12/", DRIED[0], "13/", *FITTED),
    ),
    shut(
        "master_apical_file",
        "lot",
        ("10/", "40/4-0", "14/"),
        ("10/", "", "40/4", "11/", *RINSED[:3], "12/", DRIED[0], "13/", "40/4", FITTED[1]),
    ),
    shut("cone_fit", "lot", ("13/", "35/4", "-2**1**2", "14/"), ("13/", *FITTED)),
    shut("dry", "lot", ("12/", "0**3", "14/"), ("12/", DRIED[0])),
    shut(
        "rinse",
        "irrigation",
        (RINSED[0], "", *DRIED, *CHOSEN, *FITTED),
        ("11/", *RINSED[1:3], "12/", DRIED[0]),
    ),
    shut(
        "lots",
        "set-up",
        (*SET_UP[:3], SET_UP[4], *rest("set-up", "lot")[5:]),
        ("3/", SET_UP[3]),
    ),
    shut(
        "answered",
        "labels",
        ("2**1", "2", *rest("anaesthesia", "lot")),
        ("/", "21", "1", "7**1"),
        Way(("/", "21", "1", "7**1"), "departure", "Sure", into=Act),
        Way(("/", "21", "1", "7**1", SURE), "departure answer", "14 Sealing"),
    ),
)
