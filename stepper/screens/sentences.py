"""What is said in sentences: the question, its offer, the read-back, remarks, log, bars over the whole width."""

from __future__ import annotations

import re

from rich.cells import cell_len
from textual.strip import Strip

from stepper.screens.kept import kept
from stepper.screens.large import HEIGHT, large
from stepper.screens.palette import Look
from stepper.screens.rows import Block, Piece, clean, cut, fill, fold, strip
from stepper.session.view import Band, LogLine, Prompt, RemarkLine, Tone

_EDGE = "▌ "
_ALOUD = " read aloud "
_MOST_LARGE = 2 * HEIGHT
_SUM_ROWS = 5
_SUM_LEAST = 3
"""Rows of sums that come before the canals."""


@kept
def question_block(prompt: Prompt, width: int, look: Look, *, rank: int) -> Block:
    """Return the question of the moment: where it belongs, the question itself, its hint, and what follows it."""
    where = " · ".join(part for part in (clean(prompt.title), clean(prompt.canal)) if part)
    inner = width - len(_EDGE)
    asked = fold(prompt.question, inner, 4 if prompt.choices else 10)
    hints = fold(prompt.hint, inner, 2)
    if prompt.then:
        hints += fold(f"then {prompt.then}", inner, 1 if prompt.sums else 2)
    head = [(where, look.panel(Tone.QUIET))] if where else []
    head += [(text, look.panel(Tone.WARN)) for line in prompt.card for text in fold(line, inner, 3)]
    sums = [(text, look.panel()) for line in prompt.sums for text in fold(f"= {line}", inner, _SUM_ROWS)]
    bold = [(text, look.panel(bold=True)) for text in asked]
    quiet = [(text, look.panel(Tone.QUIET)) for text in hints]
    full = len(head) + len(sums) + len(bold) + len(quiet)
    ground, edge = look.panel(), look.panel_accent()

    def paint(given: int) -> list[Strip]:
        spare = max(len(sums) - _SUM_LEAST, 0)  # what goes first, then the hints, then the rest of the sums
        missing = max(full - given - spare, 0)
        hinted = quiet[: max(len(quiet) - missing, 0)]
        kept = sums[: max(given - len(head) - len(bold) - len(hinted), 0)]
        if kept and len(kept) < len(sums):
            kept[-1] = (cut(f"{kept[-1][0]}{' ' * inner}", inner), kept[-1][1])
        rows = [strip(width, ground, (_EDGE, edge), piece) for piece in (*head, *kept, *bold, *hinted)]
        blank = strip(width, ground, (_EDGE, edge))
        return [blank, *rows, blank] if given >= len(rows) + 2 else rows[:given]

    least = len(head) + min(len(sums), _SUM_LEAST) + len(bold) + (len(quiet) if sums else 0)
    return Block(rank, least if prompt.card or prompt.sums else min(least, 3), fair=full, full=full + 2, paint=paint)


def offer_block(offer: str, width: int, look: Look, *, rank: int) -> Block:
    """Return what Enter on an empty line takes."""
    row = strip(width, look.plain, ("Enter", look.accent), (f"  {clean(offer)}", look.plain))
    return Block(rank, least=1, fair=1, full=1, paint=lambda _: [row])


def readback_block(readback: str, width: int, look: Look, *, rank: int, enlarge: bool = True) -> Block:
    """Return the sentence to read aloud, in a bar; under it, if so wished, its numbers in large type where they fit."""
    bar, head = look.bar(Tone.PLAIN), look.bar(Tone.QUIET)
    lead = " " * len(_ALOUD)
    texts = fold(readback, width - len(_ALOUD) - 1, 3)
    rows = [
        strip(width, bar, (_ALOUD if index == 0 else lead, head), (f" {text}", bar)) for index, text in enumerate(texts)
    ]
    said = [large(one, width - 2, utf8=look.utf8) for one in re.split(r"(?<=[.;]) +", readback.strip())]
    drawn = [strip(width, bar, (f" {text}", bar)) for rows_of_one in said for text in rows_of_one]
    if not enlarge or len(drawn) > _MOST_LARGE or not all(said):
        drawn = []  # some in large type would make the others small print
    blank = strip(width, bar, (lead, head))
    whole = len(rows) + len(drawn)

    def paint(given: int) -> list[Strip]:
        inner = [*rows, *drawn] if given >= whole else rows[:given]
        return [blank, *inner, blank] if given >= whole + 2 else inner

    return Block(rank, least=min(len(rows), 2), fair=whole, full=whole + 2, paint=paint, in_one=True)


def cover_block(source: str, height: int, width: int, look: Look, *, rank: int) -> Block:
    """Return what stands in the place of the canals, as high as they were, so that the question stays where it was."""
    sentence = "Canals, remarks and log are covered while this is read from its source"
    texts = fold(f"{sentence}: {source}" if source else sentence, width - 8, 3)
    rows = [strip(width, look.quiet, ("░░  ", look.quiet), (text, look.quiet)) for text in texts]
    hatch = strip(width, look.quiet, ("░░", look.quiet))
    above = max(height - len(rows), 0) // 2
    below = max(height - len(rows) - above, 0)

    def paint(given: int) -> list[Strip]:
        return [hatch] * above + rows + [hatch] * below if given >= above + len(rows) + below else rows[:given]

    whole = above + len(rows) + below
    return Block(rank, least=len(rows), fair=whole, full=whole, paint=paint)


@kept
def remark_block(remarks: tuple[RemarkLine, ...], more: int, width: int, look: Look, *, rank: int) -> Block:
    """Return the remarks in whole sentences, as many as fit; how many do not is said."""
    painted = [_remark_rows(remark, width, look) for remark in remarks]

    def paint(given: int) -> list[Strip]:
        rows: list[Strip] = []
        for index, remark in enumerate(painted):
            hidden = len(painted) - index - 1 + more
            room = given - len(rows) - (1 if hidden else 0)
            if len(remark) > room and rows:
                return [*rows, _more(hidden + 1, width, look)][:given]
            rows += (
                remark if len(remark) <= room else [*remark[: max(room, 1) - 1], _cut_short(remark, room, width, look)]
            )
        return [*rows, _more(more, width, look)][:given] if more else rows[:given]

    full = sum(map(len, painted)) + (1 if more else 0)
    return Block(rank, least=min(full, 2), fair=min(full, 6), full=full, paint=paint)


def _cut_short(remark: list[Strip], room: int, width: int, look: Look) -> Strip:
    kept = remark[max(room, 1) - 1]
    return Strip.join([kept.crop(0, width - 1), strip(1, look.plain, ("…", look.quiet))])


def _more(count: int, width: int, look: Look) -> Strip:
    return strip(width, look.plain, (f"{count} more: /12 shows all", look.quiet))


def _remark_rows(remark: RemarkLine, width: int, look: Look) -> list[Strip]:
    mark = f"{clean(remark.sign)} {clean(remark.word)}"
    where = f" {clean(remark.where)}" if remark.where else ""
    lead = f"{mark}{where}: "
    standing = f" ({clean(remark.standing)})" if remark.standing else ""
    texts = fold(f"{lead}{clean(remark.text)}{standing}", width - 2)
    first, *rest = texts or [""]
    head: tuple[Piece, ...] = (
        (first[: len(mark)], look.tone(remark.tone, bold=True)),
        (first[len(mark) :], look.plain),
    )
    return [strip(width, look.plain, *head), *(strip(width, look.plain, (f"  {text}", look.plain)) for text in rest)]


@kept
def log_block(log: tuple[LogLine, ...], width: int, look: Look, *, rank: int) -> Block:
    """Return the last entries, the newest at the foot."""
    where = min(max((cell_len(clean(line.where)) for line in log), default=0), width // 3)
    marked = any(line.current for line in log)
    least = min(len(log), 2)
    fair = min(len(log), 4)

    def paint(given: int) -> list[Strip]:
        return [_log_row(line, where, width, look, marked=marked) for line in log[len(log) - given :]]

    return Block(rank, least=least, fair=fair, full=len(log), paint=paint, at_foot=True)


def _log_row(line: LogLine, where: int, width: int, look: Look, *, marked: bool) -> Strip:
    sign = ("> " if line.current else "  ") if marked else ""
    head = f"{sign}{line.seq:>3} {clean(line.time)}  {fill(line.where, where)}  "
    if line.current:
        return strip(width, look.current, (f"{head}{clean(line.text)}", look.current))
    return strip(width, look.plain, (head, look.quiet), (line.text, look.tone(line.tone)))


def band_rows(band: Band, width: int, look: Look, most: int) -> list[Strip]:
    """Return the band that goes with a sound: sign, word and sentence over the whole width."""
    bar = look.bar(band.tone)
    lead = f" {clean(band.sign)} {clean(band.word)}  "
    texts = fold(band.text, width - cell_len(lead) - 1, most)
    indent = " " * cell_len(lead)
    return [
        strip(width, bar, (f"{lead if index == 0 else indent}{text}", bar)) for index, text in enumerate(texts or [""])
    ]


def saying_rows(saying: str, tone: Tone, width: int, look: Look, most: int) -> list[Strip]:
    """Return what was just said: a refusal in words, or what was logged."""
    style = look.tone(tone, bold=True)
    texts = fold(saying, width - 2, most) or [""]
    return [strip(width, look.plain, (f" {text}", style)) for text in texts]
