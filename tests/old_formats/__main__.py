"""`python -m tests.old_formats` writes what is told of each session that has nothing beside it yet.

Of the others it says whose note reads otherwise than it did: that is allowed, and meant to be looked at.
"""

from __future__ import annotations

import json

from tests.old_formats.told import HERE, SESSIONS, expected_path, told_of

for session in SESSIONS:
    told, beside = told_of(session), expected_path(session)
    if not beside.exists():
        beside.write_text(json.dumps(told, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
        print(f"{beside.relative_to(HERE)} written")
    elif json.loads(beside.read_text(encoding="utf-8"))["note_sha256"] != told["note_sha256"]:
        print(f"{session.relative_to(HERE)}: its note reads otherwise than when it was released")
