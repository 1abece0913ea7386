"""Why there is no fact. By itself, because the keyboard's grammar knows it and is loaded before anything is painted."""

from __future__ import annotations

from enum import StrEnum


class Why(StrEnum):
    """Why a question holds no fact."""

    NOT_DONE = "not_done"
    NOT_MEASURED = "not_measured"
    OWED = "owed"
