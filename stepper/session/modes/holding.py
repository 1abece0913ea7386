"""An act that a remark holds back: it is not yet done, or it was done and is logged as what it was."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.case.gate import shut
from stepper.case.judge import before_acts, judge
from stepper.facts.remarks import Remark, Weight
from stepper.lines.grammar import Line
from stepper.note.words import canal_name, title
from stepper.session.modes.covering import sayable
from stepper.session.modes.listing import listed, number_in
from stepper.session.modes.reasons import Reason, depart
from stepper.session.room import Draft, Mode, Room, dump
from stepper.session.view import Prompt, Tone

GATE = "gate"


@dataclass(slots=True)
class Holding:
    """Ways out of remarks about an act that can still be left undone. `drops`: holding gives up the row."""

    draft: Draft
    remarks: list[Remark]
    drops: bool

    @property
    def stops(self) -> bool:
        """Whether one of them is a stop: then a reason does not pass it."""
        return any(remark.weight is Weight.STOP for remark in self.remarks)

    def prompt(self, room: Room) -> Prompt:
        """List the ways out."""
        where = f"{title(room.protocol, self.draft.step)} {canal_name(room.case, self.draft.canal)}".strip()
        head = f"{'STOP' if self.stops else 'Ask the clinician'}: {where}"
        text = " ".join(remark.text for remark in self.remarks)
        if self.stops:
            return listed(head, text, ["not done: hold it back", "was done all the same: log it outside the chain"])
        ways = ["not yet done: hold it back", "was done: reason and who said it", "was done: the reason is owed"]
        return listed(head, text, ways)

    def take(self, room: Room, line: Line) -> Mode | None:
        """Do as chosen."""
        number = number_in(room, line, [1, 2] if self.stops else [1, 2, 3])
        if number is None:
            return self
        if number == 1:
            self._hold(room)
        elif self.stops:
            room.log_draft(self.draft, outside=True)
            room.say(f"Logged outside the chain: {self._words(room)}. Never counted as done.", Tone.WARN)
        elif number == 2:
            return Reason("Reason", " ".join(remark.text for remark in self.remarks), self._depart, self)
        else:
            for remark in self._log(room):
                room.log("owe", remark=remark.key, text=remark.text)
                room.queue = [one for one in room.queue if one.key != remark.key]
            room.say(f"Logged {self._words(room)}; the reason is owed until closing.", Tone.WARN)
        return None

    def stands(self, room: Room) -> bool:
        """Tell whether something still holds the act back: what was corrected or answered meanwhile does no more."""
        gate = gate_remark(room, self.draft.canal) if self.remarks[0].rule == GATE else None
        if gate is not None:
            self.remarks = [gate]
        held = {remark.rule for remark in before_acts(room.case, self.draft.row_with(room.case))}
        self.remarks = [remark for remark in self.remarks if remark is gate or remark.rule in held]
        return bool(self.remarks)

    def _hold(self, room: Room) -> None:
        begun = any(row.number == self.draft.row for row in room.case.told.rows_of(self.draft.step, self.draft.canal))
        room.log(
            "held",
            step=self.draft.step,
            canal=self.draft.canal,
            row=self.draft.row,
            values=dump(self.draft.values),
            remarks=[remark.key for remark in self.remarks],
            texts=[remark.text for remark in self.remarks],
            drops=self.drops and begun,
        )
        room.say(f"Held back, not done: {self._words(room)}. Logged as held.", Tone.WARN)

    def _depart(self, room: Room, reason: str, said_by: int) -> None:
        depart(room, self._log(room), reason, said_by)
        room.say(f"Logged {self._words(room)}. {room.saying}", room.tone)

    def _words(self, room: Room) -> str:
        """Say what the act is, with its canal where there are several."""
        name = canal_name(room.case, self.draft.canal) if len(room.case.told.canals) > 1 else ""
        said = sayable(room, self.draft.step, self.draft.values)
        return f"{f'for {name}: ' if name else ''}{said or 'what was typed'}"

    def _log(self, room: Room) -> list[Remark]:
        """Log the act; give the remarks as they now stand on it. They are answered at once, and ring no second time."""
        rules = {(remark.rule, remark.canal) for remark in self.remarks}
        to_come = before_acts(room.case, self.draft.row_with(room.case))
        room.known.update(one.key for one in to_come if (one.rule, one.canal) in rules)
        seq = room.log_draft(self.draft).seq
        found = [one.remark for one in judge(room.case) if (one.remark.rule, one.remark.canal) in rules]
        return [remark for remark in found if seq in remark.evidence]


def gate_remark(room: Room, canal: int) -> Remark | None:
    """Give the remark of a fill while the gate is shut, or None where it is open."""
    reasons = shut(room.case, canal)
    if not reasons:
        return None
    name = canal_name(room.case, canal)
    why = "; ".join(reasons.values()).rstrip(".")
    text = f"{room.protocol.wording.gate.format_map({'canal': name})} {why[:1].upper()}{why[1:]}."
    facts = [entry.seq for entry in room.case.entries if entry.kind in ("answer", "correction", "confirm", "departure")]
    step = room.cursor.step
    return Remark(GATE, Weight.STOP, step, canal, (facts[-1] if facts else 0,), text, sound=2)


@dataclass(slots=True)
class Act:
    """Asks once more before an act is logged."""

    draft: Draft
    words: str

    def prompt(self, room: Room) -> Prompt:  # noqa: ARG002 - the draft says it all
        """Ask for the second line."""
        return listed("Sure", self.words, ["yes, it was done", "no, not done"])

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log it, if the gate is still open."""
        number = number_in(room, line, [1, 2])
        if number is None:
            return self
        if number == 2:
            room.say("Nothing was logged.")
            return None
        remark = gate_remark(room, self.draft.canal)
        if remark is not None:
            room.ring(remark)
            return Holding(self.draft, [remark], drops=False)
        room.log_draft(self.draft)
        room.read_aloud(f"{canal_name(room.case, self.draft.canal)} filled")
        room.say("Logged.", Tone.GOOD)
        return None
