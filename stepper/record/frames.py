"""Writing an entry the short way, byte for byte as the long way of `members` does.

An entry is written between an answer and the word that it is logged, where each step of the way costs several times
what it costs in a loop. What entries have in common is therefore put into bytes once, when the first of them has been
written the long way and looked at.
"""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from stepper.record.clock import Moment, utc_text
from stepper.record.members import enveloped, is_shallow, names_common, write_json

_MINUTE_US = 60_000_000
_SECONDS = len("00.000000Z")
"""What the text of a time has after its minute."""


class Frames:
    """The common members of entries as bytes, into which number, times and body are put.

    There is one for each kind, person, offset, zone and start of the machine.
    """

    def __init__(self) -> None:
        self._known: dict[tuple[object, ...], bytes] = {}
        self._minute, self._minute_text = -1, b""

    def learn(self, kind: str, moment: Moment, by: int | None) -> None:
        """Keep what an entry that was found to be in order has in common with others."""
        members = enveloped(0, kind, moment, by, {})
        written = {name: write_json(value).replace(b"%", b"%%") for name, value in members.items()}
        written |= {"seq": b"%d", "t": b'"%b%02d.%06dZ"', "mono_us": b"%d"}
        pairs = (b'"%b":%b,' % (name.encode(), value) for name, value in written.items())
        self._known[kind, by, moment.offset, moment.tz, moment.boot] = b"{%b%%b" % b"".join(pairs)

    def line(self, seq: int, kind: str, moment: Moment, by: int | None, body: Mapping[str, object]) -> bytes | None:
        """Return the line of an entry without its hash; nothing where only the long way can tell what is right."""
        frame = self._known.get((kind, by, moment.offset, moment.tz, moment.boot))
        if frame is None or not body or names_common(body):
            return None
        try:
            inner = write_json(body)[1:]
        except (msgspec.MsgspecError, TypeError, ValueError, RecursionError):
            return None
        minute, us = divmod(moment.wall_us, _MINUTE_US)
        if minute != self._minute:
            self._minute, self._minute_text = minute, utc_text(moment.wall)[:-_SECONDS].encode()
        line = frame % (seq, self._minute_text, us // 1_000_000, us % 1_000_000, moment.mono_us, inner)
        return line if is_shallow(line) else None
