"""The hues of a plan are kept between two starts: the library of colours is not loaded for what was seen before."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest

import studio.services  # noqa: F401 - announces the ways of dyeing
from studio.plan import preview
from studio.plan.reading import read_plan
from studio.plan.settled import Settled, settle
from studio.plan.shelf import Looks
from studio.shelf.reading import load_shelf

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def cache(tmp_path: Path, monkeypatch) -> Path:
    """A cache folder of its own, from which nothing was read yet."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    preview._kept_hues.cache_clear()
    yield tmp_path
    preview._kept_hues.cache_clear()


def choices() -> Settled:
    path = ROOT / "shared" / "plans" / "tidewrack-stripes.plan.toml"
    return settle(read_plan(path.read_text(encoding="utf-8"), name=path.name), load_shelf(ROOT / "shared"))


def worked(settled: Settled) -> dict[str, str]:
    return {name: look.hex for name, look in preview.looks_of(settled).items() if name}


ASKED = """
import sys, pathlib, studio.services
from studio.plan.preview import hues_of
from studio.plan.reading import read_plan
from studio.plan.settled import settle
from studio.shelf.reading import load_shelf
root = pathlib.Path(sys.argv[1])
path = root / "shared" / "plans" / "tidewrack-stripes.plan.toml"
told = hues_of(settle(read_plan(path.read_text(encoding="utf-8"), name=path.name), load_shelf(root / "shared")))
print("coloraide" in sys.modules, sorted(told.items()))
"""


def test_a_second_start_has_the_same_hues_without_the_library(cache: Path) -> None:
    first, second = (
        subprocess.run(
            [sys.executable, "-c", ASKED, str(ROOT)], cwd=ROOT, capture_output=True, text=True, check=True
        ).stdout
        for _ in range(2)
    )
    assert first.startswith("True") and second == first.replace("True", "False", 1)


def test_another_look_of_a_dye_is_another_hue(cache: Path) -> None:
    settled = choices()
    preview.hues_of(settled)
    colour = settled.colours[0]
    dye = msgspec.structs.replace(
        colour.stocks[0].dye, looks=Looks(given="#20a040", hex="#20a040", depth_percent=1.0)
    )
    stock = msgspec.structs.replace(colour.stocks[0], dye=dye)
    other = msgspec.structs.replace(
        settled, colours=(msgspec.structs.replace(colour, stocks=(stock,)), *settled.colours[1:])
    )
    assert preview.hues_of(other) == worked(other) != worked(settled)
    assert preview.hues_of(settled) == worked(settled)


@pytest.mark.parametrize("left", [b"", b"{", b"[]", b'{"a": {"rust": "[red]"}}', b'{"a": 1}', b"\xff"])
def test_a_cache_that_is_none_is_made_anew(cache: Path, left: bytes) -> None:
    file = cache / "potside" / "hues.json"
    file.parent.mkdir()
    file.write_bytes(left)
    assert preview.hues_of(choices()) == worked(choices())
    assert list(json.loads(file.read_bytes()).values()) == [worked(choices())]


def test_where_the_cache_cannot_be_written_hues_are_worked_out(cache: Path) -> None:
    (cache / "potside").write_text("a file where the folder should be")
    assert preview.hues_of(choices()) == worked(choices())


def test_the_cache_keeps_the_newest(cache: Path, monkeypatch) -> None:
    monkeypatch.setattr(preview, "MOST_KEPT", 2)
    plans = [
        msgspec.structs.replace(choices(), plan=msgspec.structs.replace(choices().plan, title=t))
        for t in "abc"
    ]
    for settled in plans:
        preview.hues_of(settled)
    kept = json.loads((cache / "potside" / "hues.json").read_bytes())
    preview._kept_hues.cache_clear()
    assert len(kept) == 2 and preview._kept_hues() == kept
    preview.hues_of(plans[-1])
    assert json.loads((cache / "potside" / "hues.json").read_bytes()) == kept
