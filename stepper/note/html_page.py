"""A page of HTML in one file: no script, no address, and a policy that lets a browser load and run nothing.

The one style sheet is allowed by its hash, so that not even a style of another could take effect.
"""

from __future__ import annotations

import base64
import hashlib
from importlib.resources import files
from typing import Final

from stepper.note.vector import words

_STYLE: Final = files(__package__).joinpath("note.css").read_text(encoding="utf-8")
_HASH: Final = base64.b64encode(hashlib.sha256(_STYLE.encode()).digest()).decode()
_POLICY: Final = f"default-src 'none'; style-src 'sha256-{_HASH}'; base-uri 'none'; form-action 'none'"


def page(title: str, body: str) -> str:
    """Make a page of a title in words and a body in HTML."""
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{words(title)}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n{body}</body>\n</html>\n"
    )
