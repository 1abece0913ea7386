"""The fill gate judged anew, slowly and from nothing, over the raw entries: what the program's own gate is held to.

It shares no code with `stepper.case`. It knows the entries, the protocol's data and the ISO arithmetic of a cone; each
question is answered by walking the whole log again. Only clause 8 leans on the program: which rules speak is told to
the oracle (`asks`), since the rules have tests of their own.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from stepper.facts.entries import Answer, AnyEntry, CanalFound, Confirm, Correction, Departure, Held, Joined, Open
from stepper.facts.remarks import Remark
from stepper.facts.values import Absent, Digits
from stepper.protocol.models import Protocol

Key = tuple[int, int, int]
EARLY: Key = (-1, 0, 0)
FIT = {"cone", "seat", "tug_back", "cone_image"}
BLIND = {"patient_check": "patient", "tooth_check": "tooth", "tooth_counted": "tooth", "tooth_opened": "tooth"}


@dataclass
class Said:
    """One fact of one row, as one event left it."""

    key: Key
    step: str
    canal: int
    row: int
    question: str
    role: str | None
    value: Any
    seq: int
    outside: bool
    anew: bool
    keyed_outside: bool = False

    @property
    def real(self) -> bool:
        return not isinstance(self.value, Absent)


class Oracle:
    """One reading of a log: everything told, or only what is sure."""

    def __init__(self, protocol: Protocol, entries: Sequence[AnyEntry], late: set[int], *, sure: bool) -> None:
        self.protocol = protocol
        self.entries = entries
        self.sure = sure
        self.steps = {step.id: step for step in protocol.step}
        self.confirmed = {seq for one in entries if isinstance(one, Confirm) for seq in one.of if seq < one.seq}
        self.keys = _keys(entries)
        self.late = late
        self.said = self._said()
        self.names = self._names()

    # -- what was said ------------------------------------------------------------------------------------------------

    def _said(self) -> list[Said]:
        dropped = {(one.step, one.canal, one.row) for one in self.entries if isinstance(one, Held) and one.drops}
        found: list[Said] = []
        for entry in self.entries:
            if not isinstance(entry, Answer | Correction) or (
                isinstance(entry, Correction) and entry.how != "measured_anew"
            ):
                continue
            if self.sure and entry.seq in self.late and entry.seq not in self.confirmed:
                continue
            home = self.home(entry)
            if home is None or (home.step, home.canal, home.row) in dropped or home.step not in self.steps:
                continue
            values = {name: (value, entry.seq) for name, value in entry.values.items()}
            for other in self._mended(entry.seq):
                values.update({name: (value, other.seq) for name, value in other.values.items()})
            for name, (value, seq) in values.items():
                asked = self.steps[home.step].asked(name)
                role = asked.role if asked else None
                anew = isinstance(entry, Correction)
                key = self.keys[entry.seq]
                found.append(Said(key, home.step, home.canal, home.row, name, role, value, seq, home.outside, anew))
        found.sort(key=lambda one: one.key)
        outside = {(one.step, one.canal, one.row) for one in found if one.outside}
        for one in found:
            one.keyed_outside, one.outside = one.outside, (one.step, one.canal, one.row) in outside
        return found

    def _mended(self, seq: int) -> list[Correction]:
        """The keyed-wrong corrections that come down to an entry, as far as they count here."""
        wrong = [one for one in self.entries if isinstance(one, Correction) and one.how == "keyed_wrong"]
        counted = [one for one in wrong if not self.sure or one.seq in self.confirmed]
        return [one for one in counted if self._root(one.of) == seq]

    def home(self, entry: Answer | Correction) -> Answer | None:
        while isinstance(entry, Correction):
            below = self.entries[entry.of] if 0 < entry.of < entry.seq else None
            if not isinstance(below, Answer | Correction):
                return None
            entry = below
        return entry

    def _root(self, seq: int) -> int:
        entry = self.entries[seq]
        while isinstance(entry, Correction) and entry.how == "keyed_wrong":
            seq = entry.of
            entry = self.entries[seq]
        return seq

    def _names(self) -> dict[int, str]:
        events: list[tuple[Key, Any]] = [(one.key, one) for one in self.said if one.role == "canals" and one.real]
        events += [(self.keys[one.seq], one) for one in self.entries if isinstance(one, CanalFound)]
        names: dict[int, str] = {}
        for _, event in sorted(events, key=lambda pair: pair[0]):
            if isinstance(event, CanalFound):
                names.setdefault(event.canal, event.name)
                continue
            asked = self.steps[event.step].asked(event.question)
            assert asked is not None
            labels = {option.id: option.label for option in asked.options_of(self.protocol)}
            for option in event.value.options:
                if labels[option] not in names.values():
                    names[max(names, default=0) + 1] = labels[option]
        return names

    def rows(self, canal: int, upto: Key | None = None) -> dict[tuple[str, int], dict[str, Said]]:
        """Every row of a canal as it stands after the events up to a key."""
        table: dict[tuple[str, int], dict[str, Said]] = {}
        for one in self.said:
            if one.canal == canal and (upto is None or one.key <= upto):
                table.setdefault((one.step, one.row), {})[one.question] = one
        return table

    def latest(self, role: str, canal: int) -> Said | None:
        found = [one for one in self.said if one.role == role and one.canal == canal]
        return found[-1] if found and found[-1].real else None

    # -- lengths and files --------------------------------------------------------------------------------------------

    def length(self, canal: int, upto: Key | None = None) -> tuple[Decimal, Key] | None:
        """The length in force at a key, and where it was measured; from a point that was left it counts no longer."""
        in_force: tuple[Decimal, Key, int, tuple[str, int]] | None = None
        broken = set(self.broken(canal))
        rows: dict[tuple[str, int], Said] = {}
        own = [one for one in self.said if one.canal == canal and (upto is None or one.key <= upto)]
        for key in sorted({one.key for one in own}):
            facts = [one for one in own if one.key == key]
            agreed = next((one for one in facts if one.role == "working_length"), None)
            if agreed is not None:
                rows[(agreed.step, agreed.row)] = agreed
                if not agreed.keyed_outside:  # a length keyed outside the chain leaves the one before in force
                    real = (agreed.value.value, key, agreed.seq, (agreed.step, agreed.row)) if agreed.real else None
                    in_force = real
            if key in broken:
                left = next(one for one in facts if one.role == "reference")
                with_it = rows.get((left.step, left.row))
                new = with_it is not None and (with_it.key == key or not left.anew)
                if not (new and in_force is not None and with_it is not None and with_it.seq == in_force[2]):
                    in_force = None
        return in_force[:2] if in_force is not None else None

    def uses(self, canal: int) -> list[dict[str, Any]]:
        """What was in a canal: each file, and each irrigant, by the entry that said it; a word more is one use more."""
        found: dict[tuple[str, int], dict[str, Any]] = {}
        state: dict[tuple[str, int], dict[str, Said]] = {}
        events: dict[tuple[Key, str, int], list[Said]] = {}
        for one in self.said:
            if one.canal == canal:
                events.setdefault((one.key, one.step, one.row), []).append(one)
        for (key, step, row), facts in sorted(events.items(), key=lambda pair: pair[0][0]):
            now = state.setdefault((step, row), {})
            purposed = any(one.role == "purpose" and one.real for one in now.values())
            now.update({one.question: one for one in facts})
            roles = {one.role for one in facts}
            file = next((one for one in now.values() if one.role == "file" and one.real), None)
            purpose = next((one for one in now.values() if one.role == "purpose"), None)
            if file is not None:
                once_more = "purpose" in roles and "file" not in roles and (facts[0].anew or purposed)
                said = file
                if purpose is not None and purpose.key > file.key and (once_more or (step, purpose.seq) in found):
                    said = purpose
                first = found.get((step, said.seq)) or found.get((step, file.seq))
                length = self.length(canal, key)
                absolute = first["absolute"] if first else (length[0] - file.value.short_mm if length else None)
                chosen = purpose.value.options[0] if purpose is not None and purpose.real else "cut"
                use = {"kind": "file", "step": step, "key": said.key, "value": file.value, "purpose": chosen}
                found[(step, said.seq)] = use | {
                    "absolute": absolute,
                    "short": file.value.short_mm,
                    "outside": file.outside,
                }
            rinse = next((one for one in now.values() if one.role == "irrigant" and one.real), None)
            if rinse is not None:
                item = next(one for one in self.protocol.item if one.id == rinse.value.options[0])
                use = {"kind": "rinse", "step": step, "key": rinse.key, "family": getattr(item, "family", item.id)}
                found[(step, rinse.seq)] = use | {"outside": rinse.outside, "absolute": None, "purpose": ""}
            for broke in self.broken(canal):
                if broke == key:
                    for use in found.values():
                        use["absolute"] = None
        return list(found.values())

    def broken(self, canal: int) -> list[Key]:
        """Where a canal's reference point broke or was left for another."""
        found: list[Key] = []
        state: dict[tuple[str, int], dict[str, Said]] = {}
        for one in [one for one in self.said if one.canal == canal]:
            before = [
                fact
                for row in state.values()
                for fact in row.values()
                if fact.role == "reference" and fact.real and fact.key < one.key
            ]
            if one.role == "reference":
                last = max(before, key=lambda fact: fact.key) if before else None
                if one.anew or (last is not None and one.real and last.value != one.value):
                    found.append(one.key)
            state.setdefault((one.step, one.row), {})[one.question] = one
        return found

    def files(self, canal: int) -> list[dict[str, Any]]:
        """The files of a canal, with their distance short of the length now and whether that is known."""
        now = self.length(canal)
        found = []
        for use in self.uses(canal):
            if use["kind"] == "file":
                known = now is not None and use["absolute"] is not None
                short = now[0] - use["absolute"] if now is not None and known else use["short"]
                found.append(use | {"short": short, "known": known})
        return found

    def together(self, canal: int) -> set[int]:
        """The canals that join with a canal, itself included."""
        joins = [(one.canal, one.into) for one in self.joins()]
        found = {canal}
        for _ in joins:
            for a, b in joins:
                if a in found or b in found:
                    found |= {a, b}
        return found

    def joins(self) -> list[Joined]:
        last = {
            one.canal: one
            for one in self.entries
            if isinstance(one, Joined) and one.canal in self.names and one.into in self.names
        }
        return list(last.values())

    def last_file(self, canal: int, purpose: str | None = None) -> Key:
        """Where a file last was in a canal, or in the part that it shares with others."""
        acts = [use for use in self._acts(canal) if use["kind"] == "file"]
        return max((use["key"] for use in acts if purpose in (None, use["purpose"])), default=EARLY)

    def last_rinse(self, canal: int) -> Key:
        return max((use["key"] for use in self._acts(canal) if use["kind"] == "rinse"), default=EARLY)

    def _acts(self, canal: int) -> Iterable[dict[str, Any]]:
        """Every use that bears on a canal: a rinse runs into all that join, a file if it may have passed the join."""
        at = {one.canal: one.at_mm for one in self.joins()}
        for number in self.together(canal):
            for use in self.uses(number):
                meets = at.get(number)
                short_of_it = use["absolute"] is not None and meets is not None and use["absolute"] < meets
                if number == canal or use["kind"] == "rinse" or not short_of_it:
                    yield use

    # -- the clauses --------------------------------------------------------------------------------------------------

    def open(self, canal: int, asks: Sequence[Remark], every_ask: Sequence[Remark]) -> bool:
        """Whether all eight clauses hold. `asks` are unanswered, `every_ask` all that stand."""
        if canal not in self.names:
            return False
        return (
            self.clear(canal)
            and self.length(canal) is not None
            and self.master(canal)
            and self.fit(canal)
            and self.dry(canal)
            and self.rinsed(canal)
            and self.lots(canal, every_ask)
            and not asks
        )

    def header(self) -> tuple[dict[str, str], Key, bool]:
        """Patient and tooth as last said, where they last changed, and whether a word on them waits for the yes."""
        first = self.entries[0]
        assert isinstance(first, Open)
        values, key, last = {"patient": first.patient, "tooth": first.tooth}, EARLY, dict[str, int]()
        for one in self.entries:
            if isinstance(one, Correction) and one.how == "keyed_wrong" and self._root(one.of) == 0:
                if self.sure and one.of != 0 and one.seq not in self.confirmed:
                    continue
                for name, value in one.values.items():
                    if name in values and isinstance(value, Digits):
                        values[name], last[name] = value.value, one.seq
                key = self.keys[one.seq]
        return values, key, any(seq not in self.confirmed for seq in last.values())

    def clear(self, canal: int) -> bool:
        header, changed, unconfirmed = self.header()
        for role, member in BLIND.items():
            fact = self.latest(role, 0)
            if fact is None:
                if role in ("patient_check", "tooth_check"):
                    return False
            elif fact.value.value != header[member] or (role != "tooth_opened" and fact.key < changed):
                return False
        dams = [one for one in self.said if one.role == "dam"]
        filled = [one for one in self.said if one.role == "fill" and one.canal == canal and one.real]
        return (
            not unconfirmed
            and bool(dams)
            and dams[-1].real
            and dams[-1].value.options[0] == "on"
            and not self._allergic()
            and not filled
        )

    def _allergic(self) -> bool:
        allergies = self.latest("allergies", 0)
        if allergies is None:
            return False
        for canal in {one.canal for one in self.said}:
            for row in self.rows(canal).values():
                for fact in row.values():
                    if fact.role in ("item", "irrigant") and fact.real:
                        item = next(one for one in self.protocol.item if one.id == fact.value.options[0])
                        if set(item.allergens) & set(allergies.value.options):
                            return True
        return False

    def master(self, canal: int) -> bool:
        declared, length = self.latest("master_apical_file", canal), self.length(canal)
        if declared is None or length is None or declared.key < length[1] or declared.outside:
            return False
        limits, size, taper = self.protocol.limits, declared.value.size, declared.value.taper
        cut = False
        for file in self.files(canal):
            if file["purpose"] != "cut" or file["short"] > limits.at_length_mm:
                continue
            value, near = file["value"], abs(file["short"]) <= limits.at_length_mm
            short = Decimal(0) if near or file["short"] > 0 else file["short"]
            top = min(limits.span_mm, short + 16)  # its cutting part is 16 mm long
            at = (Decimal(0), top) if top >= 0 else ()
            theirs = [Decimal(value.size) / 100 + value.taper * (x - short) for x in at]
            ours = [Decimal(size) / 100 + taper * x for x in at]
            if any(wide > narrow for wide, narrow in zip(theirs, ours, strict=True)):
                return False
            same = (value.size, value.taper) == (size, taper)
            cut = cut or (near and same and file["known"] and not file["outside"])
        return cut

    def _last_rows(self, canal: int, roles: set[str]) -> list[dict[str, Said]]:
        """The last row begun, and every earlier one of which something was said later than that."""
        rows = [
            (min(one.key for one in row.values()), number, row)
            for (_, number), row in self.rows(canal).items()
            if roles & {one.role for one in row.values()}
        ]
        if not rows:
            return []
        begun = max(rows, key=lambda each: each[:2])
        return [
            row
            for key, number, row in rows
            if (key, number) == begun[:2] or max(one.key for one in row.values() if one.role in roles) > begun[0]
        ]

    def fit(self, canal: int) -> bool:
        rows = self._last_rows(canal, FIT)
        return bool(rows) and all(self._fits(canal, row) for row in rows)

    def _fits(self, canal: int, row: dict[str, Said]) -> bool:
        chosen, declared = self.latest("technique", canal), self.latest("master_apical_file", canal)
        length = self.length(canal)
        has = {one.role: one for one in row.values() if one.real}
        if chosen is None or declared is None or length is None or "cone" not in has or has["cone"].outside:
            return False
        begun = min(one.key for one in row.values() if one.role in FIT)
        if begun < max(length[1], self.last_file(canal, "cut")):
            return False
        technique = next(one for one in self.protocol.technique if one.id == chosen.value.options[0])
        size = has["cone_trimmed"].value.size if "cone_trimmed" in has else has["cone"].value.size
        if "size" in technique.match and size != declared.value.size:
            return False
        if "taper" in technique.match and has["cone"].value.taper != declared.value.taper:
            return False
        if any(one.role in technique.needs and one.key < has["cone"].key for one in row.values()):
            return False
        needs = {
            "seat": "seat" in has and abs(has["seat"].value.short_mm) <= technique.seat_within_mm,
            "tug_back": "tug_back" in has and has["tug_back"].value.options == ("yes",),
            "cone_image": "cone_image" in has and has["cone_image"].value.options == ("seated",),
        }
        return all(needs[name] for name in technique.needs)

    def dry(self, canal: int) -> bool:
        rows = self._last_rows(canal, {"paper_point_depth", "dryness"})
        return bool(rows) and all(self._dries(canal, row) for row in rows)

    def _dries(self, canal: int, row: dict[str, Said]) -> bool:
        chosen, length = self.latest("sealer", canal), self.length(canal)
        if chosen is None or length is None or any(one.outside for one in row.values()):
            return False
        begun = min(one.key for one in row.values())
        if begun < max(length[1], self.last_file(canal), self.last_rinse(canal)):
            return False
        sealer = next(one for one in self.protocol.item if one.id == chosen.value.options[0])
        has = {one.role: one.value for one in row.values() if one.real}
        within = self.protocol.limits.dry_within_mm
        if "paper_point_depth" not in has or has["paper_point_depth"].short_mm > within:
            return False
        if "dryness" not in has or not set(has["dryness"].options) <= set(getattr(sealer, "dryness", ())):
            return False
        if has["dryness"].options == ("dry",):
            return True
        return "damp_mm" in has and has["damp_mm"].value <= getattr(sealer, "damp_max_mm", Decimal(0))

    def rinsed(self, canal: int) -> bool:
        """What was rinsed through a canal that joins did not reach all of this one: only its own rinses count."""
        cut, needed = self.last_file(canal, "cut"), self.protocol.limits.final_rinse
        own = [use for use in self.uses(canal) if use["kind"] == "rinse" and use["key"] > cut and not use["outside"]]
        used = [use["family"] for use in own]
        return all(used.count(family) >= needed.count(family) for family in needed)

    def lots(self, canal: int, every_ask: Sequence[Remark]) -> bool:
        """The last set-up of the sealer, and of every kind of cones, is in date, or its ask was passed."""
        chosen = self.latest("sealer", canal)
        sealers = {chosen.value.options[0]} if chosen is not None else set()
        cones = {one.id for one in self.protocol.item if one.category == "cone"}
        for wanted in (sealers, cones):
            last: dict[str, tuple[Key, int, str, dict[str, Said]]] = {}
            for (step, number), row in self.rows(0).items():
                item = next((one for one in row.values() if one.role == "item" and one.real), None)
                for identity in item.value.options if item is not None else ():
                    this = (min(one.key for one in row.values()), number, step, row)
                    if identity in wanted and (identity not in last or this[:2] > last[identity][:2]):
                        last[identity] = this
            if not last or not all(self._in_date(step, row, every_ask) for _, _, step, row in last.values()):
                return False
        return True

    def _in_date(self, step: str, row: dict[str, Said], every_ask: Sequence[Remark]) -> bool:
        first = self.entries[0]
        departed = {one.remark for one in self.entries if isinstance(one, Departure)}
        item = next(one for one in row.values() if one.role == "item")
        expiry = next((one for one in row.values() if one.role == "item_expiry"), None)
        if item.outside or (expiry is not None and expiry.key < item.key):
            return False
        if expiry is None or not expiry.real:
            seqs = {one.seq for one in row.values()}
            asks = [one for one in every_ask if one.step == step and set(one.evidence) & seqs]
            return bool(asks) and all(one.key in departed for one in asks)
        return (expiry.value.year, expiry.value.month) >= (first.t.year, first.t.month)


def _keys(entries: Sequence[AnyEntry]) -> dict[int, Key]:
    """Where each entry stands: the boot it was keyed under, the moment it happened, its number."""
    boots: list[str] = []
    keys: dict[int, Key] = {}
    for entry in entries:
        if entry.boot not in boots:
            boots.append(entry.boot)
        ago = entry.ago_min or 0 if isinstance(entry, Answer) else 0
        keys[entry.seq] = (boots.index(entry.boot), entry.mono_us - ago * 60_000_000, entry.seq)
    return keys


def is_late(protocol: Protocol, entries: Sequence[AnyEntry], late: set[int]) -> bool:
    """Whether the last entry was keyed after something that stands behind it, or after a fill it bears on."""
    *before, entry = entries
    oracle = Oracle(protocol, before, late, sure=False)
    if isinstance(entry, Correction) and entry.how == "measured_anew":
        home = oracle.home(entry)
        return home is not None and _after_fill(protocol, oracle, home)
    if not isinstance(entry, Answer):
        return False
    keys = _keys(entries)
    for other in before:
        if isinstance(other, Answer | Correction) and keys[other.seq] > keys[entry.seq]:
            home = oracle.home(other)
            canal = home.canal if home is not None else 0
            if 0 in (canal, entry.canal) or canal == entry.canal:
                return True
    return _after_fill(protocol, oracle, entry)


def _after_fill(protocol: Protocol, oracle: Oracle, entry: Answer) -> bool:
    order = [step.id for step in protocol.step]
    fill = next(step.id for step in protocol.step if any(question.role == "fill" for question in step.question))
    if entry.step not in order or order.index(entry.step) >= order.index(fill) or entry.canal not in oracle.names:
        return False
    return any(one.role == "fill" and one.canal == entry.canal and one.real for one in oracle.said)
