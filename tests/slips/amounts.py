"""Slips in depths, cones, volumes, weights and doses. Person, chart and lots are invented."""

from __future__ import annotations

from tests.slips.shape import Held, Place, ReadBack, Slip, read_back, refused

RINSE = Place("irrigation", "1**4**-2**31")
POINT = Place("drying", "0**1")
CONE = Place("cone", "35/4")
SEAT = Place("cone", "-0.5**1**1", ("35/4",))
LEVEL = Place("fill", "-0.5**1", ("1", "1"))
WEIGHT = Place("anaesthesia", "74")
DOSE = Place("anaesthesia", "22**1.8**1**1", ("74",))
THICK = Place("coronal seal", "1**4**1**1**16.3.2026")

AMOUNTS: tuple[Slip, ...] = (
    *refused(
        RINSE,
        ("lost -", "1**4**2**31", "sign missing"),
        ("* once", "1*4**-2**31", "no sign here"),
        ("* three times", "1***4**-2**31", "two answers are parted by **"),
        ("digit twice in a choice", "11**4**-2**31", "Solution about to be used: 11: no choice 11"),
        ("lost last digit of the stock number", "1**4**-2**3", "Needle: 3: there is no 3"),
        ("lost depth", "1**4**-**31", "no such command"),
        ("digit twice", "1**444**-2**31", "444: outside 0.1 to 60 mL"),
    ),
    *read_back(
        RINSE,
        ("digit twice", "1**44**-2**31", "volume 44 mL", "1**1**2**4"),
        ("stray point", "1**.4**-2**31", "volume 0.4 mL", "1**1**2**4"),
        ("digit twice in the depth", "1**4**-22**31", "needle depth 22 mm short", "1**1**3**-2"),
        ("neighbour choice", "2**4**-2**31", "solution EDTA 17 %", "1**1**1**1"),
        ("neighbour choice", "4**4**-2**31", "solution Chlorhexidine 2 %", "1**1**1**1"),
    ),
    Slip("+ for -", RINSE, "1**4**+2**31", Held("needle_near", "2")),
    Slip("lost digit", RINSE, "1**4**-0**31", Held("needle_near", "at length")),
    *refused(
        POINT,
        ("lost first answer", "**1", "nothing stands before or after **"),
        ("digit twice", "00**1", "sign missing"),
        ("digit twice in a choice", "0**11", "Point came out: 11: no choice 11"),
        ("* once", "0*1", "sign missing"),
        ("digit for another", "1**1", "sign missing"),
        ("lost sign", "5**1", "sign missing"),
    ),
    *read_back(
        POINT,
        ("sign and digit struck", "-1**1", "point depth 1 mm short", "1**1**1**0"),
    ),
    *refused(
        CONE,
        ("lost first digit", "5/4", "5 is no ISO 3630-1 size"),
        ("lost last digit", "3/4", "3 is no ISO 3630-1 size"),
        ("taper twice", "35/44", "taper 44 is not allowed"),
        ("lost /", "354", "354 is no ISO 3630-1 size"),
        ("- for /", "35-4", "no distance is asked here"),
        ("lost taper", "35", "taper missing"),
        ("* for /", "35*4", "There is no canal 3"),
    ),
    *(
        Slip(what, CONE, struck, ReadBack(words, "1**1**35/4", rings="cone", leave=()))
        for what, struck, words in (
            ("neighbour digit", "30/4", "Logged 30/.04"),
            ("neighbour digit", "55/4", "Logged 55/.04"),
            ("neighbour digit of the taper", "35/6", "Logged 35/.06"),
        )
    ),
    *refused(
        SEAT,
        ("lost -", "0.5**1**1", "sign missing"),
        ("digit twice", "00**1**1", "sign missing"),
        ("digit twice in a choice", "-0.5**1**11", "Image with the cone in place: 11: no choice 11"),
        ("* once", "-0.5*1**1", "two answers are parted by **"),
        ("- twice", "--0.5**1**1", "the distance is - or + and mm"),
    ),
    *read_back(
        SEAT,
        ("+ for -", "+0.5**1**1", "seat 0.5 mm beyond", "1**1**1**-0.5"),
        ("lost point", "-05**1**1", "seat 5 mm short", "1**1**1**-0.5"),
        ("neighbour choice", "-0.5**2**1", "tug back no", "1**1**2**1"),
    ),
    *refused(
        LEVEL,
        ("lost -", "0.5**1", "sign missing"),
        ("- twice", "--0.5**1", "the distance is - or + and mm"),
        ("* once", "-0.5*1", "two answers are parted by **"),
        ("digit twice in a choice", "-0.5**11", "Voids, as the clinician judges: 11: no choice 11"),
    ),
    *read_back(
        LEVEL,
        ("+ for -", "+0.5**1", "level 0.5 mm beyond", "1**1**1**-0.5"),
        ("lost 0 and point", "-5**1", "level 5 mm short", "1**1**1**-0.5"),
        ("digit twice", "-0.55**1", "level 0.55 mm short", "1**1**1**-0.5"),
    ),
    *refused(
        WEIGHT,
        ("digit twice", "744", "744: outside 3 to 300 kg"),
        ("digit twice", "774", "774: outside 3 to 300 kg"),
        ("* after it", "74*", "answer missing"),
        ("sign for a digit", "7*", "There is no canal 7"),
        ("sign for a digit", "7-", "distance missing"),
        ("sign for a digit", "7/", "none is found yet"),
    ),
    *read_back(
        WEIGHT,
        ("lost last digit", "7", "Logged 7 kg", "1**1**74"),
        ("lost first digit", "4", "Logged 4 kg", "1**1**74"),
        ("digits the wrong way round", "47", "Logged 47 kg", "1**1**74"),
        ("neighbour digit", "84", "Logged 84 kg", "1**1**74"),
        ("point struck", "7.4", "Logged 7.4 kg", "1**1**74"),
    ),
    *refused(
        DOSE,
        ("lost point", "22**18**1**1", "18: outside 0.1 to 10 mL"),
        ("point twice", "22**1..8**1**1", "not a number"),
        ("digit twice", "22**11.8**1**1", "11.8: outside 0.1 to 10 mL"),
        ("lost digit of the stock number", "2**1.8**1**1", "there is no 2"),
        ("* once", "22*1.8**1**1", "canal 2 is named twice"),
        ("digit twice in a choice", "22**1.8**11**1", "Site and technique: 11: no choice 11"),
    ),
    *read_back(
        DOSE,
        ("lost first digit and point", "22**8**1**1", "8 mL of anaesthetic", "1**1**2**1.8"),
        ("lost first digit", "22**.8**1**1", "0.8 mL of anaesthetic", "1**1**2**1.8"),
        ("digit twice", "22**1.88**1**1", "1.88 mL of anaesthetic", "1**1**2**1.8"),
        ("neighbour stock number", "21**1.8**1**1", "agent Lidocaine 2 %", "1**1**1**22"),
    ),
    Slip(
        "lost digit of the weight",
        Place("anaesthesia", "22**1.8**1**1", ("7",)),
        "22**1.8**1**1",
        Held("dose_over", "7"),
    ),
    *refused(
        THICK,
        ("digit twice", "1**44**1**1**16.3.2026", "44: outside 0.1 to 15 mm"),
        ("stray 0", "1**40**1**1**16.3.2026", "40: outside 0.1 to 15 mm"),
        ("digit twice in a choice", "11**4**1**1**16.3.2026", "Access closed with: 11: no choice 11"),
        ("lost answer", "1**1**1**16.3.2026", "Who restores the tooth: 16.3.2026: not a choice"),
    ),
    *read_back(
        THICK,
        ("neighbour digit", "1**7**1**1**16.3.2026", "thickness 7 mm", "1**1**2**4"),
        ("neighbour choice", "2**4**1**1**16.3.2026", "material glass ionomer", "1**1**1**1"),
    ),
    Slip(
        "stray point",
        THICK,
        "1**.4**1**1**16.3.2026",
        ReadBack("thickness 0.4 mm", "1**1**2**4", rings="temporary_thin", leave=("2",)),
    ),
)
