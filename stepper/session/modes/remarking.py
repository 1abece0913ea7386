"""An open remark and its ways out by number."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.case.alarms import CHECKS, differs
from stepper.case.judge import Standing, judge, standing
from stepper.facts.entries import TOOTH
from stepper.facts.remarks import Remark, Weight
from stepper.facts.values import Digits
from stepper.kinds.union import AnyQuestion
from stepper.lines.grammar import Answer, Line
from stepper.lines.refusal import Refusal
from stepper.note.words import canal_name, title
from stepper.session.modes.listing import LEGEND, listed, number_in
from stepper.session.modes.reasons import Reason
from stepper.session.room import Draft, Mode, Room, dump
from stepper.session.view import Prompt, Tone


def mode_for(room: Room, remark: Remark) -> Mode | None:
    """Give the conversation that a remark calls for, or None where it stands answered by now."""
    if standing(room.case, remark) is not Standing.OPEN:
        return None
    asked = _blind_question(room, remark)
    if asked is not None:
        return AskAgain(remark, asked)
    return Asked(remark) if remark.weight is Weight.ASK else Stopped(remark)


@dataclass(slots=True)
class Asked:
    """An ask: the clinician's reason, or owed until closing."""

    remark: Remark

    def prompt(self, room: Room) -> Prompt:
        """List the ways out."""
        where = _where(room, self.remark)
        return listed(
            f"Ask the clinician: {where}", self.remark.text, ["reason, and who said it", "owed until closing"]
        )

    def take(self, room: Room, line: Line) -> Mode | None:
        """Do as chosen."""
        number = number_in(room, line, [1, 2])
        if number is None:
            return self
        if number == 1:
            return Reason((self.remark.text,), lambda _: [self.remark])
        room.log("owe", remark=self.remark.key, text=self.remark.text)
        room.say("Owed until closing; the fill waits for it.", Tone.WARN)
        return None


@dataclass(slots=True)
class Stopped:
    """A stop about a fact that is logged: the act that rests on it is held back until the record changes."""

    remark: Remark

    def prompt(self, room: Room) -> Prompt:
        """List the ways out."""
        where = _where(room, self.remark)
        ways = ["not handed over, not done: hold it back", "was done all the same: the fill stays held back"]
        return listed(f"STOP: {where}", self.remark.text, ways, then=". corrects what was keyed")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log that the act was held, or go on with the stop standing."""
        number = number_in(room, line, [1, 2])
        if number is None:
            return self
        if number == 2:
            room.say("Noted. The stop stands until the record changes.", Tone.WARN)
            return None
        rows = room.case.told.rows_of(self.remark.step, self.remark.canal)
        row = next((one for one in reversed(rows) if set(one.seqs) & set(self.remark.evidence)), None)
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
            )
        room.say("Held back, and logged as held.", Tone.GOOD)
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
            self._mend_header(room)
            return None
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
        return mode_for(room, still) if still is not None else None

    def _mend_header(self, room: Room) -> None:
        """Correct the header to what was read; the clinician's yes and a new time-out open the gates again."""
        read = room.case.told.fact(f"{self.remark.step}.{self.question.id}", TOOTH)
        if read is None:
            return
        member = CHECKS[self.question.role or ""]
        room.log("correction", of=0, how="keyed_wrong", values=dump({member: read.value}))
        room.say("Header corrected. Confirm it by / and do the time-out anew.", Tone.WARN)

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
