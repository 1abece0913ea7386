"""An open remark and its ways out by number."""

from __future__ import annotations

from dataclasses import dataclass, replace

from stepper.case.alarms import BEFORE, CHECKS, NAMES, differs
from stepper.case.judge import Standing, judge, standing
from stepper.case.slots import next_question, of_canal
from stepper.facts.entries import TOOTH
from stepper.facts.remarks import Remark, Weight
from stepper.facts.state import Row
from stepper.facts.values import Digits
from stepper.kinds.outcome import outcome_of
from stepper.kinds.union import AnyQuestion
from stepper.lines.grammar import Answer, Line
from stepper.lines.refusal import Refusal
from stepper.note.words import canal_name, title
from stepper.session.modes.correcting import SpokenYes, which_fact
from stepper.session.modes.covering import sayable
from stepper.session.modes.listing import LEGEND, listed, number_in
from stepper.session.modes.owing import Owed
from stepper.session.modes.reasons import Reason, depart
from stepper.session.reckoned import declared
from stepper.session.room import Draft, Mode, Room, dump
from stepper.session.view import Prompt, Tone


def mode_for(room: Room, remark: Remark) -> Mode | None:
    """Give the conversation that a remark calls for, or None where it stands answered by now."""
    if standing(room.case, remark) is not Standing.OPEN:
        return None
    asked = _blind_question(room, remark)
    if asked is not None:
        return AskAgain(remark, asked)
    if remark.weight is Weight.ASK:
        return Asked(remark)
    return Stopped(remark) if remark.rule in NAMES else Unsettled(remark)


@dataclass(slots=True)
class Asked:
    """An ask: the clinician's reason, or owed until closing."""

    remark: Remark

    def prompt(self, room: Room) -> Prompt:
        """List the ways out."""
        where = _where(room, self.remark)
        ways = ["reason, and who said it", *(() if room.case.closed else ("owed until closing",))]
        asked = listed(f"Ask the clinician: {where}", self.remark.text, ways)
        return replace(asked, sums=declared(room.case))

    def take(self, room: Room, line: Line) -> Mode | None:
        """Do as chosen."""
        number = number_in(room, line, [1] if room.case.closed else [1, 2])
        if number is None:
            return self
        if number == 1:
            return Reason("Reason", self.remark.text, self._depart, self)
        room.log("owe", remark=self.remark.key, text=self.remark.text)
        waits = any(outcome_of(room.case.told, number) is None for number in room.case.told.canals)
        room.say(f"Owed until closing{'; the fill waits for it' if waits else ''}.", Tone.WARN)
        return None

    def _depart(self, room: Room, reason: str, said_by: int) -> None:
        depart(room, [self.remark], reason, said_by)


@dataclass(slots=True)
class Stopped:
    """A stop about a fact that is logged: the act that rests on it is held back until the record changes.

    Once the visit is closed nothing can be held back: what a correction brings to light then stands as it is.
    """

    remark: Remark

    def prompt(self, room: Room) -> Prompt:
        """List the ways out."""
        where = _where(room, self.remark)
        ways = ["not handed over, not done: hold it back", "was done all the same: the fill stays held back"]
        ways = ["seen: it stands, and the note says so"] if room.case.closed else ways
        return listed(f"STOP: {where}", self.remark.text, ways, then=". corrects what was keyed")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log that the act was held, or go on with the stop standing."""
        number = number_in(room, line, [1] if room.case.closed else [1, 2])
        if number is None:
            return self
        if room.case.closed:
            room.say("It stands, and the note says so. What was keyed wrong is corrected by .", Tone.WARN)
            return None
        rows = room.case.told.rows_of(self.remark.step, self.remark.canal)
        row = next((one for one in reversed(rows) if set(one.seqs) & set(self.remark.evidence)), None)
        if number == 2:
            self._overrule(room, row)
            return None
        if row is not None:
            values = dump({name: fact.value for name, fact in row.facts.items()})
            room.log(
                "held",
                step=self.remark.step,
                canal=self.remark.canal,
                row=row.number,
                values=values,
                remarks=[self.remark.key],
                texts=[self.remark.text],
                drops=self.remark.rule in BEFORE,
            )
        room.say(f"Held back{_what(room, row)}. Logged as held.", Tone.WARN)
        return None

    def _overrule(self, room: Room, row: Row | None) -> None:
        if row is not None:
            remark = self.remark
            where = {"step": row.step, "canal": row.canal, "row": row.number}
            room.log("overruled", **where, remark=remark.key, text=remark.text)
        room.say(f"Logged outside the chain{_what(room, row)}. The stop stands until the record changes.", Tone.WARN)


@dataclass(slots=True)
class Unsettled:
    """A stop of the practice's own: no act rests on it but the closing, and that waits until the record says more."""

    remark: Remark

    def prompt(self, room: Room) -> Prompt:
        """List the ways out."""
        ways = ["not yet: the visit is not closed before", "answer it"]
        return listed(f"STOP: {_where(room, self.remark)}", self.remark.text, ways, then=". corrects what was keyed")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Leave it standing; or ask what is open, or say anew what it is about."""
        number = number_in(room, line, [1, 2])
        if number is None:
            return self
        if number == 2 and self.remark.evidence:
            return which_fact(room, self.remark.evidence[-1], "measured_anew")
        here = of_canal(room.case, room.protocol.by_step[self.remark.step], self.remark.canal)
        asked = next_question(room.case, here, {}) if here is not None else None
        if number == 2 and here is not None and asked is not None:
            return Owed(here.step.id, here.canal, here.row, asked.id, "open")
        room.say("It stands: the visit is not closed before.", Tone.WARN)
        return None


@dataclass(slots=True)
class AskAgain:
    """Patient or tooth differ: asked again from the named source, without either value; a second miss shows both."""

    remark: Remark
    question: AnyQuestion

    def prompt(self, room: Room) -> Prompt:
        """Ask again, or call the clinician."""
        if self._misses(room) < 2:
            return Prompt(
                f"STOP: {title(room.protocol, self.remark.step)}",
                "",
                f"{self.remark.text} {self.question.prompt}",
                self.question.hint(),
                (),
                "",
                "",
                self.question.blind or "",
                LEGEND,
            )
        read = room.case.told.fact(f"{self.remark.step}.{self.question.id}", TOOTH)
        value = read.value.value if read is not None and isinstance(read.value, Digits) else "nothing"
        header = getattr(room.case.told, CHECKS[self.question.role or ""])
        text = f"Call the clinician. Read twice: {value}. The session was opened for: {header}."
        ways = [
            "read it once more",
            f"the session was opened wrongly: it is {value}",
            "leave it: nothing may be filled",
        ]
        return listed("STOP: call the clinician", text, ways)

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log the answer, whatever it is; or do as chosen after the second miss."""
        if self._misses(room) < 2:
            return self._answer(room, line)
        number = number_in(room, line, [1, 2, 3])
        if number is None:
            return self
        if number == 1:
            return _Once(self)
        if number == 2:
            return self._mend_header(room)
        room.say("The stop stands: nothing may be filled.", Tone.STOP)
        return None

    def _answer(self, room: Room, line: Line) -> Mode | None:
        if not isinstance(line, Answer) or line.canals is not None or len(line.fields) != 1:
            room.say(f"Type {self.question.hint()}, read {self.question.blind or 'from its source'}.", Tone.WARN)
            return self
        value = self.question.parse(line.fields[0], room.protocol)
        if isinstance(value, Refusal):
            room.say(value.sentence, Tone.WARN)
            return self
        room.log_draft(Draft(self.remark.step, TOOTH, 1, {self.question.id: value}))
        room.say("Logged.", Tone.GOOD)
        still = next((one.remark for one in judge(room.case) if one.remark.rule in CHECKS.values()), None)
        room.queue = [remark for remark in room.queue if remark != still]  # it is taken up here and now
        return mode_for(room, still) if still is not None else None

    def _mend_header(self, room: Room) -> Mode | None:
        """Correct the header to what was read, and ask for the yes; with a new time-out the gates open again."""
        read = room.case.told.fact(f"{self.remark.step}.{self.question.id}", TOOTH)
        if read is None:
            return None
        member = CHECKS[self.question.role or ""]
        entry = room.log("correction", of=0, how="keyed_wrong", values=dump({member: read.value}))
        room.say("Header corrected. The time-out is done anew.", Tone.WARN)
        return SpokenYes((entry.seq,))

    def _misses(self, room: Room) -> int:
        return room.case.misses.get(f"{self.remark.step}.{self.question.id}", 0)


@dataclass(slots=True)
class _Once:
    """Reads the blind question once more after the clinician was called."""

    again: AskAgain

    def prompt(self, room: Room) -> Prompt:
        """Ask without either value."""
        question = self.again.question
        where = title(room.protocol, self.again.remark.step)
        return Prompt(where, "", question.prompt, question.hint(), (), "", "", question.blind or "", LEGEND)

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log the answer."""
        done = self.again._answer(room, line)
        return self if done is self.again else done


def _what(room: Room, row: Row | None) -> str:
    """Say what a row holds, with its canal where there are several."""
    if row is None:
        return ""
    name = canal_name(room.case, row.canal) if len(room.case.told.canals) > 1 else ""
    values = {question: fact.value for question, fact in row.facts.items()}
    said = sayable(room, row.step, values)
    return f"{f' for {name}' if name else ''}{f': {said}' if said else ''}"


def _where(room: Room, remark: Remark) -> str:
    return f"{title(room.protocol, remark.step)} {canal_name(room.case, remark.canal)}".strip()


def _blind_question(room: Room, remark: Remark) -> AnyQuestion | None:
    """Give the blind question behind an identity remark."""
    if remark.rule not in ("patient", "tooth"):
        return None
    step = room.protocol.by_step[remark.step]
    for question in step.question:
        fact = room.case.told.fact(f"{step.id}.{question.id}", TOOTH)
        if fact is None or fact.seq not in remark.evidence or not isinstance(fact.value, Digits):
            continue
        if differs(room.case.told, question.role, fact.value.value):
            return question
    return None
