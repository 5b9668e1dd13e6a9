"""The sample sessions are what the program of today would write: made anew they are the same but for who wrote them."""

from __future__ import annotations

import importlib.util
import json
import shutil
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
OF_THE_MACHINE = {"pid", "host", "program", "utc_offset_min", "sha256"}


def told(path: Path) -> list[dict[str, Any]]:
    """Every event without what depends on the machine, and without check sums, which follow from it."""
    lines = [json.loads(line) for line in path.read_text("ascii").splitlines()]
    for line in lines:
        line.pop("crc"), line.pop("prev")
        line["data"] = {key: value for key, value in line["data"].items() if key not in OF_THE_MACHINE}
    return lines


@pytest.mark.deep
def test_the_samples_are_what_would_be_written_today(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    (tmp_path / "sessions").mkdir()
    spec = importlib.util.spec_from_file_location(
        "make_sessions", Path(__file__).with_name("make_sessions.py")
    )
    assert spec is not None and spec.loader is not None
    make = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(make)
    monkeypatch.setattr(make, "ROOT", tmp_path)
    make.main()
    kept = sorted((ROOT / "sessions").glob("*.jsonl"))
    made = sorted((tmp_path / "sessions").glob("*.jsonl"))
    assert [path.stem[:-5] for path in made] == [path.stem[:-5] for path in kept]
    for old, new in zip(kept, made, strict=True):
        for was, now in zip(told(old), told(new), strict=True):
            assert was == now, f"{old.name}, event {was['n']}: python tests/samples/make_sessions.py"
