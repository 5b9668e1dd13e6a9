"""The store loads nothing slow."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

CODE = """
import sys, pkgutil, importlib, studio.store
for found in pkgutil.iter_modules(studio.store.__path__):
    importlib.import_module(f"studio.store.{found.name}")
slow = {"rich", "textual", "pint", "numpy", "click", "platformdirs", "subprocess"}
print(sorted(slow & {name.split(".")[0] for name in sys.modules}))
"""


def test_the_whole_store_loads_no_screen_and_no_units():
    root = Path(__file__).resolve().parents[2]
    env = {**os.environ, "PYTHONPATH": str(root)}
    done = subprocess.run([sys.executable, "-c", CODE], capture_output=True, text=True, env=env, check=False)
    assert (done.stdout, done.stderr) == ("[]\n", "")
