"""What stands beside and below the drawing of a canal: the names of what is drawn, and what is to be kept in mind."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from stepper.lines.refusal import visible
from stepper.note.canal_frame import BESIDE, DOT, HALF, ROW, SIZE, SMALL, SWATCH, TOP, WIDTH
from stepper.note.canal_legend import Key, Kind
from stepper.note.legend import folded
from stepper.note.vector import PALE, Drawing, box, letters


def beside(sheet: Drawing, named: Sequence[Key]) -> Decimal:
    """Name what is drawn, each beside its pattern; tell how far down it goes."""
    down = TOP
    for key in named:
        _swatch(sheet, key, down)
        left = BESIDE if key.kind is Kind.WORDS else BESIDE + SWATCH
        for row in folded(visible(key.text), letters(WIDTH - left, SIZE)):
            sheet.words((left, down), row, SIZE)
            down += ROW
    return down


def below(sheet: Drawing, caveat: str, down: Decimal) -> Decimal:
    """Say what is to be kept in mind; tell how far down it goes."""
    for row in folded(visible(caveat), letters(WIDTH, SIZE)):
        sheet.words((Decimal(0), down), row, SIZE)
        down += ROW
    return down - ROW + 1


def _swatch(sheet: Drawing, key: Key, down: Decimal) -> None:
    left, right, middle = BESIDE, BESIDE + Decimal("4.6"), down - Decimal("0.9")
    match key.kind:
        case Kind.STOP:
            sheet.line([(left, middle), (right, middle)], "0.6")
            sheet.ring((left + Decimal("2.3"), middle), DOT)
            sheet.words((left + Decimal("2.3"), down), key.sign, SMALL, anchor="middle")
        case Kind.BETWEEN:
            for count in range(4):
                level = down - Decimal("2") + count * Decimal("0.7")
                sheet.line([(left, level), (right, level)], "0.12")
        case Kind.CONE:
            sheet.shape(box(left, down - 2, right, down + HALF), PALE)
            sheet.words((left + Decimal("2.3"), down), key.sign, SIZE, anchor="middle", bold=True)
        case Kind.FILL:
            sheet.line([(left + Decimal("2.4"), middle), (right, middle)], "0.8")
            sheet.words((left, down), key.sign, SIZE, bold=True)
        case Kind.LINE:
            sheet.words((left, down), key.sign, SIZE, bold=True)
            begin = left + Decimal("2.6") if key.sign else left
            sheet.line([(begin, middle), (right, middle)], key.wide, key.dashes)
        case Kind.WORDS:
            pass
