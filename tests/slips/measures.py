"""Slips in lengths and in files. Person, chart and lots are invented."""

from __future__ import annotations

from tests.slips.shape import Place, ReadBack, Slip, opens, read_back, refused

ESTIMATE = Place("length", "22.5")
READING = Place("length", "22**21.5**22**1**1", ("22.5",))
FLARE = Place("flare", "0/54-14")
GAUGE = Place("gauging", "30-0")
GAUGE_HELD = Place("gauging", "35-1**1", ("30-0",))
FILE = Place("shaping", "25/4-0")
ANOTHER_FILE = Place("shaping", "30/4-0", ("25/4-0",))
PATENCY = Place("shaping", "10/2+0.5**3", ("25/4-0",))
MASTER = Place("shaping", "35/4", ("25/4-0", "30/4-0", "35/4-0", ""))

MEASURES: tuple[Slip, ...] = (
    *refused(
        ESTIMATE,
        ("lost last digits", "2", "2: outside 5 to 40 mm"),
        ("lost first digit", "2.5", "2.5: outside 5 to 40 mm"),
        ("lost point", "225", "225: outside 5 to 40 mm"),
        ("digit twice", "222.5", "222.5: outside 5 to 40 mm"),
        ("point twice in a row", "22..5", "not a number"),
        ("point at the end", "22.5.", "not a number"),
        ("sign for a digit", "2*.5", "There is no canal 2"),
        ("sign for a digit", "2-.5", "not a number"),
        ("sign for a digit", "2+.5", "not a number"),
        ("sign for a digit", "2/.5", "not a number"),
        ("sign for the last digits", "2*", "There is no canal 2"),
        ("sign for the last digits", "2-", "distance missing"),
        ("sign for the last digits", "2+", "not a number"),
        ("sign for the point", "22*5", "canal 2 is named twice"),
        ("two signs for the point", "22--", "22 minutes ago the visit was not open"),
        ("Enter too early", "2", "outside 5 to 40 mm"),
        ("nothing", "", "Type the answer first"),
        ("only the point", "..", "Wiped."),
        ("two answers for one", "22**5**5", "Angle measured by: 5: no choice 5"),
    ),
    *read_back(
        ESTIMATE,
        ("neighbour digit", "25.5", "Logged 25.5 mm", "1**1**22.5"),
        ("neighbour digit", "22.2", "Logged 22.2 mm", "1**1**22.5"),
        ("Enter too early", "22", "Logged 22 mm", "1**1**22.5"),
        ("neighbour digit", "12.5", "Logged 12.5 mm", "1**1**22.5"),
    ),
    *opens(ESTIMATE, ("sign for the last digits", "2/", "2 Time-out", "")),
    *refused(
        READING,
        ("lost first digit", "2**21.5**22**1**1", "Electronic length: 2: outside 5 to 40 mm"),
        ("lost last digit", "22**21.5**2**1**1", "Working length agreed: 2: outside 5 to 40 mm"),
        ("digit twice", "22**21.5**222**1**1", "Working length agreed: 222: outside 5 to 40 mm"),
        ("lost point", "22**215**22**1**1", "Length by image with a file: 215: outside 5 to 40 mm"),
        ("* once", "22*21.5**22**1**1", "canal 2 is named twice before *"),
        ("* three times", "22***21.5**22**1**1", "two answers are parted by **"),
        ("* once further on", "22**21.5*22**1**1", "two answers are parted by **"),
        ("lost parting", "22**21.522**1**1", "Length by image with a file: 21.522: one decimal at most"),
        ("digit twice in a choice", "22**21.5**22**11**1", "Reference point: 11: no choice 11"),
        ("digit twice in a choice", "22**21.5**22**1**11", "Patent: 11: no choice 11"),
        ("** at the end", "22**21.5**22**1**1**", "nothing stands before or after **"),
        ("sign for an answer", "22**--**22**1**1", "-- stands alone"),
    ),
    *read_back(
        READING,
        ("neighbour digit", "22**21.5**21**1**1", "single canal, working length 21 mm", "1**1**3**22"),
        ("digit for another", "22**21.5**12**1**1", "single canal, working length 12 mm", "1**1**3**22"),
        ("the next answer's value", "21.5**21.5**22**1**1", "electronic 21.5 mm", "1**1**1**22"),
        ("neighbour choice", "22**21.5**22**2**1", "reference", "1**1**4**1"),
    ),
    *refused(
        FLARE,
        ("lost last digit of the stock number", "0/5-14", "stock has no file numbered 5"),
        ("lost 0", "/54-14", "type size, taper and distance"),
        ("lost /", "054-14", "54 is no ISO 3630-1 size"),
        ("lost -", "0/5414", "distance missing"),
        ("digit twice", "0/54-144", "144 mm is too far"),
        ("- twice", "0/54--14", "the distance is - or + and mm"),
        ("* for /", "0*54-14", "54 is no ISO 3630-1 size"),
        ("Enter too early", "0/54", "distance missing"),
        ("Enter too early", "0/54-", "distance missing"),
    ),
    *read_back(
        FLARE,
        ("lost last digit", "0/54-1", "file 25/.08 1 mm short", "1**1**1**0/54-14"),
        ("lost first digit", "0/54-4", "file 25/.08 4 mm short", "1**1**1**0/54-14"),
        ("missing point", "0/54-1.4", "file 25/.08 1.4 mm short", "1**1**1**0/54-14"),
        ("neighbour stock number", "0/55-14", "file 15/.03 14 mm short", "1**1**1**0/54-14"),
    ),
    Slip(
        "+ for -",
        FLARE,
        "0/54+14",
        ReadBack("file 25/.08 14 mm beyond", "1**1**1**0/54-14", rings="flare_beyond", leave=("2",)),
    ),
    *refused(
        GAUGE,
        ("lost last digit", "3-0", "3 is no ISO 3630-1 size"),
        ("lost first digit", "0-0", "0 opens a stock number"),
        ("digit twice", "330-0", "330 is no ISO 3630-1 size"),
        ("lost -", "300", "distance missing"),
        ("lost depth", "30-", "distance missing"),
        ("* for -", "30*0", "0 before * means all open canals"),
        ("/ for -", "30/0", "distance missing"),
    ),
    *read_back(
        GAUGE,
        ("neighbour digit", "20-0", "gauge 20/.02 at length", "1**1**1**30-0"),
        ("digit struck before the depth's", "30-10", "gauge 30/.02 10 mm short", "1**1**1**30-0"),
        ("next line's depth", "30-1", "gauge 30/.02 1 mm short", "1**1**1**30-0"),
    ),
    *refused(
        GAUGE_HELD,
        ("* once", "35-1*1", "two answers are parted by **"),
        ("* three times", "35-1***1", "two answers are parted by **"),
        ("digit twice in a choice", "35-1**11", "Held there: 11: no choice 11"),
        ("lost choice", "35-1**", "nothing stands before or after **"),
        ("lost size", "-1**1", "type size"),
    ),
    *read_back(
        GAUGE_HELD,
        ("Enter too early", "35-1", "gauge 35/.02 1 mm short, held no", "1**1**2**1"),
        ("neighbour choice", "35-1**2", "held no", "1**1**2**1"),
        ("neighbour digit", "45-1**1", "gauge 45/.02 1 mm short", "1**1**1**35-1"),
    ),
    *refused(
        FILE,
        ("lost first digit", "5/4-0", "5 is no ISO 3630-1 size"),
        ("lost last digit", "2/4-0", "2 is no ISO 3630-1 size"),
        ("digit twice", "225/4-0", "225 is no ISO 3630-1 size"),
        ("digit twice", "255/4-0", "255 is no ISO 3630-1 size"),
        ("neighbour digit", "26/4-0", "26 is no ISO 3630-1 size"),
        ("lost /", "254-0", "254 is no ISO 3630-1 size"),
        ("lost taper", "25/-0", "taper"),
        ("lost taper", "25-0", "taper missing"),
        ("taper twice", "25/44-0", "taper 44 is not allowed"),
        ("lost -", "25/40", "distance missing"),
        ("lost depth", "25/4-", "distance missing"),
        ("lost depth", "25/4", "distance missing"),
        ("/ twice", "25//4-0", "type size, taper and distance"),
        ("- twice", "25/4--0", "the distance is - or + and mm"),
        ("* for /", "25*4-0", "There is no canal 2"),
        ("* for -", "25/4*0", "two answers are parted by **"),
        ("sign for a digit", "2*/4-0", "There is no canal 2"),
        ("sign for a digit", "2-/4-0", "2 is no ISO 3630-1 size"),
    ),
    *read_back(
        FILE,
        ("neighbour digit", "55/4-0", "file 55/.04 at length", "1**1**1**25/4-0"),
        ("neighbour digit", "15/4-0", "file 15/.04 at length", "1**1**1**25/4-0"),
        ("neighbour digit of the taper", "25/5-0", "file 25/.05 at length", "1**1**1**25/4-0"),
        ("digit struck after the depth", "25/4-02", "file 25/.04 2 mm short", "1**1**1**25/4-0"),
        ("digit for the depth", "25/4-1", "file 25/.04 1 mm short", "1**1**1**25/4-0"),
        ("stray purpose", "25/4-0**2", "purpose recapitulate", "1**1**2**1"),
    ),
    *refused(FILE, ("nothing", "", "Type the answer first")),
    *opens(ANOTHER_FILE, ("nothing", "", "10 Shaping", "10/")),
    *refused(
        PATENCY,
        ("lost + and point", "10/205**3", "distance missing"),
        ("* once", "10/2+0.5*3", "two answers are parted by **"),
        ("digit twice", "10/2+0.5**33", "Purpose: 33: no choice 33"),
        ("two decimals lost", "10/2+05.5.**3", "the distance is - or + and mm"),
    ),
    *read_back(PATENCY, ("- for +", "10/2-0.5**3", "file 10/.02 0.5 mm short, purpose patency", "1**1**1**10/2+0.5")),
    *(
        Slip(what, PATENCY, struck, ReadBack("5 mm beyond", "1**1**1**10/2+0.5", rings="shaping_beyond"))
        for what, struck in (("lost point", "10/2+05**3"), ("lost 0 and point", "10/2+5**3"))
    ),
    Slip(
        "lost purpose",
        PATENCY,
        "10/2+0.5",
        ReadBack("file 10/.02 0.5 mm beyond, purpose cut", "1**1**2**3", rings="shaping_beyond", leave=("2",)),
    ),
    *refused(
        MASTER,
        ("lost first digit", "5/4", "5 is no ISO 3630-1 size"),
        ("lost last digit", "3/4", "3 is no ISO 3630-1 size"),
        ("lost /", "354", "354 is no ISO 3630-1 size"),
        ("lost taper", "35", "taper missing"),
        ("lost taper", "35/", "There is no step 35"),
        ("taper twice", "35/44", "taper 44 is not allowed"),
        ("- for /", "35-4", "no distance is asked here"),
        ("* for /", "35*4", "There is no canal 3"),
        ("a depth that is not asked", "35/4-0", "no distance is asked here"),
        ("nothing but a choice", "1", "1 is no ISO 3630-1 size"),
    ),
    *read_back(
        MASTER,
        ("neighbour digit of the taper", "35/5", "single canal, master apical file 35/.05", "1**1**35/4"),
        ("neighbour digit", "45/4", "single canal, master apical file 45/.04", "1**1**35/4"),
    ),
    Slip(
        "neighbour digit",
        MASTER,
        "25/4",
        ReadBack("single canal, master apical file 25/.04", "1**1**35/4", rings="over_gauge", leave=("2",)),
    ),
)
