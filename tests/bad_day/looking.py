"""What lies in a session file, held against what was expected of it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from stepper.case.gate import CLAUSES, shut
from stepper.case.state import Case
from stepper.note.compose import compose
from stepper.note.markdown import render as as_markdown
from stepper.note.report import session_report, stops_standing
from stepper.note.text import render as as_text
from stepper.session.store import read_case


def session_files(folder: Path) -> list[Path]:
    """Give the session files of a data folder, first opened first."""
    found = (folder / "sessions").glob("*.jsonl")
    return sorted(found, key=lambda path: str(json.loads(path.read_bytes().split(b"\n")[0])["t"]))


def flat(rows: list[str]) -> str:
    """Give rows of a screen or a note as one line."""
    return " ".join(" ".join(rows).split())


def plain(value: Mapping[str, Any]) -> str:
    """Write a value of the log short, as a line at the chair would have it."""
    match value["kind"]:
        case "choice":
            return "+".join(value["options"])
        case "depth":
            return _depth(value["short_mm"])
        case "size" | "instrument":
            size = f"{value['size']}/{float(value['taper']) * 100:g}"
            return size + (_depth(value["short_mm"]) if value["kind"] == "instrument" else "")
        case "absent":
            return str(value["why"])
        case "expiry":
            return f"{value['year']:04d}-{value['month']:02d}"
        case "number":
            return f"{float(value['value']):g}"
        case _:
            return str(value.get("value", value.get("raw", value)))


def _depth(short_mm: str) -> str:
    short = float(short_mm)
    return f"-{short:g}" if short >= 0 else f"+{-short:g}"


def like(entry: Mapping[str, Any], wanted: Mapping[str, Any]) -> bool:
    """Tell whether an entry is as wanted in every member that is given."""
    values = {name: plain(value) for name, value in (entry.get("values") or {}).items() if isinstance(value, dict)}
    told = [*values.values(), *(str(value) for value in entry.values() if not isinstance(value, dict))]
    for name, value in wanted.items():
        match name:
            case "values":
                fits = all(values.get(question) == answer for question, answer in value.items())
            case "has":
                fits = value in values
            case "holds":
                fits = all(any(text in one for one in told) for text in value)
            case "n":
                fits = True
            case _:
                fits = entry.get(name, False if value is True else None) == value
        if not fits:
            return False
    return True


def gate_misses(case: Case, canal: int, wanted: Mapping[str, Any]) -> list[str]:
    """Give what of a canal's gate is not as wanted."""
    if canal not in case.told.canals:
        return [f"there is no canal {canal}"]
    reasons, misses = shut(case, canal), []
    unknown = {clause for how in ("only", "shut", "holds") for clause in wanted.get(how, ())} - set(CLAUSES)
    assert not unknown, f"no such clause: {unknown}"
    if "only" in wanted and set(wanted["only"]) != set(reasons):
        misses.append(f"canal {canal}: shut should be {sorted(wanted['only'])}, is {reasons}")
    if not set(wanted.get("shut", ())) <= set(reasons):
        misses.append(f"canal {canal}: {sorted(wanted['shut'])} should be shut; shut is {reasons}")
    if set(wanted.get("holds", ())) & set(reasons):
        misses.append(f"canal {canal}: {sorted(wanted['holds'])} should hold; shut is {reasons}")
    return misses


def entry_misses(entries: list[dict[str, Any]], event: Mapping[str, Any]) -> Iterator[str]:
    """Give the entries that do not follow, those that must not be there, and counts that are otherwise."""
    at = 0
    for wanted in event["entries"]:
        found = next((place for place in range(at, len(entries)) if like(entries[place], wanted)), None)
        if found is None:
            yield f"does not follow after entry {at - 1}: {wanted}"
        else:
            at = found + 1
    yield from (f"must not be there: {one}" for one in event.get("never", ()) for entry in entries if like(entry, one))
    for wanted in event.get("times", ()):
        count = sum(like(entry, wanted) for entry in entries)
        if count != wanted["n"]:
            yield f"should be {wanted['n']} times, is {count}: {wanted}"
    rung = [entry["times"] for entry in entries if entry["kind"] == "sound"]
    if rung != event["sounds"]:
        yield f"rang {rung}, should {event['sounds']}"


def case_misses(case: Case, event: Mapping[str, Any]) -> Iterator[str]:
    """Give what of outcomes, gates, remarks and state is not as expected."""
    report = session_report("", case, entries=0, head="", damage=None)
    told = {str(one["number"]): one for one in report["canals"]}  # type: ignore[attr-defined]
    for number, wanted in event.get("canals", {}).items():
        canal = told.get(number, {"outcome": None, "reopened": []})
        if (canal["outcome"] or "") != wanted.get("outcome", ""):
            yield f"canal {number} ended {canal['outcome']}, should {wanted.get('outcome')}"
        if not set(wanted.get("reopened", ())) <= set(canal["reopened"]):
            yield f"canal {number}: reopened is {canal['reopened']}"
        yield from gate_misses(case, int(number), wanted)
    standing = {one["id"] for one in report["remarks"]}  # type: ignore[attr-defined]
    yield from (f"still stands: {rule}" for rule in event.get("no_remarks", ()) if rule in standing)
    state = {"closed": case.closed, "void": case.void is not None, "stops": bool(stops_standing(case))}
    for name, holds in state.items():
        if (name != "stops" or name in event) and holds != event.get(name, False):
            yield f"{name} is {holds}"


def misses(folder: Path, event: Mapping[str, Any]) -> list[str]:
    """Give everything that is not as expected in what lies in a folder."""
    files = session_files(folder)
    entries = [json.loads(line) for line in files[0].read_bytes().splitlines()]
    found, case, fault = read_case(files[0])
    assert case is not None, fault
    composed = compose(case)
    marked = re.sub(r"\\(.)", r"\1", as_markdown(composed))
    note = flat(as_text(composed).splitlines()) + flat(marked.splitlines())
    return [
        *([found.damage.sentence] if found.damage is not None else []),
        *([f"there are {len(files)} sessions"] if len(files) != event.get("sessions", 1) else []),
        *entry_misses(entries, event),
        *case_misses(case, event),
        *(f"the note lacks: {text}" for text in event.get("said", ()) if text not in note),
        *(f"the note says: {text}" for text in event.get("unsaid", ()) if text in note),
    ]
