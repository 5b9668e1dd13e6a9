"""What the forecast loads, and that every public thing of it names its source."""

from __future__ import annotations

import importlib
import pkgutil
import subprocess
import sys

import pytest

import studio.craft.stripe as stripe

MODULES = sorted(info.name for info in pkgutil.iter_modules(stripe.__path__))
PLAIN = ("blank", "skein")
"""Modules a screen or a command may load before anything is worked out."""


def test_the_page_lists_every_module():
    assert all(f"| `{name}` |" in (stripe.__doc__ or "") for name in MODULES)


@pytest.mark.parametrize("names", [(), PLAIN])
def test_plain_modules_load_no_numpy(names):
    code = "import sys\nimport studio.craft.stripe\n"
    code += "".join(f"import studio.craft.stripe.{name}\n" for name in names)
    code += "print('numpy' in sys.modules, any(m.startswith('studio.') and not m.startswith('studio.craft')"
    code += " for m in sys.modules))"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["False", "False"]


@pytest.mark.parametrize("name", MODULES)
def test_every_public_thing_names_its_source(name):
    module = importlib.import_module(f"studio.craft.stripe.{name}")
    found = 0
    for thing_name, thing in vars(module).items():
        owned = callable(thing) and getattr(thing, "__module__", None) == module.__name__
        if owned and not thing_name.startswith("_"):
            text = thing.__doc__ or ""
            assert "**Source:**" in text, (name, thing_name)
            assert ">>>" in text or isinstance(thing, type), (name, thing_name)
            found += 1
    assert found
