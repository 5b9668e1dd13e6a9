"""The sample sessions are what the program of today would write: made anew they are the same bytes."""

from __future__ import annotations

import importlib.util
import shutil
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


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
        lines = zip(old.read_bytes().splitlines(), new.read_bytes().splitlines(), strict=True)
        for n, (was, now) in enumerate(lines, start=1):
            assert was == now, f"{old.name}, event {n}: python tests/samples/make_sessions.py"
