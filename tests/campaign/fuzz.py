"""Session files with anything in them, given to `stepper check` and `stepper note`: always an exit code, in words.

A third are samples that were changed and sealed anew, so that every hash holds and the change is met further in.
"""

from __future__ import annotations

import contextlib
import io
import json
import random
import resource
import subprocess
import sys
import traceback
from collections.abc import Callable
from pathlib import Path

from stepper.cli.main import main
from stepper.record.chain import genesis, seal
from stepper.record.verify import FILE_CAP
from tests.campaign.changes import SAMPLES
from tests.campaign.tally import Tally, Trial, scratch
from tests.record.sessions import SID

TOP = Path(__file__).parents[2]
CODES = (0, 1, 2)
MEMORY = 1_000_000_000
"""Bytes of address space that a check may take of the largest file."""

_HANGS_S = 120
"""A check that takes longer is taken to hang."""

_ODD: tuple[object, ...] = (
    *(None, True, -1, 0, 10**30, 2**63, 1e308, -0.0, 0.1, "", "\x00", "x" * 5_000, [], {}, [[[]]], {"kind": "x"}),
    *("\u202eabc", "\x1b[2J", "NaN", "2026-13-01", "12.5", "nothing", "open", "answer", "ä" * 40, [None], ["x", 1]),
    *("½", "\ud83d", "9" * 400, {"": ""}, {"value": {"value": {}}}, "2026-03-02", "36", "-", "\r\n", "../../x"),
)
_PIECES = (
    *(b"\n", b"\r\n", b"\x00", b"\xef\xbb\xbf", b"\xff\xfe", b"\xed\xa0\x80", b"[" * 50_000, b'{"a":' * 20_000),
    *(b"9" * 70_000, b"1e999999", b"x" * 70_000, b'{"v":1,"seq":0,"kind":"open",', b',"hash":"' + b"0" * 64 + b'"}\n'),
    *(b'{"v":' + b"9" * 400 + b",", b'"\\ud800"', b"NaN", b"-", b'"', b"{}", b"null\n", b"\x1b[2J", b"\xe2\x80\xa8"),
)


def fuzz(trial: Trial) -> Tally:
    """Check so many files."""
    tally = Tally("files given to check and note")
    dice = trial.dice
    samples = [path.read_bytes() for path in sorted(SAMPLES.glob("*.jsonl"))]
    kinds = (_anything, _spoilt, _sealed_anew)
    with scratch() as folder:
        for number in range(trial.rounds):
            kind = kinds[number % len(kinds)]
            data, sid = kind(dice, dice.choice(samples))
            path = folder / f"{sid}.jsonl"
            path.write_bytes(data)
            command = dice.choice((["check"], ["check", "--json"], ["note"]))
            code, wrong = _run([*command, str(path)])
            what = f"{kind.__name__.strip('_')}, file {number}, {' '.join(command)}"
            tally.one(f"{kind.__name__.strip('_').replace('_', ' ')} {code}", wrong and f"{what}: {wrong}")
            path.unlink()
    return tally


def _run(words: list[str]) -> tuple[int | None, str]:
    """Run a command here; gives its exit code, and what is wrong with how it went."""
    out, err = io.TextIOWrapper(io.BytesIO(), "utf-8"), io.TextIOWrapper(io.BytesIO(), "utf-8")
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = main(words)
            out.flush()
            err.flush()
    except BaseException:
        return None, traceback.format_exc()
    texts = [one.buffer.getvalue().decode() for one in (out, err)]
    return code, _said_badly(code, *texts)


def _said_badly(code: int, out: str, err: str) -> str:
    """What is wrong with an answer."""
    if code not in CODES:
        return f"exit code {code}"
    if not all(row.isprintable() for row in (out + err).split("\n")):
        return f"it holds what no terminal should be sent: {(out + err)!a:.300}"
    if "Traceback" in err:
        return err
    rows = err.split("\n")[:-1]
    # of a protocol that a session carries every mistake is told, each in a line of its own
    ended = all(row.endswith(".") or "(protocol)" in row for row in rows)
    if code == 2 and not (rows and err.startswith("stepper: ") and ended):
        return f"refused, and not in a sentence: {err!r:.300}"
    return "" if code != 0 or not err else f"all is well, and yet: {err!r:.300}"


def _anything(dice: random.Random, _: bytes) -> tuple[bytes, str]:
    pieces = [dice.choice(_PIECES) if dice.random() < 0.6 else dice.randbytes(dice.randrange(200)) for _ in range(6)]
    return b"".join(pieces[: dice.randrange(7)]), SID


def _spoilt(dice: random.Random, sample: bytes) -> tuple[bytes, str]:
    """A sample with pieces put in, doubled, taken out or written over at any place."""
    data = sample
    for _ in range(dice.randrange(1, 4)):
        start = dice.randrange(len(data) + 1) if dice.random() < 0.7 else len(data)
        end = min(len(data), start + dice.choice((0, 0, 1, 40, 2_000)))
        piece = dice.choice((dice.choice(_PIECES), data[start:end] * 2, b""))
        data = data[:start] + piece + data[end:]
    if dice.random() < 0.1:
        data = data.replace(b"\n", b"\r\n")
    return data, _sid(sample)


def _sid(sample: bytes) -> str:
    return str(json.loads(sample[: sample.index(b"\n")])["sid"])


def _sealed_anew(dice: random.Random, sample: bytes) -> tuple[bytes, str]:
    """A sample with odd values, with entries left out, doubled and swapped, numbered and sealed anew."""
    entries = [json.loads(row) for row in sample.split(b"\n")[:-1]][: dice.randrange(1, 60)]
    for _ in range(dice.randrange(1, 4)):
        _odd(dice, dice.choice(entries), depth=dice.randrange(3))
        if dice.random() < 0.3 and len(entries) > 1:
            at = dice.randrange(1, len(entries))
            act: Callable[[], object] = dice.choice(
                (lambda at=at: entries.pop(at), lambda at=at: entries.insert(at, dict(entries[at])))
            )
            act()
            dice.shuffle(entries) if dice.random() < 0.1 else None
    sid = _sid(sample)
    data, head = b"", genesis(sid)
    for number, entry in enumerate(entries):
        told = {name: value for name, value in entry.items() if name != "hash"}
        told["seq"] = number if dice.random() < 0.995 else told.get("seq")
        text = json.dumps(told, separators=(",", ":"), ensure_ascii=dice.random() < 0.1)
        line = seal(text.encode("utf-8", "surrogatepass"), head)
        head = line[-66:-2].decode()
        data += line + b"\n"
    return data, sid


def _odd(dice: random.Random, inside: dict[str, object], depth: int) -> None:
    """Put an odd value in, take a member out, or do so further in."""
    names = [name for name in inside if name not in ("hash", "v", "seq")]
    if not names:
        return
    name = dice.choice(names)
    value = inside[name]
    if isinstance(value, list) and value and isinstance(value[0], dict):
        value = dice.choice(value)
    if depth and isinstance(value, dict):
        _odd(dice, value, depth - 1)
    elif dice.random() < 0.2:
        del inside[name]
    elif isinstance(value, str) and dice.random() < 0.3:
        place = dice.randrange(len(value) + 1)
        inside[name] = value[:place] + str(dice.choice(_ODD))[:50] + value[place + dice.randrange(5) :]
    else:
        inside[dice.choice((name, name, "extra"))] = dice.choice(_ODD)


def large(trial: Trial) -> Tally:
    """Check the largest files there may be, and larger ones, in a process that gets little memory."""
    tally = Tally("largest files, in little memory")
    with scratch() as folder:
        begun = next(iter(sorted(SAMPLES.glob("*.jsonl")))).read_bytes()
        path = folder / f"{_sid(begun)}.jsonl"
        makers: dict[str, Callable[[], bytes]] = {
            "newlines": lambda: begun + b"\n" * (FILE_CAP - len(begun)),
            "brackets": lambda: begun + b"[" * (FILE_CAP - len(begun)),
            "one byte too many": lambda: begun + b"x" * (FILE_CAP - len(begun) + 1),
            "hashes": lambda: (begun + (b',"hash":"' + b"0" * 64 + b'"}') * (FILE_CAP // 75))[:FILE_CAP],
            "zeros": lambda: bytes(FILE_CAP),
            "a first line without end": lambda: (begun[:-2] + b"x" * FILE_CAP)[: FILE_CAP - 1] + b"\n",
        }
        for what in list(makers)[: trial.rounds]:
            path.write_bytes(makers[what]())
            tally.one(*_checked(path, what))
    return tally


def strange_paths(trial: Trial) -> Tally:
    """Check paths that are no files, and names that no terminal should be sent, in processes of their own."""
    tally = Tally("strange paths")
    with scratch() as folder:
        (folder / "folder.jsonl").mkdir()
        (folder / "loop.jsonl").symlink_to("loop.jsonl")
        names = [
            "none.jsonl",
            "folder.jsonl",
            "loop.jsonl",
            "a\x1b[2Jb.jsonl",
            "b\udcff.jsonl",
            "x" * 300 + ".jsonl",
            "",
        ]
        for name in names[: trial.rounds]:
            tally.one(*_checked(folder / name, name))
        tally.one(*_checked(Path("/dev/zero"), "/dev/zero"))
    return tally


def _checked(path: Path, what: str) -> tuple[str, str]:
    """Check a file in a process of its own: how it came out, and what is wrong with that."""

    def little_memory() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))

    command = [sys.executable, "-m", "stepper", "check", str(path)]
    try:
        done = subprocess.run(
            command, capture_output=True, cwd=TOP, check=False, timeout=_HANGS_S, preexec_fn=little_memory
        )
    except subprocess.TimeoutExpired:
        return "hangs", f"{what!a:.40}: it hangs"
    wrong = _said_badly(done.returncode, done.stdout.decode(), done.stderr.decode())
    if not wrong and done.returncode == 0:
        wrong = "all is well, it says"
    return f"exit code {done.returncode}", wrong and f"{what!a:.40}: {wrong}"
