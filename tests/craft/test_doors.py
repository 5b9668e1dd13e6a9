"""What importing the craft loads, and that the doors hand on everything they promise."""

from __future__ import annotations

import ast
import importlib
import pkgutil
import subprocess
import sys
from pathlib import Path

import studio.craft

MODULES = sorted(info.name for info in pkgutil.iter_modules(studio.craft.__path__))
CHILD = """
import sys
before = set(sys.modules)
import studio.craft
print(sorted(m for m in set(sys.modules) - before if not m.startswith(("studio",))))
print(sorted(m for m in sys.modules if m.startswith("studio.")))
for name in {modules!r}:
    __import__("studio.craft." + name)
print(sorted(m for m in sys.modules if m.split(".")[0] in
      ("textual", "rich", "pint", "numpy", "click", "tempfile", "json", "tomllib")))
print(sorted(m for m in sys.modules if m.startswith("studio.") and not m.startswith("studio.craft")))
"""


def test_importing_the_package_loads_nothing_else():
    run = subprocess.run(
        [sys.executable, "-c", CHILD.format(modules=MODULES)], capture_output=True, text=True, check=True
    )
    own, studio_modules, forbidden, other_layers = run.stdout.splitlines()
    assert own == "[]"
    assert studio_modules == "['studio.craft']"
    assert forbidden == "[]"
    assert other_layers == "[]"


def test_doors_hold_what_they_name():
    for name in MODULES:
        module = importlib.import_module(f"studio.craft.{name}")
        for promised in getattr(module, "__all__", ()):
            assert hasattr(module, promised), (name, promised)


def test_every_public_function_names_its_source():
    for name in MODULES:
        module = importlib.import_module(f"studio.craft.{name}")
        for thing_name, thing in vars(module).items():
            owned = getattr(thing, "__module__", None) == module.__name__ and callable(thing)
            if owned and not thing_name.startswith("_") and thing_name != "Root":
                text = thing.__doc__ or ""
                assert "**Source:**" in text, (name, thing_name)
                assert ">>>" in text or isinstance(thing, type), (name, thing_name)


def test_the_range_of_a_parameter_is_declared_once():
    """What two formulas check alike, by name, limits and unit, is a `Range` that both call."""
    seen: dict[tuple[str, ...], list[str]] = {}
    for path in Path(studio.craft.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("within", "above"):
                what, _, *limits = map(ast.unparse, node.args)
                seen.setdefault((what, *limits), []).append(f"{path.name}:{node.lineno}")
    assert len(seen) > 50
    assert [where for where in seen.values() if len(where) > 1] == []
