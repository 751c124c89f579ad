"""What holds for the sources themselves: nothing unused, and every test says what it guarantees."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.support.unused import unused_definitions, unused_methods

TESTS = Path(__file__).parent


EXCEPTED = {
    # What a screen shows, as text: what tests of screens look at.
    "bench.screens.kit.canvas.Canvas.as_text",
}


def left(names: list[str]) -> list[str]:
    """What of these is not excepted."""
    return [n for n in names if n not in EXCEPTED]


def test_nothing_in_the_program_is_unused() -> None:
    """Every function, class and constant is used by the program itself, not by tests alone."""
    assert left(unused_definitions()) == []


def test_no_method_in_the_program_is_unused() -> None:
    """Every method and property is read somewhere in the program, not by tests alone."""
    assert left(unused_methods()) == []


def test_what_nothing_uses_is_found(tmp_path: Path) -> None:
    """In a small house: what only itself uses is found; late, relative and quoted uses count."""
    sources = {
        "__init__": "",
        "cli": "from . import tool\ndef main():\n    tool.used()\n",
        "tool": """
LIMIT = 3
def used():
    from bench.other import late
    return late(Kept().shown)
def alone():
    return alone() or _below()
def _below(): ...
class Kept:
    later: "Quoted"
    @property
    def shown(self): ...
    def hidden(self): ...
class Quoted: ...
""",
        "other": "def late(x):\n    return x\n",
    }
    for name, text in sources.items():
        (tmp_path / f"{name}.py").write_text(text, encoding="utf-8")
    assert unused_definitions(tmp_path) == [
        "bench.tool.LIMIT",
        "bench.tool.alone",
        "bench.tool._below",
    ]
    assert unused_methods(tmp_path) == ["bench.tool.Kept.hidden"]


@pytest.mark.parametrize(
    "path", sorted(TESTS.rglob("test_*.py")), ids=lambda path: str(path.relative_to(TESTS))
)
def test_every_test_says_what_it_guarantees(path: Path) -> None:
    """Each test begins with one whole sentence."""
    wrong = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and node.name.startswith(
            "test_"
        ):
            first, _, _ = (ast.get_docstring(node) or "").partition("\n\n")
            if not first.endswith((".", ":")) or len(first.split()) < 3:
                wrong.append(f"{path.name}:{node.lineno} {node.name}")
    assert wrong == []
