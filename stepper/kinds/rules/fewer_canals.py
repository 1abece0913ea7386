"""Fewer canals found than this tooth usually has."""

from typing import ClassVar

from stepper.kinds.judging import Finding, Rule, Seen


class FewerCanals(Rule, tag="fewer_canals", frozen=True):
    """Speaks once the canals are named and there are fewer than usual. Gaps: found, usual, tooth, source."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"found", "usual", "tooth", "source"})

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:  # noqa: ARG002 - it goes by roles
        """Compare with the protocol's table of teeth."""
        named, usual = seen.view.role("canals", 0), seen.tables.usual(seen.view.tooth)
        found = len(seen.view.canals)
        if canal or named is None or usual is None or found >= usual.canals:
            return None
        gaps = {
            "found": str(found),
            "usual": str(usual.canals),
            "tooth": seen.view.tooth,
            "source": usual.source,
        }
        return Finding((named.seq,), gaps)
