"""A scan at the chair: it answers, in the row at hand, every open question that it can.

The question of the moment has to be one that a scan can answer. What the code does not say is asked next; what it says
and nobody asks is kept in the scan itself, which every entry keeps as it came.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from stepper.case.slots import Slot, next_question, slot
from stepper.facts.entries import Answer as Answered
from stepper.facts.state import Row
from stepper.facts.values import Choice, Expiry, Scan, Value
from stepper.kinds.questions.choice import ChoiceQuestion
from stepper.kinds.questions.expiry import ExpiryQuestion
from stepper.kinds.questions.instrument import InstrumentQuestion
from stepper.kinds.questions.lot import LotQuestion
from stepper.kinds.questions.size import SizeQuestion
from stepper.kinds.stock import codes_of, item_of, lot_of
from stepper.kinds.tables import AnyItem
from stepper.kinds.union import AnyQuestion
from stepper.lines.grammar import Empty, Line
from stepper.lines.refusal import Refusal
from stepper.lines.scans.reading import read
from stepper.lines.scans.scanned import Scanned, not_taken
from stepper.note.words import canal_name, title
from stepper.session.modes.answering import one_answer
from stepper.session.modes.listing import LEGEND, LONG_LIST
from stepper.session.room import Draft, Mode, Room
from stepper.session.view import Choice as Shown
from stepper.session.view import Prompt, Tone

Done = Callable[[Room, Slot, Draft], Mode | None]
"""Logs what was scanned as if it had been typed: what a line may leave out is left out, what holds it back does."""

MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def take_scan(room: Room, raw: str, done: Done) -> Mode | None:
    """Take a scan at the question of the moment; what is wrong with it is said, and then nothing is logged."""
    here = slot(room.case, room.cursor)
    question = next_question(room.case, here, {}) if here is not None else None
    if here is None or question is None:
        room.say("Everything here is answered; Enter goes on, . corrects.", Tone.WARN)
        return None
    if not _scannable(question):
        room.say(f"No scan answers this; nothing was logged. {question.prompt}: {question.hint()}.", Tone.WARN)
        return None
    scanned = read(raw, room.case.today)
    if isinstance(scanned, Refusal):
        room.say(scanned.sentence, Tone.WARN)
        return None
    values = _values(room, here, question, scanned)
    if isinstance(values, Refusal):
        room.say(values.sentence, Tone.WARN)
        return None
    if isinstance(question, ChoiceQuestion) and question.id not in values:
        why = f"Code {scanned.code} is no stock item." if scanned.code else "The code names no item."
        room.say(f"{why} Key its stock number; what was scanned is kept.", Tone.WARN)
        room.read_aloud("")  # what the last packet was is not to be read aloud for this one
        return StockNumber(scanned, question, done)
    return _log(room, here, values, scanned, done)


@dataclass(slots=True)
class StockNumber:
    """Asks once for the stock number of what was scanned, since its code names no item; Enter forgets the scan."""

    scanned: Scanned
    question: AnyQuestion
    done: Done

    def prompt(self, room: Room) -> Prompt:
        """Ask as the question itself asks."""
        choices = tuple(Shown(str(one.number), one.label) for one in self.question.options_of(room.protocol))
        head, name = f"Scanned: {title(room.protocol, room.cursor.step)}", canal_name(room.case, room.cursor.canal)
        blind, wide = self.question.blind or "", len(choices) > LONG_LIST
        return Prompt(
            head, name, self.question.prompt, "a number", choices, "", "forget the scan", blind, LEGEND, wide=wide
        )

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log the item with what was scanned."""
        here = slot(room.case, room.cursor)
        if isinstance(line, Empty) or here is None or self.question not in here.questions:
            room.say("The scan is forgotten; nothing was logged.")
            return None
        otherwise = "Key the stock number of what was scanned; Enter forgets the scan."
        value = one_answer(room, self.question, line, otherwise)
        if not isinstance(value, Choice):
            if value is not None:
                room.say(otherwise, Tone.WARN)
            return self
        values = _values(room, here, self.question, self.scanned, {self.question.id: value})
        if isinstance(values, Refusal):
            room.say(values.sentence, Tone.WARN)
            return self
        return _log(room, here, values, self.scanned, self.done)


def _scannable(question: AnyQuestion) -> bool:
    """Tell whether there is any scan that answers a question."""
    if isinstance(question, ChoiceQuestion):
        return question.among not in (None, "technique")
    return isinstance(question, LotQuestion | ExpiryQuestion | SizeQuestion | InstrumentQuestion)


def _values(
    room: Room, here: Slot, asked: AnyQuestion, scanned: Scanned, said: Mapping[str, Value] | None = None
) -> dict[str, Value] | Refusal:
    """Give what a scan answers of a row, or why it is not taken. Empty only where its item has yet to be `said`."""
    values: dict[str, Value] = dict(said or {})
    another = _of_another(room, here, asked, scanned, values)
    if another is not None:
        return another
    taken: set[str] = set()
    for question in here.questions:
        apart = isinstance(question, SizeQuestion | InstrumentQuestion) and question is not asked
        open_now = next_question(room.case, replace(here, questions=(question,)), values) is not None
        if apart or not open_now or question.kind in taken:
            continue
        value = question.from_scan(scanned, room.protocol)
        if isinstance(value, Refusal):
            return value
        if value is not None:
            values[question.id] = value
            taken.add(question.kind)
    if values or isinstance(asked, ChoiceQuestion):
        return values
    return not_taken(_lacking(room, asked, scanned))


def _of_another(
    room: Room, here: Slot, asked: AnyQuestion, scanned: Scanned, said: Mapping[str, Value]
) -> Refusal | None:
    """Refuse a code of another item than the row's, and one of an item that is no answer here."""
    item = item_of(room.protocol, scanned.code)
    if isinstance(asked, ChoiceQuestion) and item is not None and not asked.takes(item):
        what = "what was scanned" if asked.blind else item.label
        return not_taken(f"{what} is none of the choices here.")
    if isinstance(asked, SizeQuestion | InstrumentQuestion):
        return None  # the file or cone of a row is not the thing that its other choices name
    keyed = list(_keyed(room, here, said))
    if item is not None and keyed and item not in keyed:
        if asked.blind:
            return not_taken("the code is of another item.")
        return not_taken(f"the code is of {item.label}, and this row is {keyed[0].label}. . corrects the row.")
    links = {code[-1] for one in keyed for code in codes_of(one) if code.startswith("+")}
    if scanned.link is not None and links and scanned.link not in links:
        what = "another item" if asked.blind else f"another item than {keyed[0].label}"
        return not_taken(f"its link character is of {what}. Scan the same packet's code, or key it.")
    return None


def _keyed(room: Room, here: Slot, said: Mapping[str, Value]) -> Iterator[AnyItem]:
    """Give the items of the stock that a row holds, with these answers about to join its own."""
    row = _row(room, here)
    known = {name: fact.value for name, fact in row.facts.items()} if row is not None else {}
    known.update(said)
    for question in here.step.question:
        value = known.get(question.id)
        if isinstance(question, ChoiceQuestion) and question.among is not None and isinstance(value, Choice):
            yield from (item for one in value.options if (item := room.protocol.by_id(one)) is not None)


def _row(room: Room, here: Slot) -> Row | None:
    rows = room.case.told.rows_of(here.step.id, here.canal)
    return next((one for one in rows if one.number == here.row), None)


def _lacking(room: Room, asked: AnyQuestion, scanned: Scanned) -> str:
    """Say what a scan lacks that holds nothing for a row."""
    if isinstance(asked, LotQuestion | ExpiryQuestion):
        return f"the code holds no {asked.kind}. Key it."
    known = item_of(room.protocol, scanned.code) is not None
    return f"{'the stock says no size of it' if known else 'its code is no stock item'}. Type {asked.hint()}."


def _log(room: Room, here: Slot, values: dict[str, Value], scanned: Scanned, done: Done) -> Mode | None:
    """Log what was scanned, say what looks odd about it, and read back what it was."""
    kept = any(isinstance(value, Scan) for value in values.values())
    remarks = [*scanned.remarks, *_unlisted(room, here, values, scanned)]
    draft = Draft(here.step.id, here.canal, here.row, values, room.armed, None if kept else scanned.raw)
    entries = len(room.case.entries)
    mode = done(room, here, draft)
    logged = any(isinstance(entry, Answered) for entry in room.case.entries[entries:])
    if remarks:
        room.say(f"{room.saying.rstrip('.')}. {' '.join(remarks)}".lstrip(". "), Tone.WARN)
    if logged:
        aloud = "; ".join(text for text in (room.readback, _aloud(room, here, values)) if text)
        room.read_aloud(aloud)
    return mode


def _unlisted(room: Room, here: Slot, values: Mapping[str, Value], scanned: Scanned) -> Iterator[str]:
    """Say that a code is none of those that the stock knows of the row's item."""
    for item in _keyed(room, here, values):
        if scanned.code is not None and item.codes and scanned.code not in codes_of(item):
            yield f"{scanned.code} is none of the codes of {item.label} in the stock."


def _aloud(room: Room, here: Slot, values: Mapping[str, Value]) -> str:
    """Say item, lot and expiry of what was scanned."""
    items = ", ".join(item.label for item in _keyed(room, here, values))
    lot = next((f"lot {lot_of(one)}" for one in values.values() if isinstance(one, Scan)), "")
    until = next((_until(one) for one in values.values() if isinstance(one, Expiry)), "")
    return ", ".join(text for text in (items, lot, until) if text)


def _until(expiry: Expiry) -> str:
    month = f"{MONTHS[expiry.month - 1]} {expiry.year}"
    return f"good until {expiry.day} {month}" if expiry.day is not None else f"good until the end of {month}"
