"""What of the program nothing in the program uses: found by reading its sources.

Two questions. A function, class or constant at the top of a module is used if module-level code,
or something that is used, names it: directly, by `from module import name` or as `module.name`.
A method or property is used if its name is read as an attribute anywhere in the program, or if
it takes the place of one that a class from outside has (a handler of the framework's).
"""

from __future__ import annotations

import ast
import importlib
import inspect
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import bench

HOUSE = Path(bench.__file__).parent
Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef

# A definition's module and name; the name "" stands for what a module does when it is loaded.
Node = tuple[str, str]

# What the command line calls: the program itself, and of each command these by their names.
MAIN = ("bench.cli", "main")
OF_A_COMMAND = ("arguments", "answer", "sheet")


@dataclass
class _Module:
    """A module's definitions at its top, and the names that it knows by import."""

    name: str
    package: str
    tree: ast.Module
    nodes: list[ast.AST]
    """All of the tree's."""
    top: dict[str, ast.stmt] = field(default_factory=dict)
    known: dict[str, Node] = field(default_factory=dict)


def unused(house: Path = HOUSE) -> list[str]:
    """What the program never comes to at the top of its modules, then unread methods."""
    modules = list(_modules(house))
    return _unused_definitions(modules) + _unused_methods(modules)


def _unused_definitions(house: Sequence[_Module]) -> list[str]:
    """Functions, classes and constants at the top of modules that the program never comes to."""
    modules = {module.name: module for module in house}
    for module in modules.values():
        _learn_imports(module, modules)
    reached: set[Node] = set()
    open_ends: list[Node] = [MAIN, *((name, "") for name in modules)]
    open_ends += [
        (name, called)
        for name in modules
        for called in OF_A_COMMAND
        if name.startswith("bench.commands.")
    ]
    while open_ends:
        node = open_ends.pop()
        if node not in reached:
            reached.add(node)
            open_ends += _named_by(modules[node[0]], node[1], modules)
    return [
        f"{module.name}.{name}"
        for module in modules.values()
        for name in module.top
        if (module.name, name) not in reached
    ]


def _unused_methods(modules: Sequence[_Module]) -> list[str]:
    """Methods and properties whose name is read nowhere in the program."""
    read = {
        node.attr
        for module in modules
        for node in module.nodes
        if isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Load)
    }
    return [
        f"{module.name}.{owner.name}.{method.name}"
        for module in modules
        for owner in module.nodes
        if isinstance(owner, ast.ClassDef)
        for method in owner.body
        if isinstance(method, ast.FunctionDef | ast.AsyncFunctionDef)
        and method.name not in read
        and not _called_by_others(module.name, owner, method)
    ]


def _modules(house: Path) -> Iterator[_Module]:
    for path in sorted(house.rglob("*.py")):
        parts = ("bench", *path.relative_to(house).with_suffix("").parts)
        is_package = parts[-1] == "__init__"
        name = ".".join(parts[:-1] if is_package else parts)
        package = name if is_package else name.rpartition(".")[0]
        tree = ast.parse(path.read_text(encoding="utf-8"))
        top = {name: statement for statement in tree.body for name in _defines(statement)}
        yield _Module(name, package, tree, list(ast.walk(tree)), top)


def _defines(statement: ast.stmt) -> list[str]:
    """The names that a statement at the top of a module gives; none of the double-underscored."""
    names: list[str] = []
    if isinstance(statement, Definition):
        names = [statement.name]
    elif isinstance(statement, ast.Assign):
        names = [target.id for target in statement.targets if isinstance(target, ast.Name)]
    elif isinstance(statement, ast.AnnAssign) and isinstance(statement.target, ast.Name):
        names = [statement.target.id]
    return [name for name in names if not name.startswith("__")]


def _learn_imports(module: _Module, modules: dict[str, _Module]) -> None:
    """Note what each name that the module imports, anywhere in it, stands for."""
    for node in module.nodes:
        if not isinstance(node, ast.ImportFrom):
            continue
        source = node.module or ""
        if node.level:
            up = module.package.split(".")
            base = ".".join(up[: len(up) - node.level + 1])
            source = f"{base}.{source}" if source else base
        for alias in node.names:
            inner = f"{source}.{alias.name}"
            meant = (inner, "") if inner in modules else (source, alias.name)
            if meant[0] in modules:
                module.known[alias.asname or alias.name] = meant


def _named_by(module: _Module, name: str, modules: dict[str, _Module]) -> list[Node]:
    """What a definition names, or with the name "" what the module's other statements name."""
    if name and name not in module.top:
        return [module.known[name]] if name in module.known else []
    statements = [module.top[name]] if name else _loaded_statements(module)
    found: list[Node] = []
    for node in (node for statement in statements for node in ast.walk(statement)):
        if isinstance(node, ast.Name):
            found.append(_meant(module, node.id))
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            owner = _meant(module, node.value.id)
            if owner[0] in modules and not owner[1]:
                found.append((owner[0], node.attr))
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            # In quotes: a type that is imported late, or "module:name", which is looked up.
            place, _, given = node.value.partition(":")
            found.append((place, given) if given else _meant(module, node.value))
    return [node for node in found if node[0] in modules]


def _loaded_statements(module: _Module) -> list[ast.stmt]:
    return [s for s in module.tree.body if not _defines(s)]


def _meant(module: _Module, name: str) -> Node:
    if name in module.top:
        return module.name, name
    return module.known.get(name, ("", ""))


def _called_by_others(
    module: str, owner: ast.ClassDef, method: ast.FunctionDef | ast.AsyncFunctionDef
) -> bool:
    """Whether something outside the program calls a method: by its decorator, name or place."""
    if method.name.startswith("__") or any(_registers(d) for d in method.decorator_list):
        return True
    # The framework comes to these by the names of its keys, messages and attributes.
    if method.name.startswith(
        ("action_", "on_", "_on_", "key_", "watch_", "validate_", "compute_")
    ):
        return True
    if not owner.bases:
        return False
    kind = getattr(importlib.import_module(module), owner.name, None)
    return inspect.isclass(kind) and any(
        hasattr(base, method.name)
        for base in kind.__mro__
        if not base.__module__.startswith("bench")
    )


def _registers(decorator: ast.expr) -> bool:
    plain = {"property", "classmethod", "staticmethod", "cached_property"}
    return ast.unparse(decorator) not in plain
