"""Slips in what is chosen, numbered and dated before the fill. Person, chart and lots are invented."""

from __future__ import annotations

from tests.slips.lists import SCAN
from tests.slips.shape import Held, Opens, Place, ReadBack, Slip, opens, read_back, refused

DIAGNOSIS = Place("diagnosis", "2**1**1**2**1**1**1**3**2**1")
COMPLAINT = Place("diagnosis", "1+3")
IMAGE = Place("diagnosis", "27.2.2026**1", ("2**1**1**2**1**1**1**3**2**1",))
TIMED_OUT = ("4711", "11", "11")
PATIENT = Place("time-out", "4711")
TOOTH = Place("time-out", "11", ("4711",))
SET_UP = Place("set-up", "1**12.2027**501")
LABELS = Place("labels", "1**1")
DAM = Place("isolation", "1**1**11**1")
OPENED = Place("access", "11**3")
CANALS = Place("access of a molar", "2+5+11", ("36**3",))
SECONDS = Place("irrigation", "1**4**-2**31**60")
TECHNIQUE = Place("technique", "1**11")

ANSWERS: tuple[Slip, ...] = (
    *refused(
        DIAGNOSIS,
        ("digit twice", "22**1**1**2**1**1**1**3**2**1", "What brings the patient: 22: no choice 22"),
        ("* once", "2*1**1**2**1**1**1**3**2**1", "the tooth's, not a canal's"),
        ("* three times", "2***1**1**2**1**1**1**3**2**1", "two answers are parted by **"),
        ("+ without a number", "2+**1**1**2**1**1**1**3**2**1", "2+: not a choice"),
        ("an answer too many", "2**1**1**2**1**1**1**3**2**1**1", "Date of the image showing the apex: 1: type day"),
        ("scan for a choice", SCAN, "No scan answers this"),
    ),
    *read_back(
        DIAGNOSIS,
        ("digit twice", "2**1**11**2**1**1**1**3**2**1", "allergies methacrylate", "1**1**3**1"),
        ("neighbour choice", "2**1**1**2**1**1**1**3**3**1", "apical normal apical tissues", "1**1**9**2"),
        ("neighbour choice", "2**1**1**1**1**1**1**3**2**1", "cold pain that lingers", "1**1**4**2"),
    ),
    *refused(
        COMPLAINT,
        ("lost +", "13", "no choice 13"),
        ("+ twice", "1++3", "not a choice"),
        ("digit twice", "1+33", "no choice 33"),
        ("the same twice", "1+1", "1 is typed twice"),
        ("+ first", "+3", "not a choice"),
        ("- for +", "1-3", "not a choice"),
        ("/ for +", "1/3", "not a choice"),
        ("* for +", "1*3", "the tooth's, not a canal's"),
    ),
    *read_back(
        COMPLAINT,
        ("lost part", "1", "Logged pain by itself", "1**1**1+3"),
        ("neighbour choice", "1+2", "pain by itself, pain on biting", "1**1**1+3"),
    ),
    *refused(
        IMAGE,
        ("lost digit of the year", "27.2.206**1", "type day, month and year in four digits"),
        ("digit of the year twice", "27.2.20266**1", "type day, month and year in four digits"),
        ("lost point", "272.2026**1", "type day, month and year in four digits"),
        ("point twice", "27..2.2026**1", "type day, month and year in four digits"),
        ("digit of the month twice", "27.22.2026**1", "no month 22"),
        ("digit of the day twice", "277.2.2026**1", "type day, month and year in four digits"),
        ("* once", "27.2.2026*1", "two answers are parted by **"),
        ("digit twice in a choice", "27.2.2026**11", "no choice 11"),
        ("- for a point", "27-2.2026**1", "type day, month and year in four digits"),
        ("scan for a date", SCAN, "No scan answers this"),
    ),
    *(
        Slip(what, IMAGE, struck, ReadBack(words, "4**1**1**27.2.2026", covered=TIMED_OUT))
        for what, struck, words in (
            ("lost first digit of the day", "7.2.2026**1", "image date 2026-02-07"),
            ("neighbour digit of the year", "27.2.2025**1", "image date 2025-02-27"),
            ("a century off", "27.2.1926**1", "image date 1926-02-27"),
            ("neighbour digit of the month", "27.1.2026**1", "image date 2026-01-27"),
        )
    ),
    *(
        Slip(
            what,
            IMAGE,
            struck,
            ReadBack("image date 20", "4**1**1**27.2.2026", False, "image_in_future", ("2",), TIMED_OUT),
        )
        for what, struck in (
            ("digits of the year the wrong way round", "27.2.2062**1"),
            ("digits of day and month the wrong way round", "22.7.2026**1"),
        )
    ),
    *refused(
        PATIENT,
        ("sign for a digit", "47/1", "digits only"),
        ("* after it", "4711*", "canal 1 is named twice"),
        ("- after it", "4711-", "distance missing"),
        ("+ in it", "47+1", "digits only"),
        (". in it", "47.1", "digits only"),
        ("scan for digits", SCAN, "No scan answers this"),
        ("canal before it", "2*4711", "the tooth's, not a canal's"),
    ),
    *(
        Slip(what, PATIENT, struck, ReadBack("Patient number: not the patient of this visit", "4711", rings="patient"))
        for what, struck in (
            ("lost first digit", "711"),
            ("lost last digit", "471"),
            ("digit twice", "47111"),
            ("neighbour digit", "4712"),
            ("the next line's answer", "11"),
        )
    ),
    *refused(
        TOOTH,
        ("lost digit", "1", "1 digit typed; type 2 digits"),
        ("digit twice", "111", "3 digits typed; type 2 digits"),
        ("sign for a digit", "1*", "There is no canal 1"),
        ("sign for a digit", "1-", "distance missing"),
        ("sign for a digit", "1+", "digits only"),
    ),
    Slip("neighbour digit", TOOTH, "12", ReadBack("not the tooth of this visit", "11", rings="tooth")),
    *opens(TOOTH, ("sign for a digit", "1/", "1 Diagnosis", "")),
    *refused(
        SET_UP,
        ("lost digit of the year", "1**12.202**501", "type month and year in four digits"),
        ("lost point", "1**122027**501", "type month and year in four digits"),
        ("no such month", "1**22.2027**501", "no month 22"),
        ("no such month", "1**0.2027**501", "no month 0"),
        ("digit of the year twice", "1**12.20277**501", "type month and year in four digits"),
        ("a century off", "1**12.1927**501", "the year of an expiry is from 2000"),
        ("* once", "1*12.2027**501", "the tooth's, not a canal's"),
        ("* once further on", "1**12.2027*501", "two answers are parted by **"),
        ("digit three times", "111**12.2027**501", "no choice 111"),
        ("no such stock number", "0**12.2027**501", "no choice 0"),
        ("sign in the lot", "1**12.2027**5-1", "digits only"),
        ("file keyed for an item", "25/4-0", "not a choice"),
    ),
    *read_back(
        SET_UP,
        ("digit twice", "11**12.2027**501", "item Epoxy resin sealer", "1**1**1**1"),
        ("neighbour choice", "2**12.2027**501", "item EDTA 17 %", "1**1**1**1"),
        ("lost first digit of the month", "1**2.2027**501", "expiry 2027-02", "1**1**2**12.2027"),
        ("digits of the year the wrong way round", "1**12.2072**501", "expiry 2072-12", "1**1**2**12.2027"),
        ("lost digit of the lot", "1**12.2027**51", "lot 51", "1**1**3**501"),
        ("digit of the lot twice", "1**12.2027**5011", "lot 5011", "1**1**3**501"),
        ("neighbour digit of the lot", "1**12.2027**504", "lot 504", "1**1**3**501"),
    ),
    *(
        Slip(what, SET_UP, struck, Held("expired", "2"))
        for what, struck in (
            ("neighbour digit of the year", "1**12.2024**501"),
            ("lost month, this month's last", "1**2.2026**501"),
        )
    ),
    Slip("scan of what the stock does not know", SET_UP, SCAN, Opens("Scanned: Set-up", "")),
    *refused(
        LABELS,
        ("digit twice", "11**1", "no choice 11"),
        ("* once", "1*1", "the tooth's, not a canal's"),
        ("scan for a choice", SCAN, "No scan answers this"),
    ),
    *read_back(LABELS, ("neighbour choice", "1**2", "motor", "1**1**2**1")),
    *refused(
        DAM,
        ("digit twice in a choice", "11**1**11**1", "Dam: 11: no choice 11"),
        ("lost digit of the tooth", "1**1**1**1", "1 digit typed; type 2 digits"),
        ("digit of the tooth twice", "1**1**111**1", "3 digits typed; type 2 digits"),
        ("no teeth through the dam", "1**1**11**0", "outside 1 to 16"),
        ("digit three times", "1**1**11**111", "outside 1 to 16"),
        ("* once", "1*1**11**1", "the tooth's, not a canal's"),
        ("point for a whole number", "1**1**11**1.1", "whole numbers only"),
    ),
    *refused(
        OPENED,
        ("lost digit", "1**3", "1 digit typed; type 2 digits"),
        ("digit twice", "111**3", "3 digits typed; type 2 digits"),
        ("digit twice in a choice", "11**33", "Pulp seen: 33: no choice 33"),
    ),
    *read_back(OPENED, ("neighbour choice", "11**2", "pulp seen", "1**1**2**3")),
    Slip("neighbour digit", OPENED, "12**3", ReadBack("not the tooth of this visit", "11", rings="tooth")),
    *refused(
        CANALS,
        ("lost digit", "2+5+1", "single canal goes with no other"),
        ("lost +", "25+11", "no choice 25"),
        ("digit twice", "2+55+11", "no choice 55"),
        ("the same twice", "2+5+2", "2 is typed twice"),
        ("+ first", "+5+11", "not a choice"),
        ("* for +", "2*5+11", "the tooth's, not a canal's"),
    ),
    Slip(
        "lost canal",
        CANALS,
        "2+5",
        ReadBack("Logged MB, ML", "1**1**2+5+11", rings="fewer_canals", leave=("2",)),
    ),
    *read_back(CANALS, ("neighbour digit", "2+5+12", "Logged MB, ML, M", "1**1**2+5+11")),
    *refused(
        SECONDS,
        ("sign in the seconds", "1**4**-2**31**6+0", "type seconds as in 90"),
        ("one digit after the point", "1**4**-2**31**6.0", "seconds after the point are two digits"),
        ("no such second", "1**4**-2**31**1.99", "seconds after the point are 00 to 59"),
        ("digit five times", "1**4**-2**31**666660", "type seconds as in 90"),
    ),
    *read_back(
        SECONDS,
        ("lost digit", "1**4**-2**31**6", "seconds 6 s", "1**1**5**60"),
        ("digit twice", "1**4**-2**31**660", "seconds 660 s", "1**1**5**60"),
    ),
    *refused(
        TECHNIQUE,
        ("digits of the two answers the wrong way round", "11**1", "Filling technique: 11: no choice 11"),
        ("lost digit of the stock number", "1**1", "Sealer: 1: there is no 1"),
        ("lost parting", "111", "no choice 111"),
        ("* once", "1*11", "no choice 11"),
        ("digit three times", "1**111", "no choice 111"),
        ("scan for a technique", SCAN, "No scan answers this"),
    ),
    *(
        Slip(what, TECHNIQUE, struck, ReadBack(words, mend, covered=("35/4",)))
        for what, struck, words, mend in (
            ("neighbour choice of a sealer", "1**12", "sealer Calcium-silicate sealer", "2**1**2**11"),
            ("neighbour choice", "2**11", "technique", "2**1**1**1"),
        )
    ),
)
