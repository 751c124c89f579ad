"""What holds for the sources themselves: nothing unused, and every test says what it guarantees."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.support.unused import unused

TESTS = Path(__file__).parent


EXCEPTED = {
    # What a screen shows, as text: what tests of screens look at.
    "bench.screens.kit.canvas.Canvas.as_text",
}


def test_nothing_in_the_program_is_unused() -> None:
    """Functions, classes, constants, methods and properties are used by more than tests."""
    assert [name for name in unused() if name not in EXCEPTED] == []


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
    assert unused(tmp_path) == [
        "bench.tool.LIMIT",
        "bench.tool.alone",
        "bench.tool._below",
        "bench.tool.Kept.hidden",
    ]


@pytest.mark.parametrize(
    "path", sorted(TESTS.rglob("test_*.py")), ids=lambda path: str(path.relative_to(TESTS))
)
def test_every_test_says_what_it_guarantees(path: Path) -> None:
    """Each test begins with one whole sentence."""
    wrong = []
    at_top = ast.parse(path.read_text(encoding="utf-8")).body
    in_classes = [
        node for owner in at_top if isinstance(owner, ast.ClassDef) for node in owner.body
    ]
    for node in at_top + in_classes:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and node.name.startswith(
            "test_"
        ):
            first, _, _ = (ast.get_docstring(node) or "").partition("\n\n")
            if not first.endswith((".", ":")) or len(first.split()) < 3:
                wrong.append(f"{path.name}:{node.lineno} {node.name}")
    assert wrong == []
