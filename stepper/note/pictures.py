"""The pictures of a note: each canal to scale, and where the time went. Each says in words what it shows."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from stepper.case.fit import last_fit, master_file
from stepper.case.state import Case
from stepper.facts.state import Canal
from stepper.facts.values import Depth
from stepper.kinds.computed.fitting import cone_rest
from stepper.kinds.gauged import gauged
from stepper.kinds.words import plain
from stepper.lines.refusal import visible
from stepper.note.canal_frame import SHORT_MM, Frame, frame_for, shown
from stepper.note.canal_legend import told
from stepper.note.canal_picture import canal_svg
from stepper.note.drawn import scene_of
from stepper.note.level import level_of
from stepper.note.scene import Scene
from stepper.note.shape import Picture, Sentence, rests_on
from stepper.note.spent import spent
from stepper.note.spent_words import in_one
from stepper.note.timeline import timeline_svg

TIMELINE = "Where the time went"


def pictures(case: Case) -> tuple[Picture, ...]:
    """Draw every canal of which there is something to draw, all at one scale, then where the time went."""
    canals = [(canal, scene_of(case, canal, SHORT_MM)) for canal in case.told.canals.values()]
    drawn = [(canal, scene) for canal, scene in canals if not scene.empty or _fill(case, canal) is not None]
    frame = frame_for([scene for _, scene in drawn])
    return (*(_canal(case, canal, scene, frame) for canal, scene in drawn), *_timeline(case))


def _canal(case: Case, canal: Canal, scene: Scene, frame: Frame) -> Picture:
    fill = _fill(case, canal)
    length = f", working length {plain(scene.length_mm)} mm" if scene.length_mm is not None else ""
    title = visible(f"{scene.canal}{length}")
    words = visible(told(scene, fill, shown(scene)))
    return Picture(title, canal_svg(scene, fill, frame, title, words), Sentence(words, rests_on(_entries(case, canal))))


def _timeline(case: Case) -> Iterator[Picture]:
    """Draw where the time went, once there is a step that took any."""
    known = spent(case)
    if known.work:
        told = in_one(case, known)
        yield Picture(TIMELINE, timeline_svg(case, known, TIMELINE, told.text), told)


def _fill(case: Case, canal: Canal) -> Decimal | None:
    """Give how far short of length the fill ends, if that was logged."""
    level = level_of(case, canal.number)
    return level[1].value.short_mm if level is not None and isinstance(level[1].value, Depth) else None


def _entries(case: Case, canal: Canal) -> Iterator[int]:
    """Give the entries that the drawing of a canal rests on."""
    known = gauged(case.seen(case.told), canal.number)
    if canal.length is not None:
        yield canal.length.seq
    if known is not None:
        yield from known.entries
    yield from (use.seq for use in canal.files_of_all)
    declared = master_file(case.told, canal.number)
    if declared is not None:
        yield declared[0].seq
    fit, foretold = last_fit(case.told, canal.number), cone_rest(case.seen(case.told), canal.number)
    if fit is not None:
        yield from fit.seqs
        yield from foretold[1] if foretold is not None else ()
    level = level_of(case, canal.number)
    if level is not None:
        yield level[1].seq
