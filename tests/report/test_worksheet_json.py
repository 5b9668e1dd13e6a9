"""The JSON contract of a worksheet."""

from __future__ import annotations

import json
from pathlib import Path

import msgspec
import pytest

from studio.plan.reading import read_plan
from studio.plan.shapes import Caution, Worksheet
from studio.plan.sheet import work_out
from studio.plan.toml import read_text
from studio.report.worksheet import worksheet_json
from studio.shelf.reading import load_shelf

ROOT = Path(__file__).resolve().parents[2]
PLANS = sorted((ROOT / "shared" / "plans").glob("*.plan.toml"))


def worked(path: Path) -> Worksheet:
    shelf = load_shelf(ROOT / "shared")
    return work_out(read_plan(read_text(path), name=path.name, drops_per_ml=shelf.studio.drops_per_ml), shelf)


@pytest.mark.parametrize("path", PLANS, ids=lambda p: p.name)
def test_contract(path: Path) -> None:
    text = worksheet_json(worked(path))
    data = json.loads(text)
    assert text.isascii() and text.endswith("}\n")
    assert data["format"] == "potside-worksheet/1"
    assert {"title", "figures", "cautions", "procedure"} <= data.keys()
    for figure in data["figures"]:
        assert {"id", "value", "unit", "label", "because", "origin", "source"} <= figure.keys()
        assert figure["unit"] in ("g", "mL", "min", "degC", "%", "1", "cm", "m", "mL/min", "W", "Wh", "pH")
        assert isinstance(figure["value"], float)
    for caution in data["cautions"]:
        assert {"id", "level", "text", "source"} <= caution.keys()
        assert caution["level"] in ("stop", "warn", "note")
    for stage in data["procedure"]:
        assert {"stage", "steps"} <= stage.keys()
        assert all({"id", "kind", "text"} <= step.keys() for step in stage["steps"])


@pytest.mark.parametrize("path", PLANS, ids=lambda p: p.name)
def test_read_back_is_equal(path: Path) -> None:
    worksheet = worked(path)
    assert msgspec.json.decode(worksheet_json(worksheet), type=Worksheet) == worksheet


def test_the_figures_the_design_names_are_there() -> None:
    ids = {f.id for f in worked(ROOT / "shared" / "plans" / "tidewrack-stripes.plan.toml").figures}
    assert ids >= {
        "fibre.dyeable",
        "presoak.water",
        "presoak.acid",
        "presoak.ph",
        "presoak.time",
        "stock.rust.dye",
        "stock.rust.volume",
        "paint.capacity",
        "paint.rust.fibre",
        "paint.rust.liquid",
        "paint.rust.stock",
        "paint.rust.water",
        "set.boiling_point",
        "set.heat_through",
        "set.hold",
        "set.boil_off",
        "set.pot_water",
        "cool.time",
        "rinse.temperature",
        "cost.total",
    }


def test_foreign_letters_are_escaped_not_lost() -> None:
    caution = Caution(id="a", level="note", text="\x1b[2J\u202e\u2028", source="s")
    text = worksheet_json(Worksheet(title="K\u00e4rn", figures=(), cautions=(caution,), procedure=()))
    assert text.isascii() and "\x1b" not in text
    assert json.loads(text)["cautions"][0]["text"] == "\x1b[2J\u202e\u2028"
