"""Every other conversation that the assistant can be in, and each way out of it. Person, chart and lots invented."""

from __future__ import annotations

from stepper.session.modes.asking import Asking
from stepper.session.modes.canals import FoundLate, Joining
from stepper.session.modes.closing import CloseVisit, Leave, VoidVisit
from stepper.session.modes.correcting import How, NewValue, Question, SpokenYes, Which
from stepper.session.modes.drawing import Drawing
from stepper.session.modes.finishing import Finish
from stepper.session.modes.holding import Act
from stepper.session.modes.incident import Details, What
from stepper.session.modes.looking import LookBack
from stepper.session.modes.menu import Menu
from stepper.session.modes.owing import Owed
from stepper.session.modes.people import Relieve
from stepper.session.modes.reading import Reading
from stepper.session.modes.reasons import Reason, WhoSaid
from stepper.session.modes.remarking import Asked
from stepper.session.modes.retelling import AnsweredAnew, Retold
from stepper.session.modes.returning import Returned
from stepper.session.modes.scanned import StockNumber
from tests.session.ways import Case, Mend, Way

SHAPING, ISOLATION = "10 Shaping", "5 Isolation"
TO_LIST = (
    Way(("0",), at=SHAPING),
    Way(("1",), at="Correct", into=Which),
    Way(("2",), at="Look back", into=LookBack),
    Way(("3",), at="Canal found late", into=FoundLate),
    Way(("5",), at="End early", into=Reason),
    Way(("6",), at="Close the visit", into=CloseVisit),
    Way(("7",), at="Keyboard", into=Relieve),
    Way(("8",), at="Leave", into=Leave),
    Way(("9",), at="Void the visit", into=VoidVisit),
    Way(("10",), at="Canal drawing", into=Drawing),
    Way(("11",), at="Record of the canal", into=Reading),
    Way(("12",), at="Remarks", into=Reading),
    Way(("13",), at="Open and owed", into=Reading),
)
REASONS = tuple(Way((str(number),), at="Who said it", into=WhoSaid) for number in range(1, 9))
ENTRY = ("35/4-1",)
"""A file that is keyed, to be corrected."""

STATES = (
    Case(
        "drying",
        (),
        Asking,
        (
            Way(("0",), "answer", "12 Drying"),
            Way(("0**1",), "answer", "12 Drying"),
            Way(("-/",), "answer", "12 Drying"),
            Way(("--",), "step", "13 Cone fit"),
            Way(("-.",), "step", "13 Cone fit"),
            Way(("12/--",), "step", "13 Cone fit"),
            Way(("15/--",), "step", "12 Drying"),
            Way(("+",), at="Finish", into=Finish),
            Way(("",), at="12 Drying"),
            Way(("word",), at="12 Drying"),
            Way(("3--", "0**1"), "answer", "12 Drying"),
        ),
    ),
    Case(
        "closed",
        (),
        Asking,
        (Way(("",), at="Close the visit", into=CloseVisit), Way(("1",), at="17 Closing")),
    ),
    Case(
        "shaping",
        ("/",),
        Menu,
        (
            *TO_LIST,
            Way(("",), at=SHAPING),
            Way(("+",), at="Menu", into=Menu),
            Way(("/",), at="Menu", into=Menu),
            Way(("14",), at="Menu", into=Menu),
            Way(("5", "0"), at=SHAPING),
            Way(("5", "6", "0", "0"), at=SHAPING),
            Way(("5", "6**1"), "ending", "15 Dressing"),
            Way(("7", "3"), "relief", SHAPING),
            Way(("8", "2"), "", "Start", over=True),
            Way(("9", "4", "2"), "void", "Start", over=True),
        ),
    ),
    Case(
        "both measured",
        ("/",),
        Menu,
        (Way(("4",), at="Canals join", into=Joining), Way(("", "1*", "/", "4", "2**1"), "join", "8 Coronal flare")),
        more=True,
    ),
    Case(
        "shaping",
        (*ENTRY, "."),
        Which,
        (
            Way(("0",), at=SHAPING),
            Way(("1",), at="Correct", into=How),
            Way((".",), at="Correct", into=Which),
            Way((".", ".", "0"), at=SHAPING),
            Way(("2", "0"), at=SHAPING),
        ),
        more=True,
    ),
    Case(
        "shaping",
        (*ENTRY, ".", "1"),
        How,
        (
            Way(("0",), at=SHAPING),
            Way(("1",), at="Correct", into=Question),
            Way(("2",), at="Correct", into=Question),
            Way(("2", "1", "35/4-0"), "correction", SHAPING),
        ),
    ),
    Case(
        "shaping",
        (*ENTRY, ".", "1", "1"),
        Question,
        (
            Way(("0",), at=SHAPING),
            Way(("1",), at="Correct: Shaping", into=NewValue),
            Way(("2", "4", "1"), "correction confirm", SHAPING),
        ),
    ),
    Case(
        "shaping",
        (*ENTRY, ".", "1", "1", "2"),
        NewValue,
        (
            Way(("",), at=SHAPING),
            *(Way((str(number),), "correction", "Read aloud", into=SpokenYes) for number in range(1, 5)),
            Way(("-/", "2"), "correction", SHAPING),
            Way(("9", ""), at=SHAPING),
            Way(("1*1", ""), at=SHAPING),
        ),
    ),
    Case(
        "shaping",
        (*ENTRY, ".", "1", "1", "2", "2"),
        SpokenYes,
        (
            Way(("1",), "confirm", SHAPING),
            Way(("2",), at=SHAPING),
            Way(("2", "/", "21", "1"), "confirm", SHAPING),
            Way(("", "2"), at=SHAPING),
        ),
    ),
    Case(
        "shaping",
        ("-",),
        LookBack,
        (
            Way(("",), at=SHAPING),
            Way(("0",), at=SHAPING),
            Way(("-",), at="Look back", into=LookBack),
            Way(("-", "-", "-", "-", "-", "-", ""), at=SHAPING),
        ),
        more=True,
    ),
    Case(
        "shaping",
        ("/", "10"),
        Drawing,
        (
            Way(("",), at=SHAPING),
            Way(("0",), at=SHAPING),
            Way(("1",), at="Canal drawing", into=Drawing),
            Way(("+",), at="Canal drawing", into=Drawing),
            Way(("-",), at="Canal drawing", into=Drawing),
            Way(("8",), at="Canal drawing", into=Drawing),
        ),
        more=True,
    ),
    Case(
        "shaping",
        ("/11",),
        Reading,
        (
            Way(("",), at=SHAPING),
            Way(("0",), at=SHAPING),
            Way(("1",), at="Record of the canal", into=Reading),
            Way(("+",), at="Record of the canal", into=Reading),
            Way(("-",), at="Record of the canal", into=Reading),
            Way(("35/4-0",), at="Record of the canal", into=Reading),
            Way(("/12",), at="Remarks", into=Reading),
            Way(("/12", "/10", ""), at=SHAPING),
            Way(("//", "0", ""), "incident incident_detail", SHAPING),
        ),
        more=True,
    ),
    Case(
        "drying",
        ("0", "-.", "/13"),
        Reading,
        (
            Way(("",), at="12 Drying"),
            Way(("21",), at="Owed: Drying", into=Owed),
            Way(("21", "1", ""), "answer", "12 Drying"),
            Way(("22",), at="Open and owed", into=Reading),
        ),
        more=True,
    ),
    Case(
        "both measured",
        ("AWAY 3", "5"),
        Returned,
        (
            Way(("0",), at="8 Coronal flare"),
            Way(("",), at="Which canal", into=Returned),
            Way(("3",), at="Which canal", into=Returned),
            Way(("//", "0", "0"), "incident incident_detail", "8 Coronal flare"),
        ),
        more=True,
    ),
    Case(
        "shaping",
        (*ENTRY, "+"),
        Finish,
        (Way(("1",), "step", "11 Irrigation"), Way(("2",), at=SHAPING), Way(("+",), "step", "11 Irrigation")),
    ),
    Case(
        "fill",
        ("1",),
        Act,
        (
            Way(("1",), "answer", "14 Sealing"),
            Way(("2",), at="14 Sealing"),
            Way(("//", "0", "1"), "incident incident_detail answer", "14 Sealing"),
            Way(("/", "0", "1"), "answer", "14 Sealing"),
            Way(("12/", "1"), "answer", "14 Sealing"),
        ),
        (Mend(("2",), ("1", "1"), "filled"),),
    ),
    Case(
        "lot",
        ("999", "1"),
        Reason,
        (Way(("0", "2"), "owe", "14 Sealing"), *REASONS, Way(("8**1",), "departure", "14 Sealing")),
    ),
    Case(
        "lot",
        ("999", "1", "3"),
        WhoSaid,
        (
            Way(("",), "departure", "14 Sealing"),
            Way(("1",), "departure", "14 Sealing"),
            Way(("0",), at="Reason", into=Reason),
            Way(("0", "4", "1"), "departure", "14 Sealing"),
        ),
    ),
    Case(
        "shaping",
        ("//",),
        What,
        (
            Way(("",), at=SHAPING),
            Way(("0",), "incident_detail", SHAPING),
            *(Way((str(number),), "incident_detail", "INCIDENT", into=Details) for number in range(1, 9)),
            Way(("9",), "incident_detail", SHAPING),
            Way(("", "/", "21", "0"), "incident_detail", SHAPING),
            Way(("//", "0", "0"), "incident incident_detail incident_detail", SHAPING),
        ),
    ),
    Case(
        "shaping",
        ("//", "3"),
        Details,
        (
            Way(("",), at=SHAPING),
            *(Way((str(number), "5"), "incident_detail incident_detail", SHAPING) for number in range(1, 4)),
            Way(("4",), "incident_detail", SHAPING),
            Way(("1**5",), "incident_detail", SHAPING),
            Way(("-/",), "incident_detail", SHAPING),
            Way(("-.",), "incident_detail", SHAPING),
            Way(("9", ""), at=SHAPING),
            Way(("", "/", "21", "4"), "incident_detail", SHAPING),
        ),
    ),
    Case(
        "shaping",
        ("//", "3", "4", ".", "1"),
        Retold,
        (
            Way(("0",), at=SHAPING),
            Way(("1",), at="INCIDENT", into=What),
            Way(("2",), at="Correct", into=AnsweredAnew),
            Way(("1", "9"), "incident_detail", SHAPING),
            Way(("1", "0"), "incident_detail", SHAPING),
        ),
    ),
    Case(
        "shaping",
        ("//", "3", "4", ".", "1", "2"),
        AnsweredAnew,
        (
            Way(("",), at=SHAPING),
            *(Way((str(number),), "incident_detail", SHAPING) for number in range(1, 5)),
            Way(("-/",), "incident_detail", SHAPING),
            Way(("9", ""), at=SHAPING),
        ),
    ),
    Case(
        "length",
        ("/", "3"),
        FoundLate,
        (
            Way(("0",), at="7 Working length"),
            *(Way((str(number),), "canal", "7 Working length") for number in range(2, 13)),
        ),
    ),
    Case(
        "both measured",
        ("/", "4"),
        Joining,
        (
            Way(("0",), at="8 Coronal flare"),
            Way(("1**2",), "join", "8 Coronal flare"),
            Way(("2**1**19",), "join", "8 Coronal flare"),
            Way(("1", "0"), at="8 Coronal flare"),
            Way(("1**1", "0"), at="8 Coronal flare"),
            Way(("", "0"), at="8 Coronal flare"),
        ),
        more=True,
    ),
    Case(
        "shaping",
        ("/", "7"),
        Relieve,
        (Way(("0",), at=SHAPING), *(Way((str(number),), "relief", SHAPING) for number in (1, 2, 3))),
    ),
    Case(
        "closed",
        ("",),
        CloseVisit,
        (
            Way(("1",), at="17 Closing"),
            Way(("2",), "close", "Start", over=True),
            Way(("", "1"), at="17 Closing"),
            Way(("+", "1"), at="17 Closing"),
        ),
    ),
    Case(
        "shaping",
        ("/", "9"),
        VoidVisit,
        (
            Way(("0",), at=SHAPING),
            *(Way((str(number),), at="Void the visit", into=VoidVisit) for number in range(1, 6)),
            Way(("", "0"), at=SHAPING),
        ),
    ),
    Case(
        "shaping",
        ("/", "9", "2"),
        VoidVisit,
        (Way(("1",), at=SHAPING), Way(("2",), "void", "Start", over=True), Way(("0", "1"), at=SHAPING)),
    ),
    Case(
        "shaping",
        ("/", "8"),
        Leave,
        (Way(("1",), at=SHAPING), Way(("2",), "", "Start", over=True), Way(("", "1"), at=SHAPING)),
    ),
    Case(
        "drying",
        ("0", "-.", "/", "21"),
        Owed,
        (
            Way(("",), at="12 Drying"),
            *(Way((str(number),), "answer", "12 Drying") for number in (1, 2, 3)),
            Way(("-/",), "answer", "12 Drying"),
            Way(("-.",), "answer", "12 Drying"),
            Way(("9", ""), at="12 Drying"),
            Way(("1*1", "1"), "answer", "12 Drying"),
        ),
    ),
    Case(
        "lot",
        ("-.", "/", "21"),
        Owed,
        (
            Way(("",), at="14 Sealing"),
            Way(("503",), "answer", "14 Sealing"),
            Way(("]d210L5",), "answer", "Ask the clinician", into=Asked),
        ),
    ),
    Case(
        "set-up",
        ("]d21728053110L5",),
        StockNumber,
        (
            Way(("",), at="3 Set-up"),
            Way(("11",), "answer", "3 Set-up"),
            Way(("--", ""), at="3 Set-up"),
            Way(("999", "]d210L6", "11**6.2027", "11"), "answer", "3 Set-up"),
            Way(("..", "1*", "+", "41"), "answer", "3 Set-up"),
        ),
        more=True,
    ),
)
