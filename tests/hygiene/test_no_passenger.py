"""Nothing rides along: every module, function, class, constant and method of the program is called by the program.

Tests do not count as callers. What a framework calls by its name does, and what a decorator hands on.
"""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest

from studio.words.table import ACTIONS

STUDIO = Path(__file__).parents[2] / "studio"
OVERRIDES = ("on_", "_on_", "action_", "watch_", "validate_", "compute_", "render", "get_", "check_", "_get_")
"""How the methods begin that Textual and click call by their names."""
HOOKS = frozenset(
    {"compose", "_shutdown", "main", "invoke", "make_context", "resolve_command", "emit", "format_field"}
)
"""What Textual, click, logging and the formatter of sentences call."""
ENTRY_MODULES = frozenset({"studio.__main__", "studio.cli", "studio"})
Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef | ast.Assign | ast.AnnAssign


class Module:
    """A module read once: its definitions, what it imports, and every name it uses, with the line."""

    def __init__(self, path: Path) -> None:
        parts = path.relative_to(STUDIO.parent).with_suffix("").parts
        self.is_package = parts[-1] == "__init__"
        self.name = ".".join(parts[:-1] if self.is_package else parts)
        self.tree = ast.parse(path.read_text())
        self.imports: dict[str, tuple[str, str]] = {}
        self.uses: dict[str, list[int]] = defaultdict(list)
        self.attributes: list[tuple[str, str, int]] = []
        self.words: set[str] = set()
        for node in ast.walk(self.tree):
            self._look(node)

    def _look(self, node: ast.AST) -> None:
        if isinstance(node, ast.ImportFrom) and node.module and not node.level:
            for alias in node.names:
                self.imports[alias.asname or alias.name] = (node.module, alias.name)
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
            self.uses[node.id].append(node.lineno)
        elif isinstance(node, ast.Attribute):
            base = node.value.id if isinstance(node.value, ast.Name) else ""
            self.attributes.append((base, node.attr, node.lineno))
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.isidentifier():
            self.words.add(node.value)
        for quoted in (getattr(node, "annotation", None), getattr(node, "returns", None)):
            if isinstance(quoted, ast.Constant) and isinstance(quoted.value, str):
                self.uses[quoted.value].append(node.lineno)  # type: ignore[attr-defined]


def _names(node: ast.stmt) -> list[str]:
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
        return [node.name]
    if isinstance(node, ast.Assign):
        return [target.id for target in node.targets if isinstance(target, ast.Name)]
    if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
        return [node.target.id]
    return []


def _within(node: ast.stmt, line: int) -> bool:
    return node.lineno <= line <= (node.end_lineno or node.lineno)


def _read() -> dict[str, Module]:
    return {module.name: module for module in map(Module, sorted(STUDIO.rglob("*.py")))}


def _origin(modules: dict[str, Module], module: str, name: str) -> tuple[str, str]:
    """Where a name comes from, through packages that hand it on."""
    seen = set()
    while (module, name) not in seen and module in modules and name in modules[module].imports:
        if f"{module}.{name}" in modules:
            break
        seen.add((module, name))
        module, name = modules[module].imports[name]
    return module, name


def _called(modules: dict[str, Module]) -> set[tuple[str, str]]:
    """Names by the module that defines them, which another module uses; a facade that hands one on uses none."""
    found = set()
    for module in modules.values():
        bases = {base for base, _, _ in module.attributes}
        for local, (source, name) in module.imports.items():
            if local in module.uses:
                found.add(_origin(modules, source, name))
            if local in bases and f"{source}.{name}" in modules:
                inner = f"{source}.{name}"
                found |= {
                    _origin(modules, inner, attr) for base, attr, _ in module.attributes if base == local
                }
    return found


def _registered(node: ast.stmt) -> bool:
    """A decorator hands it to whoever calls it: `@on(...)`, `@main.command()`; those of Python itself do not."""
    kept = {
        "property",
        "staticmethod",
        "classmethod",
        "cached_property",
        "contextmanager",
        "cache",
        "dataclass",
    }
    bare = [getattr(d, "func", d) for d in getattr(node, "decorator_list", ())]
    return any(getattr(d, "id", getattr(d, "attr", "")) not in kept | {"lru_cache", "setter"} for d in bare)


def _idle_names(modules: dict[str, Module]) -> Iterator[str]:
    called = _called(modules)
    for module in modules.values():
        for node in module.tree.body:
            for name in _names(node):
                at_home = any(not _within(node, line) for line in module.uses.get(name, ()))
                if at_home or (module.name, name) in called or name.startswith("__"):
                    continue
                if module.name in ENTRY_MODULES or name in HOOKS or _registered(node):
                    continue
                yield f"{module.name}.{name}"


def _idle_methods(modules: dict[str, Module]) -> Iterator[str]:
    every = [(attr, module.name, line) for module in modules.values() for _, attr, line in module.attributes]
    words = {row.when for row in ACTIONS}.union(*(module.words for module in modules.values()))
    where: dict[str, list[tuple[str, int]]] = {}
    for attr, name, line in every:
        where.setdefault(attr, []).append((name, line))
    for module in modules.values():
        for owner in (node for node in ast.walk(module.tree) if isinstance(node, ast.ClassDef)):
            for node in owner.body:
                if not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                    continue
                name = node.name
                if name.startswith(OVERRIDES) or name in HOOKS or name.startswith("__") or name in words:
                    continue
                if _registered(node):
                    continue
                if any(m != module.name or not _within(node, line) for m, line in where.get(name, ())):
                    continue
                yield f"{module.name}.{owner.name}.{name}"


def _idle_modules(modules: dict[str, Module]) -> Iterator[str]:
    wanted = set(ENTRY_MODULES)
    for module in modules.values():
        for source, name in module.imports.values():
            wanted |= {source, f"{source}.{name}"}
        for node in ast.walk(module.tree):
            if isinstance(node, ast.Import):
                wanted |= {alias.name for alias in node.names}
    for module in modules.values():
        if module.name not in wanted and not module.is_package:
            yield module.name


@pytest.mark.deep
def test_nothing_rides_along() -> None:
    modules = _read()
    idle = [*_idle_modules(modules), *_idle_names(modules), *_idle_methods(modules)]
    assert not idle, "called by nothing in studio:\n  " + "\n  ".join(sorted(idle))
