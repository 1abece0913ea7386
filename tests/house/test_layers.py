"""The house: what may be imported where, how long a module and a function may be, and that no step is in the code."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import pytest

import stepper
from stepper.case.gate import CLAUSES
from stepper.facts.entries import AnyEntry
from stepper.kinds.tables import AnyItem
from stepper.kinds.union import AnyQuestion, AnyRule
from stepper.protocol.models import Wording
from stepper.protocol.roles import ROLES
from tests.cases import protocol

ROOT = Path(stepper.__file__).parent
BELOW = ("sums", "facts", "lines", "kinds", "protocol", "record", "case", "note", "session")
SOURCES = sorted(ROOT.rglob("*.py"))
NAMES = [str(path.relative_to(ROOT)) for path in SOURCES]

MOST_LINES, MOST_LINES_OF_A_FUNCTION = 300, 40
LONGER = {"note/words.py": {"say"}}
"""Longer for a reason: `say` is one flat arm for each kind of entry, and nothing else."""


def modules(package: str) -> list[str]:
    files = sorted((ROOT / package).rglob("*.py"))
    return [".".join(("stepper", *path.relative_to(ROOT).with_suffix("").parts)) for path in files]


def loaded_with(package: str) -> set[str]:
    """Import every module of a package in an interpreter of its own and give what that brought in."""
    names = [name.removesuffix(".__init__") for name in modules(package)]
    code = f"import importlib, sys\nfor name in {names!r}: importlib.import_module(name)\nprint(*sorted(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True, cwd=ROOT.parent)
    return set(done.stdout.split())


@pytest.mark.parametrize("package", BELOW)
def test_below_the_screens_nobody_knows_the_screen(package: str):
    loaded = loaded_with(package)
    assert f"stepper.{package}" in loaded
    assert not {name for name in loaded if name.partition(".")[0] in ("textual", "rich")}
    assert not {name for name in loaded if name.startswith(("stepper.screens", "stepper.cli"))}


def test_the_sums_stand_alone():
    loaded = loaded_with("sums")
    assert not {name for name in loaded if name.partition(".")[0] in ("pydantic", "pydantic_core", "tomli_w")}
    assert {name for name in loaded if name.startswith("stepper.")} == {
        name.removesuffix(".__init__") for name in modules("sums")
    }


def test_the_screens_are_the_ones_that_know_textual():
    """The check above can fail: the same look at the screens finds it."""
    assert "textual" in loaded_with("screens")


@pytest.mark.parametrize("path", SOURCES, ids=NAMES)
def test_a_package_brings_nothing_in_by_itself(path: Path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    if path.name != "__init__.py":
        assert ast.get_docstring(tree)
        return
    rest = [node for node in tree.body if not isinstance(node, ast.Expr)]
    version = ["__version__"] if path.parent == ROOT else []
    assert [ast.unparse(node).partition(" = ")[0] for node in rest] == version
    assert ast.get_docstring(tree)


@pytest.mark.parametrize("path", SOURCES, ids=NAMES)
def test_modules_and_functions_are_short(path: Path):
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= MOST_LINES
    long = {
        node.name
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and node.end_lineno is not None
        and node.end_lineno - node.lineno + 1 > MOST_LINES_OF_A_FUNCTION
    }
    assert long == LONGER.get(path.relative_to(ROOT).as_posix(), set())


def strings(path: Path) -> Iterator[tuple[int, str]]:
    """Give the string literals of a module that are no docstrings, whole and as the parts of f-strings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            yield node.lineno, node.value


def tags(union: object) -> set[str]:
    """Give the words by which the members of a tagged union are told apart."""
    return {str(member.__struct_config__.tag) for member in get_args(union)}


def program_words() -> set[str]:
    """Give the words of the protocol's format and of the program itself: they are no names of a practice's own."""
    rules = get_args(AnyRule)
    words = set(ROLES) | {option for role in ROLES.values() for option in role.options} | set(CLAUSES)
    words |= tags(AnyQuestion) | tags(AnyRule) | tags(AnyItem) | tags(AnyEntry)
    words |= {name for rule in rules for name in (*rule.__struct_fields__, *rule.GAPS)}
    return words | set(re.findall(r"{(\w+)}", str(Wording.__doc__)))


KEYBOARD = {"control"}
"""A key of the keyboard and, by chance, a question of the bundled protocol."""

STEPS = {step.id for step in protocol().step}
QUESTIONS = {one.id for step in protocol().step for one in step.question}


@pytest.mark.parametrize("path", SOURCES, ids=NAMES)
def test_no_step_and_no_question_is_named_in_python(path: Path):
    """Evidence is found by roles: what only the bundled protocol calls so is written nowhere."""
    own = (STEPS | QUESTIONS) - program_words() - KEYBOARD
    assert {"time_out", "set_up", "coronal_seal", "tooth_on_image", "working_length"} - own == {"working_length"}
    dotted = {f"{step.id}.{one.id}" for step in protocol().step for one in step.question}
    assert [(line, text) for line, text in strings(path) if text in own | dotted] == []


LOOKS_UP = {"rows_of", "fact", "chosen", "asked", "begun", "of_tooth", "number_of", "reopened_by", "own_place"}
HOLDS = {"step", "question", "by_step", "steps", "questions"}


def named(node: ast.AST) -> str:
    return node.attr if isinstance(node, ast.Attribute) else node.id if isinstance(node, ast.Name) else ""


def used_as_a_step(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Give the ids that are looked up or compared as a step's or a question's, whatever else the word may mean."""
    for node in ast.walk(tree):
        near: list[ast.AST] = []
        if isinstance(node, ast.Call) and named(node.func) in LOOKS_UP:
            near = [*node.args, *(one.value for one in node.keywords)]
        elif isinstance(node, ast.Subscript) and named(node.value) in HOLDS:
            near = [node.slice]
        elif isinstance(node, ast.Compare):
            sides = [node.left, *node.comparators]
            if any(named(side) in HOLDS or ast.unparse(side).endswith((".step.id", "question.id")) for side in sides):
                near = sides
        for one in near:
            for leaf in ast.walk(one):
                if isinstance(leaf, ast.Constant) and leaf.value in STEPS | QUESTIONS:
                    yield node.lineno, str(leaf.value)


@pytest.mark.parametrize("path", SOURCES, ids=NAMES)
def test_nothing_about_a_particular_step_is_decided_in_python(path: Path):
    assert list(used_as_a_step(ast.parse(path.read_text(encoding="utf-8")))) == []


@pytest.mark.parametrize(
    "code",
    [
        'if step == "length": pass',
        'view.rows_of("drying", 1)',
        'protocol.by_step["access"]',
        'if here.step.id in ("cone_fit", "sealing"): pass',
        'view.fact(question="closing")',
    ],
)
def test_it_would_be_found(code: str):
    assert list(used_as_a_step(ast.parse(code)))


def test_nothing_heavy_is_loaded_before_the_first_paint(tmp_path: Path):
    """The command goes as far as its first paint in an interpreter of its own, and tells what is loaded by then."""
    code = (
        "import sys\n"
        "from stepper.cli.main import main\n"
        "from stepper.screens import app, run\n"
        "def painted(desk, *_):\n"
        "    desk.view(), desk.clocks()\n"
        "    print(*sorted(sys.modules))\n"
        "    return 0\n"
        "run.run = painted\n"
        f"main(['chair', '--dir', {str(tmp_path)!r}])"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True, cwd=ROOT.parent)
    loaded = {name.partition(".")[0] for name in done.stdout.split()}
    assert {"textual", "stepper"} <= loaded
    assert not loaded & {"pydantic", "pydantic_core", "msgspec", "biip", "tomli_w", "pyrage", "cryptography"}


def test_what_tells_mistakes_of_a_file_is_not_loaded_where_there_are_none(tmp_path: Path):
    """A visit is keyed from the first line to the note in an interpreter of its own: pydantic takes 15 MB."""
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "import stepper.note.compose\n"
        "from tests.drive import Chair, script\n"
        f"at = Chair(Path({str(tmp_path)!r}))\n"
        f"at.key(*script(Path({str(ROOT.parent / 'tests' / 'scripts' / 'wrong_cone.keys')!r})))\n"
        "assert at.case.closed\n"
        "print(*sorted(sys.modules))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True, cwd=ROOT.parent)
    loaded = {name.partition(".")[0] for name in done.stdout.split()}
    assert "msgspec" in loaded
    assert not loaded & {"pydantic", "pydantic_core"}
