"""Slips from the sealing to the end of the visit. Person, chart and lots are invented."""

from __future__ import annotations

from tests.slips.lists import SCAN
from tests.slips.shape import Place, ReadBack, Slip, opens, read_back, refused

LOT = Place("lot", "503")
FILL = Place("fill", "1")
RESTORED = Place("coronal seal", "1**4**1**1**16.3.2026")
COUNTED = Place("closing", "1**1**1+3**1")
CLOSED = Place("closed", "")

ENDINGS: tuple[Slip, ...] = (
    *refused(
        LOT,
        ("sign for a digit", "5*3", "There is no canal 5"),
        ("sign for a digit", "50-", "distance missing"),
        ("sign for a digit", "5.3", "digits only"),
        ("file keyed for a lot", "35/4-0", "digits only"),
    ),
    *(
        Slip(what, LOT, struck, ReadBack(words, "1**1**503", rings="sealer_lot_unknown", leave=("2",)))
        for what, struck, words in (
            ("lost digit", "53", "Logged 53"),
            ("lost last digit", "50", "Logged 50"),
            ("digit twice", "5033", "Logged 5033"),
            ("neighbour digit", "506", "Logged 506"),
            ("scan of another packet", SCAN, "lot L5"),
        )
    ),
    *read_back(LOT, ("another item's lot", "504", "Logged 504", "1**1**503")),
    *opens(LOT, ("sign for a digit", "5/", "5 Isolation", "")),
    *refused(
        FILL,
        ("digit twice", "11", "no choice 11"),
        ("neighbour choice", "2", "no choice 2"),
        ("nothing", "", "Type the answer first"),
        ("the answer after it in the same line", "1**1", "Fill on the image, from length: 1: sign missing"),
        ("- after it", "1-", "distance missing"),
        ("canal that is not there", "2*1", "There is no canal 2"),
        ("scan for a choice", SCAN, "No scan answers this"),
    ),
    *opens(
        FILL,
        ("what was meant asks once more", "1", "Sure", "2"),
        ("+ for 1", "+", "Finish Sealing", "2"),
        ("/ after it", "1/", "1 Diagnosis", ""),
    ),
    *refused(
        RESTORED,
        ("lost digit of the year", "1**4**1**1**16.3.206", "type day, month and year in four digits"),
        ("lost point", "1**4**1**1**163.2026", "type day, month and year in four digits"),
    ),
    *read_back(
        RESTORED,
        ("lost first digit of the day", "1**4**1**1**6.3.2026", "restore by 2026-03-06", "1**1**5**16.3.2026"),
        ("digits of the year the wrong way round", "1**4**1**1**16.3.2062", "2062-03-16", "1**1**5**16.3.2026"),
        ("neighbour choice", "1**4**1**2**16.3.2026", "restorer the referring dentist", "1**1**4**1"),
    ),
    *(
        Slip(
            what,
            RESTORED,
            struck,
            ReadBack(words, "1**1**5**16.3.2026", rings="restored_before", leave=("2",)),
        )
        for what, struck, words in (
            ("lost last digit of the day", "1**4**1**1**1.3.2026", "restore by 2026-03-01"),
            ("neighbour digit of the month", "1**4**1**1**16.2.2026", "restore by 2026-02-16"),
            ("neighbour digit of the year", "1**4**1**1**16.3.2023", "restore by 2023-03-16"),
        )
    ),
    *refused(
        COUNTED,
        ("digit twice", "11**1**1+3**1", "accounted for: 11: no choice 11"),
        ("lost +", "1**1**13**1", "Advice given: 13: no choice 13"),
        ("neighbour choice", "2**1**1+3**1", "Where it is: 1+3: one choice only"),
        ("digit twice in the last", "1**1**1+3**11", "Next visit: 11: no choice 11"),
    ),
    Slip(
        "neighbour choice",
        COUNTED,
        "1**4**1+3**1",
        ReadBack("dam off no", "1**1**2**1", rings="dam_left_on", leave=("2",)),
    ),
    *read_back(COUNTED, ("neighbour choice", "1**1**1+3**2", "next visit to go on", "1**1**4**1")),
    *refused(
        CLOSED,
        ("an answer where nothing is asked", "1", "Everything here is answered"),
        ("a file where nothing is asked", "25/4-0", "Everything here is answered"),
        ("scan where nothing is asked", SCAN, "Everything here is answered"),
    ),
    *opens(CLOSED, ("what was meant asks once more", "", "Close the visit", "1")),
)
