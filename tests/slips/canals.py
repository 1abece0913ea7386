"""Slips that strike another canal than was meant, or another time. Person, chart and lots are invented."""

from __future__ import annotations

from tests.slips.shape import Opens, Place, ReadBack, Slip, opens, read_back, refused

LENGTHS = Place("two canals", "22")
SHORT = Place("two canals", "18")
SHAPING = Place("both measured", "2*25/4-0", ("10/", "1*"))
HERE = Place("both measured", "25/4-0", ("10/", "1*"))
BOTH = Place("both measured", "12*25/4-0", ("10/", "1*"))
LATE = Place("both measured", "2*10/2-0", ("10/", "1*", "25/4-0", "3--"))
NOT_DONE = Place("both measured", "1*--", ("15/", "1*"))
OUTCOME = Place("both measured", "1*2**17.5", ("17/",))
FOUND = Place("three canals", "3*22")

CANALS: tuple[Slip, ...] = (
    *refused(
        LENGTHS,
        ("sign for a digit", "2*2", "2: outside 5 to 40 mm"),
        ("digit twice", "222", "outside 5 to 40 mm"),
        ("canal twice", "11*22", "canal 1 is named twice"),
        ("lost digit for both", "12*2", "2: outside 5 to 40 mm"),
        ("lost *", "1222", "outside 5 to 40 mm"),
        ("no such canal", "3*22", "There is no canal 3; there are: 1 B, 2 P"),
        ("* without an answer", "12*", "answer missing"),
        ("/ for *", "12/22", "not a number"),
        ("0 among the canals", "10*22", "0 before * means all open canals"),
    ),
    *opens(LENGTHS, ("sign for a digit", "2*", "7 Working length", "1*")),
    Slip("canal keyed for the other", LENGTHS, "2*22", ReadBack("Logged for P: 22 mm", "1**1**--", undone=True)),
    Slip("neighbour digit", LENGTHS, "25", ReadBack("Logged for B: 25 mm", "1**1**22")),
    *read_back(
        SHORT,
        ("sign struck in it", "1*8", "Logged for B: 8 mm", "1**1**18"),
        ("lost first digit", "8", "Logged for B: 8 mm", "1**1**18"),
    ),
    *refused(
        SHAPING,
        ("lost digit", "2*5/4-0", "5 is no ISO 3630-1 size"),
        ("* twice", "2**25/4-0", "2: taper and distance missing"),
        ("lost *", "225/4-0", "225 is no ISO 3630-1 size"),
        ("- for *", "2-25/4-0", "2 is no ISO 3630-1 size"),
        ("/ for *", "2/25/4-0", "type size, taper and distance"),
        ("no such canal", "5*25/4-0", "There is no canal 5"),
        ("* three times", "2***25/4-0", "a single * follows canal digits only"),
    ),
    *(
        Slip(what, SHAPING, struck, ReadBack(words, "1**1**1**--", undone=True))
        for what, struck, words in (
            ("neighbour canal", "1*25/4-0", "Logged for B: file 25/.04 at length"),
            ("lost canal", "25/4-0", "Logged for B: file 25/.04 at length"),
        )
    ),
    Slip(
        "another canal too",
        SHAPING,
        "12*25/4-0",
        ReadBack("Logged for B P: file 25/.04 at length", "2**1**1**--"),
    ),
    Slip(
        "all canals for one",
        SHAPING,
        "0*25/4-0",
        ReadBack("Logged for B P: file 25/.04 at length", "2**1**1**--"),
    ),
    Slip(
        "the line before it moved to the other canal",
        Place("both measured", "25/4-0", ("10/", "1*", "2*")),
        "25/4-0",
        ReadBack("Logged for P: file 25/.04 at length", "1**1**1**--", undone=True),
    ),
    Slip(
        "after an interruption",
        Place("both measured", "2*25/4-0", ("10/", "1*", "AWAY 3")),
        "25/4-0",
        Opens("Which canal", "0"),
    ),
    Slip(
        "after an interruption, another canal is named",
        Place("both measured", "2*25/4-0", ("10/", "1*", "AWAY 3", "25/4-0")),
        "1",
        ReadBack("Logged for B: file 25/.04 at length", "1**1**1**--", undone=True),
    ),
    *refused(
        Place("both measured", "1", ("10/", "1*", "AWAY 3", "25/4-0")),
        ("digit twice", "11", "25/4-0 is not logged yet"),
        ("nothing", "", "25/4-0 is not logged yet"),
        ("the next line", "30/4-0", "25/4-0 is not logged yet"),
        ("another digit", "3", "25/4-0 is not logged yet"),
        ("* after it", "1*", "Answer this first"),
    ),
    Slip(
        "lost last digit of the canals",
        BOTH,
        "1*25/4-0",
        ReadBack("Logged for B: file 25/.04 at length", "1**1**1**--", undone=True),
    ),
    *refused(
        BOTH,
        ("* twice", "12**25/4-0", "12: taper and distance missing"),
        ("lost *", "1225/4-0", "type size, taper and distance"),
        ("digit twice", "122*25/4-0", "canal 2 is named twice"),
        ("* again in it", "12*2*25/4-0", "a single * follows canal digits only"),
        ("- for the answer", "12*-", "stands alone"),
    ),
    Slip(
        "late, neighbour canal",
        LATE,
        "1*10/2-0",
        ReadBack("Logged as late for B: file 10/.02 at length", "1**1**1**--", undone=True),
    ),
    Slip(
        "late, neighbour digit",
        LATE,
        "2*10/3-0",
        ReadBack("Logged as late for P: file 10/.03 at length", "1**1**1**10/2-0"),
    ),
    *refused(
        Place("both measured", "6--", ("10/", "1*")),
        ("stray 0", "60--", "60 minutes ago the visit was not open"),
        ("digit twice", "66--", "66 minutes ago the visit was not open"),
        ("lost -", "6-", "distance missing"),
        ("- three times", "6---", "taper missing"),
    ),
    *refused(NOT_DONE, ("- once", "1*-", "stands alone"), ("- three times", "1*---", "no such command")),
    Slip(
        "neighbour canal",
        Place("both measured", "1*4", ("17/",)),
        "2*4",
        ReadBack("Logged for P: worked in, left undressed", "1**1**--", undone=True, rings=""),
    ),
    *refused(OUTCOME, ("lost point", "1*2**175", "175: outside 1 to 40 mm")),
    *read_back(OUTCOME, ("lost digit", "1*2**7.5", "Logged for B: outcome blocked, ended at 7.5 mm", "1**1**2**17.5")),
    Slip("neighbour canal", FOUND, "2*22", ReadBack("Logged for ML: 22 mm", "1**1**--", undone=True)),
    *refused(FOUND, ("neighbour canal", "6*22", "There is no canal 6; there are: 1 MB, 2 ML, 3 D")),
)
