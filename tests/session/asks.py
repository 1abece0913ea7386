"""Every rule of the bundled protocol that asks: what provokes it, and each way out. Person, chart and lots invented."""

from __future__ import annotations

from stepper.session.modes.holding import Holding
from stepper.session.modes.reasons import Reason, WhoSaid
from stepper.session.modes.remarking import Asked
from tests.session.stations import DIAGNOSED, rest
from tests.session.ways import Case, Mend, Way


def asked(at: str) -> tuple[Way, ...]:
    """The ways out of an ask about what is logged already; afterwards one is at `at`."""
    return (
        Way(("1", "3**1"), "departure", at, "passed"),
        Way(("1", "3", "1"), "departure", at, "passed"),
        Way(("1", "3", ""), "departure", at, "passed"),
        Way(("1", "0", "2"), "owe", at, "owed"),
        Way(("1",), "", "Reason", "open", into=Reason),
        Way(("1", "3"), "", "Who said it", "open", into=WhoSaid),
        Way(("2",), "owe", at, "owed"),
        Way(("2", "/", "21", "1", "8**1"), "owe departure", at, "passed"),
        Way(("2", "/", "21", "2"), "owe owe", at, "owed"),
    )


def held(at: str, done: str = "") -> tuple[Way, ...]:
    """The ways out of an ask about an act that can still be left undone; once it is done one is at `done`."""
    return (
        Way(("1",), "held", at),
        Way(("2", "3**1"), "answer departure", done or at, "passed"),
        Way(("2", "3", ""), "answer departure", done or at, "passed"),
        Way(("2", "0", "1"), "held", at),
        Way(("3",), "answer owe", done or at, "owed"),
        Way(("3", "/", "21", "1", "8**1"), "answer owe departure", done or at, "passed"),
    )


KEYED_WRONG, MEASURED_ANEW = "1", "2"
YES = "1"

ASKS = (
    Case(
        "diagnosis",
        ("1/--", "4711"),
        Asked,
        asked("2 Time-out"),
        (Mend(("2",), ("1/", *DIAGNOSED)),),
        rule="diagnosis_missing",
    ),
    Case(
        "diagnosis",
        (DIAGNOSED[0], "27.2.2026**3"),
        Asked,
        asked("2 Time-out"),
        (Mend(("2",), ("1/", ".", "1", MEASURED_ANEW, "2", "1")),),
        rule="no_consent",
    ),
    Case(
        "set-up",
        ("41", "-/"),
        Asked,
        asked("3 Set-up"),
        (Mend(("2",), (".", "1", KEYED_WRONG, "11.2028", YES)),),
        rule="expiry_unknown",
    ),
    Case(
        "labels",
        ("2**1",),
        Asked,
        asked("4 Anaesthesia"),
        (Mend(("2",), (".", "1", MEASURED_ANEW, "1", "1")),),
        rule="unlabelled",
    ),
    Case(
        "anaesthesia",
        ("20", "22**3.6**1**1"),
        Holding,
        held("4 Anaesthesia"),
        (Mend(("1",), ("22**1.8**1**1",), "logged"),),
        rule="dose_over",
    ),
    Case(
        "anaesthesia",
        ("74", "22**1.8**1**1", "5/", "1**1**11**1", "6/", "11**3"),
        Asked,
        asked("6 Access"),
        (Mend(("2",), ("4/", "", "1")),),
        rule="effect_untested",
    ),
    Case(
        "access of a molar",
        ("36**3", "2+5"),
        Asked,
        asked("6 Access"),
        (Mend(("2",), ("/", "3", "11")),),
        rule="fewer_canals",
    ),
    Case(
        "length",
        ("22.5", "22**20.5"),
        Asked,
        asked("7 Working length"),
        (Mend(("2",), (".", "1", MEASURED_ANEW, "2", "21.5")),),
        rule="lengths_apart",
    ),
    Case(
        "flare",
        ("0/54+1",),
        Asked,
        asked("8 Coronal flare"),
        (Mend(("2",), (".", "1", KEYED_WRONG, "1", "0/54-14", YES)),),
        rule="flare_beyond",
    ),
    Case(
        "shaping",
        ("10/2+1",),
        Asked,
        asked("10 Shaping"),
        (Mend(("2",), (".", "1", KEYED_WRONG, "2", "3", YES)),),
        rule="shaping_beyond",
    ),
    Case(
        "shaping",
        ("30/4-0", "", "30/4"),
        Asked,
        asked("11 Irrigation"),
        (Mend(("2",), ("10/", "35/4-0", "", "35/4")),),
        rule="over_gauge",
    ),
    Case(
        "irrigation",
        ("1**4**-2**31", "4**2**-2"),
        Holding,
        held("11 Irrigation"),
        (Mend(("1",), ("3**4**-2", "4**2**-2"), "logged"),),
        rule="clash",
    ),
    Case(
        "irrigation",
        ("1**4**-1**31",),
        Holding,
        held("11 Irrigation"),
        (Mend(("1",), ("1**4**-2**31",), "logged"),),
        rule="needle_near",
    ),
    Case(
        "irrigation",
        ("1**4**-2**31", "2**2**-2", "", "0**1"),
        Asked,
        asked("12 Drying"),
        (Mend(("2",), ("11/", "1**4**-2", "12/", "0**1")),),
        rule="rinse_order",
    ),
    Case(
        "drying",
        ("0**3**2", "0**3**2"),
        Asked,
        asked("12 Drying"),
        (Mend(("2",), (".", "1", KEYED_WRONG, "3", "3", YES)),),
        rule="blood_again",
    ),
    Case(
        "drying",
        ("0**1**4",),
        Asked,
        asked("12 Drying"),
        (Mend(("2",), (".", "1", KEYED_WRONG, "3", "1", YES)),),
        rule="pus",
    ),
    Case(
        "lot",
        ("999",),
        Asked,
        asked("14 Sealing"),
        (
            Mend(("2",), (".", "1", KEYED_WRONG, "503", YES)),
            Mend(("1", "7**1"), rest("lot")[1:], "filled"),
        ),
        rule="sealer_lot_unknown",
    ),
    Case(
        "irrigation",
        ("16/", "1**4**1**1**16.3.2026"),
        Asked,
        asked("16 Coronal seal"),
        (Mend(("2",), ("15/", "1**1")),),
        rule="undressed",
    ),
    Case(
        "coronal seal",
        ("1**2",),
        Asked,
        asked("16 Coronal seal"),
        (Mend(("2",), (".", "1", MEASURED_ANEW, "2", "4")),),
        rule="temporary_thin",
    ),
    Case(
        "diagnosis",
        (DIAGNOSED[0], "27.2.2027**1"),
        Asked,
        asked("2 Time-out"),
        (Mend(("2",), ("1/", ".", "1", KEYED_WRONG, "1", "27.2.2026", YES)),),
        rule="image_in_future",
    ),
    Case(
        "coronal seal",
        ("1**4**1**1**16.2.2026",),
        Asked,
        asked("17 Closing"),
        (Mend(("2",), (".", "1", KEYED_WRONG, "5", "16.3.2026", YES)),),
        rule="restored_before",
    ),
    Case(
        "irrigation",
        ("17/", "1*1"),
        Asked,
        asked("17 Closing"),
        (Mend(("2",), (".", "1", KEYED_WRONG, "4", YES)),),
        rule="not_untreated",
    ),
    Case(
        "closing",
        ("1**4**1+3**1",),
        Asked,
        asked("17 Closing"),
        (Mend(("2",), (".", "1", MEASURED_ANEW, "2", "1")),),
        rule="dam_left_on",
    ),
    Case(
        "closing",
        ("2**1**2",),
        Asked,
        asked("17 Closing"),
        (Mend(("2",), ("//", "1", "")), Mend(("2",), (".", "1", MEASURED_ANEW, "3", "1"))),
        rule="nothing_in_canal",
    ),
)
