"""The practice's settings: heading, people, sound, theme and stock, in `practice.toml`.

People and stock named here take the place of the protocol's. A session carries the settings it was opened under.
"""

import os
from pathlib import Path
from typing import Annotated, Literal

import tomli
import tomli_w
from msgspec import Meta
from msgspec.structs import replace

from stepper.facts.record import written
from stepper.kinds.shape import Flag, Table, Whole, read_table
from stepper.kinds.tables import AnyItem, Person
from stepper.lines.refusal import visible
from stepper.protocol.crosscheck import crosscheck
from stepper.protocol.models import Protocol
from stepper.protocol.problems import Problem
from stepper.protocol.reading import read_at_most

MAX_BYTES = 256 * 1024


class Settings(Table, frozen=True):
    """What a practice sets once. `heading` stands at the head of every note.

    `lock_after_min`: after so many minutes without a key the screen locks, as soon as somebody has a PIN; 0 is never.
    """

    heading: str = ""
    sound: Flag = True
    theme: Literal["dark", "light"] = "dark"
    lock_after_min: Annotated[Whole, Meta(ge=0, le=240)] = 10
    person: tuple[Person, ...] = ()
    item: tuple[AnyItem, ...] = ()


class BadSettings(Exception):  # noqa: N818 - it is a verdict on the file, said in the user's words
    """Settings that are refused; the sentence says where and what is allowed."""


def read_settings(text: str, name: str) -> Settings:
    """Read settings from their text; empty text gives the defaults."""
    try:
        raw = tomli.loads(text.removeprefix("\ufeff"))
    except (RecursionError, ValueError) as error:
        raise BadSettings(visible(f"{name}: not TOML: {error}.")) from None
    try:
        return read_table(Settings, raw)
    except ValueError as error:
        raise BadSettings(f"{_misshapen(raw, str(error)).sentence(name, raw)}.") from None


def _misshapen(raw: dict[str, object], first: str) -> Problem:
    """Give the first mistake of shape; `first` is what the reader of good files stopped at, should none be found."""
    from stepper.protocol.shape import shape_problems

    problems, _ = shape_problems(raw, Settings)
    return problems[0] if problems else Problem((), first)


def settings_text(path: Path, protocol: Protocol) -> str:
    """Give the text of the settings file; where there is none, write one with the protocol's people to start from."""
    try:
        return read_text(path)
    except FileNotFoundError:
        return _write_first(path, protocol)


def read_text(path: Path) -> str:
    """Give the text of the settings file. Raises BadSettings, or FileNotFoundError where there is none."""
    try:
        content = read_at_most(path, MAX_BYTES)
    except FileNotFoundError:
        raise
    except OSError as error:
        raise BadSettings(f"{path.name}: cannot be read: {error.strerror}.") from None
    if len(content) > MAX_BYTES:
        raise BadSettings(f"{path.name}: longer than 256 KB; settings are shorter.")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        raise BadSettings(f"{path.name}: is not UTF-8 text.") from None


def settled(protocol: Protocol, settings: Settings) -> Protocol:
    """Put the practice's people and stock in the place of the protocol's."""
    if not settings.person and not settings.item:
        return protocol
    changed = replace(protocol, person=settings.person or protocol.person, item=settings.item or protocol.item)
    problems = crosscheck(changed)
    if problems:
        sentence = problems[0].sentence("practice.toml does not go with the protocol", written(changed))
        raise BadSettings(f"{sentence}.")
    return changed


def _write_first(path: Path, protocol: Protocol) -> str:
    people = [written(one) for one in protocol.person]
    text = tomli_w.dumps({"heading": "", "sound": True, "theme": "dark", "person": people})
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW | os.O_CLOEXEC, 0o600)
    except OSError as error:
        raise BadSettings(f"{path.name}: cannot be written: {error.strerror}.") from None
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        file.write(text)
    return text
