"""The kernel's own account of the order: written, synced, only then shown."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

CALL = re.compile(r"^(?:\d+ +)?(write|fsync)\((\d+)<([^>]*)>")


@pytest.mark.deep
def test_each_number_is_shown_after_write_and_sync(tmp_path):
    if shutil.which("strace") is None:
        pytest.skip("strace is not installed; it is what shows the order of the calls")
    log, out = tmp_path / "calls.txt", tmp_path / "out"
    out.mkdir()
    here = Path(__file__).resolve()
    command = ["strace", "-f", "-qq", "-y", "-e", "trace=write,fsync", "-o", str(log)]
    command += ["timeout", "-s", "KILL", "3", sys.executable, str(here.with_name("children.py")), "append"]
    env = {**os.environ, "PYTHONPATH": str(here.parents[2]), "PYTHONDONTWRITEBYTECODE": "1"}
    subprocess.run(
        [*command, str(out)], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env=env, check=False
    )
    calls = []
    for found in filter(None, map(CALL.match, log.read_text(errors="replace").splitlines())):
        place = "file" if found[3].endswith(".jsonl") else "folder" if found[3] == str(out) else ""
        calls.append((found[1], place or ("shown" if found[2] == "1" else "other place")))
    if not calls:
        pytest.skip("strace may not trace here")
    assert calls[:3] == [("write", "file"), ("fsync", "file"), ("fsync", "folder")]
    # One number may leave in several writes; what counts is that none comes before its sync.
    rounds = [call for call, before in zip(calls[3:], calls[2:], strict=False) if call != before]
    whole = len(rounds) // 3 * 3
    assert whole >= 30
    assert rounds[:whole] == [("write", "file"), ("fsync", "file"), ("write", "shown")] * (whole // 3)
