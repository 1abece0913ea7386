"""Asking the question of the moment and taking its answer."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from stepper.case.slots import Cursor, Slot, next_question, of_canal, slot
from stepper.case.walk import ended, leaving, onward, open_canals, passed
from stepper.facts.entries import TOOTH
from stepper.facts.values import Absent, Choice, Value, Why
from stepper.kinds.asking import holds
from stepper.kinds.union import AnyQuestion
from stepper.lines.grammar import AbsentAnswer, Answer, Command, Empty, Line, Refused, Scan
from stepper.note.words import canal_name, title
from stepper.session.modes.answering import several_answers
from stepper.session.modes.closing import CloseVisit
from stepper.session.modes.listing import ABSENCES, LONG_LIST
from stepper.session.modes.logging import go_on_logging, log
from stepper.session.modes.scanned import take_scan
from stepper.session.reckoned import beside, declared
from stepper.session.room import Draft, Mode, Room
from stepper.session.view import Choice as Shown
from stepper.session.view import Prompt, Tone

LEGEND = "/ menu  // incident  . correct  N/ step  .. wipe  -- not done  -/ unmeasured"

FEW = 4
"""So many choices of a question that may be left out are listed in the line that tells what can follow."""


@dataclass(slots=True)
class Asking:
    """The ordinary state of a session: one question, one line."""

    def prompt(self, room: Room) -> Prompt:
        """Ask the next open question at the cursor, or offer to go on."""
        here, offer = slot(room.case, room.cursor), self._offer(room)
        question = next_question(room.case, here, {}) if here is not None else None
        at = f"{room.protocol.number_of(room.cursor.step)} {title(room.protocol, room.cursor.step)}"
        if here is None or question is None:
            text = "Everything here is answered."
            where = canal_name(room.case, room.cursor.canal)
            return Prompt(at, where, text, "", (), "", offer, "", LEGEND, sums=declared(room.case))
        choices = tuple(Shown(str(one.number), one.label) for one in question.options_of(room.protocol))
        then = [_named(room, one) for one in _after(room, here, question)]
        return Prompt(
            at,
            canal_name(room.case, here.canal),
            question.prompt,
            question.hint(),
            choices,
            f"** {', '.join(then)}" if then else "",
            offer,
            question.blind or "",
            LEGEND,
            sums=() if question.blind else (*declared(room.case), *beside(room.case, here, question)),
            wide=len(choices) > LONG_LIST and not question.blind,
        )

    def take(self, room: Room, line: Line) -> Mode | None:
        """Take an answer, an absence, or Enter for the offer."""
        match line:
            case Empty():
                return self._go_on(room)
            case Answer():
                return self._answer(room, line.canals, line.fields)
            case Scan():
                return take_scan(room, line.raw, self._scanned)
            case AbsentAnswer():
                return self._absent(room, line.canals, line.why)
            case Command() if line.name in ABSENCES:
                return self._absent(room, None, ABSENCES[line.name])
            case Refused():
                room.say(line.sentence, Tone.WARN)
            case _:
                room.say("That means nothing here; / lists what can be done.", Tone.WARN)
        return self

    def _offer(self, room: Room) -> str:
        onto = onward(room.case, room.cursor)
        if onto is None:
            return "close the visit" if ended(room.case, room.cursor) else ""
        if onto.last:
            step = room.protocol.by_step[onto.step]
            return step.part("last")[0].prompt
        return f"{title(room.protocol, onto.step)} {canal_name(room.case, onto.canal)}".strip()

    def _go_on(self, room: Room) -> Mode | None:
        onto = onward(room.case, room.cursor)
        if onto is not None:
            go(room, onto)
            return None
        if ended(room.case, room.cursor):
            return CloseVisit()
        room.say("Type the answer first; -- says not done, -/ not measured, -. owed.", Tone.WARN)
        return None

    def _answer(self, room: Room, canals: tuple[int, ...] | str | None, fields: tuple[str, ...]) -> Mode | None:
        targets = self._targets(room, canals)
        if targets is None or self._blind_for_several(room, targets):
            return None
        drafts = []
        for at in targets:
            draft = self._read(room, at, fields)
            if draft is None:
                return None
            drafts.append(draft)
        return self._log_all(room, drafts)

    def _scanned(self, room: Room, here: Slot, draft: Draft) -> Mode | None:
        """Log what a scan answered, as a typed line would be."""
        self._leave_out(room, here, draft.values)
        return self._log_all(room, [draft])

    def _blind_for_several(self, room: Room, targets: list[Cursor]) -> bool:
        """Refuse one answer of a blind question for several canals: each is read from its own source."""
        slots = [_slot_at(room, at) for at in targets]
        asked = [next_question(room.case, here, {}) for here in slots if here is not None]
        blind = next((question for question in asked if question is not None and question.blind), None)
        if len(targets) < 2 or blind is None:
            return False
        room.say(f"{blind.prompt}: read it {blind.blind}, for one canal at a time.", Tone.WARN)
        return True

    def _log_all(self, room: Room, drafts: list[Draft]) -> Mode | None:
        """Log each draft, or give the ways out of what holds it back; the drafts behind it wait for that."""
        room.armed = None
        room.waiting = drafts
        return go_on_logging(room)

    def _targets(self, room: Room, canals: tuple[int, ...] | str | None) -> list[Cursor] | None:
        """Give where an answer goes, or say why it cannot."""
        step = room.protocol.by_step[room.cursor.step]
        if canals is None:
            return [room.cursor]
        if step.scope == "T" and not any(one.per_canal for one in step.question):
            room.say(f"{step.title} is the tooth's, not a canal's: type the answer without a canal.", Tone.WARN)
            return None
        known = room.case.told.canals
        numbers = open_canals(room.case, step) if isinstance(canals, str) else list(canals)
        unknown = [number for number in numbers if number not in known]
        if unknown or not numbers:
            names = ", ".join(f"{canal.number} {canal.name}" for canal in known.values()) or "none yet"
            said = f"There is no canal {unknown[0]}" if unknown else "No canal is open any more"
            room.say(f"{said}; there are: {names}.", Tone.WARN)
            return None
        return [Cursor(room.cursor.step, number, room.cursor.last) for number in numbers]

    def _read(self, room: Room, at: Cursor, fields: tuple[str, ...]) -> Draft | None:
        """Read the fields into the open questions of a row, and fill what may be left out."""
        here = _slot_at(room, at)
        if here is None:
            room.say("Everything here is answered; Enter goes on, . corrects.", Tone.WARN)
            return None
        values = several_answers(room, fields, partial(next_question, room.case, here), here.step.title)
        if values is None:
            return None
        self._leave_out(room, here, values)
        return Draft(here.step.id, here.canal, here.row, values, room.armed)

    def _leave_out(self, room: Room, here: Slot, values: dict[str, Value]) -> None:
        """Fill in what a line may leave out, as long as nothing that must be asked comes first."""
        if not values:
            return
        passed: dict[str, Value] = dict(values)
        while (question := next_question(room.case, here, passed)) is not None:
            kept = self._kept(room, here, question)
            if question.if_left_out is not None:
                values[question.id] = passed[question.id] = Choice(options=(question.if_left_out,))
            elif kept is not None:
                values[question.id] = passed[question.id] = kept
            elif question.needed:
                return
            else:
                passed[question.id] = Absent(why=Why.NOT_MEASURED)

    def _kept(self, room: Room, here: Slot, question: AnyQuestion) -> Value | None:
        if not question.keep:
            return None
        fact = room.case.told.fact(f"{here.step.id}.{question.id}", here.canal)
        if fact is None:
            others = [room.case.told.fact(f"{here.step.id}.{question.id}", number) for number in room.case.told.canals]
            fact = next((one for one in others if one is not None), None)
        return fact.value if fact is not None and not fact.absent else None

    def _absent(self, room: Room, canals: tuple[int, ...] | str | None, why: Why) -> Mode | None:
        targets, names = self._targets(room, canals), list[str]()
        for at in targets or []:
            here = _slot_at(room, at)
            question = next_question(room.case, here, {}) if here is not None else None
            if here is None or question is None:
                room.say("Nothing is asked here.", Tone.WARN)
                return None
            if here.fresh and why is not Why.NOT_MEASURED:
                how = "not_done" if why is Why.NOT_DONE else "owed"
                room.log("step", step=here.step.id, canal=here.canal, how=how)
                names += [canal_name(room.case, here.canal)] if len(room.case.told.canals) > 1 else []
                where = " ".join([here.step.title, *filter(None, names)])
                room.say(f"{where}: {how.replace('_', ' ')}.", Tone.WARN)
                room.cursor = passed(room.case, room.cursor)
                continue
            log(room, Draft(here.step.id, here.canal, here.row, {question.id: Absent(why=why)}, room.armed))
        room.armed = None
        return None


def _after(room: Room, here: Slot, question: AnyQuestion) -> list[AnyQuestion]:
    """Give the questions that can follow in the same line, but for those whose condition is known not to hold."""
    row = room.case.told.row(here.step.id, here.canal, here.row)
    known = {name: fact.value for name, fact in row.facts.items()} if row is not None else {}
    after = here.questions[here.questions.index(question) + 1 :]
    return [one for one in after if one.when is None or one.when.question not in known or holds(one, known)]


def _named(room: Room, question: AnyQuestion) -> str:
    """Name a question that can follow in the same line, in its turn: one asked only after some answers has a `?`.

    What may be left out is in brackets; it is asked nowhere else, so its few choices are listed.
    """
    name = question.id.replace("_", " ") + ("?" if question.when is not None else "")
    if question.if_left_out is None and question.needed:
        return name
    options = question.options_of(room.protocol)
    listed = ", ".join(f"{one.number} {one.label}" for one in options) if 0 < len(options) <= FEW else ""
    return f"[{name}: {listed}]" if listed else f"[{name}]"


def _slot_at(room: Room, at: Cursor) -> Slot | None:
    """Give the row an answer goes into; what a tooth's step asks of each canal can be said out of turn."""
    step = room.protocol.by_step[at.step]
    out_of_turn = step.scope == "T" and at.canal != TOOTH
    return of_canal(room.case, step, at.canal) if out_of_turn else slot(room.case, at)


def go(room: Room, at: Cursor, *, out_of_turn: bool = False) -> None:
    """Go to a step and canal, and log that one did: a resumed session opens there. Out of turn, the way leads back."""
    canal = at.canal if room.protocol.by_step[at.step].scope == "C" else TOOTH
    onto = Cursor(at.step, canal, at.last)
    if onto != room.cursor:
        was = leaving(room.case, room.cursor)
        left = {"left": {"step": was.step, "canal": was.canal, "last": was.last}} if out_of_turn else {}
        room.log("go", step=at.step, canal=canal, last=at.last, **left)
    room.cursor = onto


def go_past(room: Room, step: str, canal: int) -> None:
    """Go on from a step that was declared, if one is at it; else stay, and log that one does."""
    at = room.cursor
    if (at.step, at.canal) == (step, canal):
        room.cursor = passed(room.case, at)
    else:
        room.log("go", step=at.step, canal=at.canal, last=at.last)
