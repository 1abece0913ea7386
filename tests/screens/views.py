"""Invented chairside views: an everyday one, a blind question, an alarm, and one with more text than fits."""

from __future__ import annotations

from dataclasses import replace

from stepper.session.view import (
    Band,
    CanalCell,
    ChairView,
    Choice,
    Clocks,
    LogLine,
    Prompt,
    RemarkLine,
    RunningClock,
    StepCell,
    Tone,
)

STEP_TITLES = (
    "Diagnosis",
    "Time-out",
    "Set-up",
    "Anaesthesia",
    "Isolation",
    "Access",
    "Length",
    "Flare",
    "Gauging",
    "Shaping",
    "Irrigation",
    "Drying",
    "Cone fit",
    "Sealing",
    "Dressing",
    "Coronal seal",
    "Closing",
)


def steps(current: int) -> tuple[StepCell, ...]:
    cells = []
    for number, title in enumerate(STEP_TITLES, 1):
        sign, word, tone = ("+", "done", Tone.GOOD) if number < current else ("", "", Tone.QUIET)
        if number == 4:
            sign, word, tone = "?", "owed", Tone.WARN
        if number == current:
            sign, word, tone = ">", "now", Tone.PLAIN
        cells.append(StepCell(number, title, sign, word, tone, number == current))
    return tuple(cells)


CANALS = (
    CanalCell(1, "MB", "20.5", "35", "40/.04", "", "shut", "", Tone.WARN, current=False),
    CanalCell(2, "ML", "20.0", "30", "", "", "shut", "", Tone.WARN, current=True),
    CanalCell(3, "D", "21.0", "40", "45/.04", "45/.04", "open", "", Tone.GOOD, current=False),
)

LOG = (
    LogLine(37, "14:21", "9 Gauging MB", "35/.02 reached length, held there", Tone.PLAIN),
    LogLine(38, "14:22", "9 Gauging ML", "30/.02 stopped 0.5 mm short, held", Tone.PLAIN),
    LogLine(39, "14:24", "10 Shaping MB", "35/.04 cut to length", Tone.PLAIN),
    LogLine(40, "14:26", "10 Shaping MB", "40/.04 cut to length", Tone.PLAIN),
    LogLine(41, "14:27", "10 Shaping MB", "master apical file 40/.04", Tone.GOOD),
    LogLine(42, "14:29", "10 Shaping ML", "30/.04 cut 1.0 mm short", Tone.PLAIN),
)

REMARKS = (
    RemarkLine(
        "?",
        "ASK",
        "ML",
        "Length by image 20.0 mm and by electronic reading 21.5 mm lie 1.5 mm apart; the protocol allows 0.5 mm.",
        "open",
        Tone.WARN,
    ),
    RemarkLine("i", "TELL", "MB", "The 40/.04 has been used in 6 canals; the protocol says 5.", "listed", Tone.QUIET),
)

PURPOSES = (
    Choice("1", "cut"),
    Choice("2", "recapitulate"),
    Choice("3", "patency"),
    Choice("4", "scout"),
)

LEGEND = "Enter log  / menu  // incident  . correct  + finish  - look back  N* canal"

SHAPING = ChairView(
    title="Tooth 36 · lower left first molar · patient 4711",
    subtitle="One visit, protocol 1.0 · session begun 24.11.2026 13:24 · clinician 1, assistant 2",
    banner="",
    steps=steps(10),
    canals=CANALS,
    prompt=Prompt(
        title="10 Shaping",
        canal="canal 2, ML",
        question="Which file, how far from length, and what for?",
        hint="size/taper, then -mm short, -0 at length, +mm beyond: 35/4-0",
        choices=PURPOSES,
        then="the master apical file, once declared",
        offer="",
        blind="",
        legend=LEGEND,
    ),
    armed="",
    readback="ML: 30/.04, cut, one millimetre short.",
    saying="Logged 42: ML 30/.04 cut 1.0 mm short",
    saying_tone=Tone.GOOD,
    band=None,
    remarks=REMARKS,
    more_remarks=0,
    log=LOG,
    covered=False,
    over=False,
)

CLOCKS = Clocks(
    "14:31",
    (
        RunningClock("hypochlorite", "0:09", "", "Sodium hypochlorite in the canal: 0:09."),
        RunningClock("dam", "58:10", "", "Dam on for 58:10."),
        RunningClock("step", "0:12", "", "At this step for 0:12."),
        RunningClock("visit", "1:07:12", "", "Visit 1:07:12."),
    ),
)

TIME_OUT = replace(
    SHAPING,
    steps=steps(2),
    banner="PRACTICE SESSION · a test clock is running · nothing here is about a patient",
    prompt=Prompt(
        title="2 Time-out",
        canal="",
        question="Patient number, read from the consent form?",
        hint="digits, as printed on the form",
        choices=(),
        then="the tooth, read from the image",
        offer="",
        blind="the consent form",
        legend=LEGEND,
    ),
    saying="",
    covered=True,
)

ALARM = replace(
    SHAPING,
    steps=steps(13),
    prompt=Prompt(
        title="13 Cone fit · STOP",
        canal="canal 3, D",
        question="The cone does not suit the file. What now?",
        hint="choose one; the cone has not been handed over yet",
        choices=(
            Choice("1", "not yet done: hold, and ask for the cone again"),
            Choice("2", "it was done: log it, outside the chain"),
            Choice("3", "a reason, and who said it"),
            Choice("4", "leave it owed until closing"),
        ),
        then="",
        offer="",
        blind="",
        legend=LEGEND,
    ),
    readback="D: cone 40/.04 from its packet.",
    saying="Logged 43: D cone 40/.04 from its packet",
    band=Band(
        "!", "STOP", "Canal D: the cone is 40/.04, the master apical file 45/.04. Single cone: both must be the same.",
        Tone.STOP,
    ),
    remarks=(
        RemarkLine(
            "x", "STOP", "D", "Cone 40/.04 does not match the master apical file 45/.04 (single cone technique).",
            "open", Tone.STOP,
        ),
        *REMARKS,
    ),
)  # fmt: skip

_LONG = "Everything that could be said about this was said at some length, [b]with brackets[/b] and all, "

CROWDED = replace(
    ALARM,
    title=_LONG * 2,
    subtitle=_LONG * 2,
    banner=_LONG * 2,
    canals=tuple(
        CanalCell(
            number, f"canal{number}", "20.5 agreed", "35/.02 held", "40/.04 declared", "40/.04 fitted", "shut: 3, 5, 6",
            "fragment retained", Tone.WARN, current=number == 5,
        )
        for number in range(1, 7)
    ),
    prompt=replace(
        ALARM.prompt,
        title=_LONG,
        canal=_LONG,
        question=_LONG * 4 + "?",
        hint=_LONG * 4,
        choices=tuple(Choice(str(number), f"choice {number} {_LONG}") for number in range(1, 13)),
        then=_LONG,
        offer=_LONG,
        legend=f"Enter log   / menu   {_LONG * 2}",
    ),
    armed="5 min ago",
    readback=_LONG * 3,
    saying=_LONG * 4,
    band=Band("!", "STOP", _LONG * 4, Tone.STOP),
    remarks=tuple(RemarkLine("?", "ASK", "MB", _LONG * 2, "open", Tone.WARN) for _ in range(9)),
    more_remarks=4,
    log=tuple(LogLine(seq, "14:21", "10 Shaping MB", _LONG * 2, Tone.PLAIN) for seq in range(1, 80)),
)  # fmt: skip

PICK = replace(
    SHAPING,
    steps=steps(1),
    remarks=(),
    readback="",
    prompt=Prompt(
        title="1 Diagnosis",
        canal="",
        question="Which tests were made, with a control tooth?",
        hint="one or several: 1+3",
        choices=tuple(
            Choice(str(number), text)
            for number, text in enumerate(
                (
                    "cold",
                    "heat",
                    "electric",
                    "percussion",
                    "palpation",
                    "bite stick",
                    "probing depth",
                    "mobility",
                    "transillumination",
                    "selective anaesthesia",
                    "test cavity",
                    "other, in writing",
                ),
                1,
            )
        ),
        then="the pulpal diagnosis",
        offer="cold, electric, percussion, palpation",
        blind="",
        legend=LEGEND,
    ),
)

VIEWS = {"shaping": SHAPING, "time_out": TIME_OUT, "alarm": ALARM, "crowded": CROWDED, "pick": PICK}
