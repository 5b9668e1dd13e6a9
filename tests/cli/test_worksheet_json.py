"""`potside worksheet --json`: the contract other programs read (design, section 6), held for three plans."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from click.testing import CliRunner

from studio.cli import main

PLANS = Path(__file__).resolve().parents[2] / "shared" / "plans"
ORIGINS = {"published", "common practice", "from memory", "house rule", "estimate", "yours", "plan"}
UNITS = {"g", "mL", "min", "degC", "%", "1", "mL/min", "pH"}
STAGES = ["ready", "presoak", "stocks", "paint", "steam", "cool", "rinse", "record"]
KINDS = {"do", "check", "measure", "wait", "gate"}

ALWAYS = {
    "fibre.dyeable",
    "presoak.water",
    "presoak.acid",
    "presoak.ph",
    "presoak.time",
    "paint.capacity",
    "set.boiling_point",
    "set.heat_through",
    "set.hold",
    "set.boil_off",
    "set.pot_water",
    "cool.time",
    "rinse.temperature",
}
OF_A_COLOUR = {"paint.{}.fibre", "paint.{}.liquid", "paint.{}.stock", "paint.{}.water"}
OF_A_STOCK = {"stock.{}.dye", "stock.{}.volume"}
COLOURS = {
    # plan: (colours, those of a known strength, whether all prices are known)
    "tidewrack-stripes": (("rust", "deep-water"), ("rust", "deep-water"), True),
    "lantern-floats": (("float", "lamp", "weed"), (), False),
    "kelp-forest": (("kelp", "gorse", "wet-slate"), ("kelp.gorse", "kelp.deep-water", "wet-slate"), True),
}
BASE_UNITS = {".dye": "g", ".fibre": "g", ".liquid": "mL", ".stock": "mL", ".volume": "mL", ".water": "mL"}
OTHER_UNITS = {"set.hold": "min", "set.heat_through": "min", "presoak.time": "min", "cool.time": "min"} | {
    "fibre.dyeable": "%",
    "set.boiling_point": "degC",
    "rinse.temperature": "degC",
    "set.pot_water": "mL",
}


@pytest.fixture
def sheet_of_plan(studio):
    """`potside worksheet` on one of the sample plans, in this process; what it printed."""

    def run(name: str, *options: str, **environment: str) -> str:
        argv = ["--studio", str(studio), "worksheet", str(PLANS / f"{name}.plan.toml"), *options]
        done = CliRunner(env=environment).invoke(main, argv)
        assert (done.exit_code, done.stderr) == (0, "")
        return done.stdout

    return run


@pytest.fixture(params=COLOURS)
def printed(request, sheet_of_plan):
    """Name of the plan, and the document."""
    text = sheet_of_plan(request.param, "--json")
    assert text.isascii()
    return request.param, json.loads(text, parse_constant=lambda word: pytest.fail(word))


@pytest.mark.parametrize("name", COLOURS)
def test_the_document(sheet_of_plan, name):
    text = sheet_of_plan(name, "--json")
    sheet = json.loads(text)
    assert sheet["format"] == "potside-worksheet/1"
    assert list(sheet)[:5] == ["format", "title", "figures", "cautions", "procedure"]
    assert sheet_of_plan(name, "--json") == text


def test_the_figures(printed):
    name, sheet = printed
    figures = {figure["id"]: figure for figure in sheet["figures"]}
    assert len(figures) == len(sheet["figures"])
    colours, stocks, priced = COLOURS[name]
    wanted = ALWAYS | {part.format(colour) for part in OF_A_COLOUR for colour in colours}
    wanted |= {part.format(colour) for part in OF_A_STOCK for colour in stocks}
    wanted |= {"cost.total"} if priced else set()
    assert wanted <= set(figures)
    for figure in sheet["figures"]:
        assert {"id", "value", "unit", "label", "because", "origin", "source"} <= set(figure)
        assert type(figure["value"]) in (int, float) and math.isfinite(figure["value"])
        assert figure["unit"] in UNITS and figure["origin"] in ORIGINS
        assert figure["label"] and figure["because"] and figure["source"], figure["id"]
    for figure_id in wanted:
        unit = next((u for end, u in BASE_UNITS.items() if figure_id.endswith(end)), None)
        unit = OTHER_UNITS.get(figure_id, unit)
        assert unit is None or figures[figure_id]["unit"] == unit, figure_id


def test_published_figures_cite_a_publication(printed):
    _, sheet = printed
    for figure in sheet["figures"]:
        marked = any(mark in figure["source"] for mark in ("no year", "neither year nor place"))
        if figure["origin"] == "published" and not marked:
            told = f"{figure['id']} has no year or page: {figure['source']}"
            assert any(letter.isdigit() for letter in figure["source"]), told


def test_paint_is_stock_and_water_and_fits(printed):
    """Paint = stock + water + acid + gum (1.5 g/mL); together they are what the fibre can hold, and the reserve."""
    name, sheet = printed
    value = {figure["id"]: figure["value"] for figure in sheet["figures"]}
    total = 0.0
    for colour in COLOURS[name][0]:
        liquid = value[f"paint.{colour}.liquid"]
        parts = (value.get(f"paint.{colour}.{part}", 0.0) for part in ("stock", "water", "acid"))
        gum_ml = value.get(f"paint.{colour}.thickener", 0.0) / 1.5
        assert sum(parts) + gum_ml == pytest.approx(liquid, rel=1e-6)
        assert liquid > 0 and value[f"paint.{colour}.fibre"] > 0
        total += liquid
    assert total <= value["paint.capacity"] * 1.2 + 1e-6


def test_cautions_and_procedure(printed):
    _, sheet = printed
    figures = {figure["id"] for figure in sheet["figures"]}
    cautions = {caution["id"] for caution in sheet["cautions"]}
    for caution in sheet["cautions"]:
        assert caution["level"] in ("stop", "warn", "note")
        assert caution["text"] and caution["source"]
    assert [stage["stage"] for stage in sheet["procedure"]] == STAGES
    seen: set[str] = set()
    for stage in sheet["procedure"]:
        for step in stage["steps"]:
            assert step["kind"] in KINDS and step["text"]
            assert step["id"] not in seen
            assert set(step.get("after", ())) <= seen, "a step waits for one that comes later"
            assert set(step.get("figures", ())) <= figures
            assert set(step.get("cautions", ())) <= cautions
            seen.add(step["id"])
    timers = {timer["id"] for timer in sheet["timers"]}
    assert {"presoak", "steam", "cool"} <= timers


def test_the_printed_one_shows_the_same_reasons(printed, sheet_of_plan):
    name, sheet = printed
    together = " ".join(sheet_of_plan(name, "--why", COLUMNS="400").split())
    for figure in sheet["figures"]:
        assert " ".join(figure["because"].split()) in together, figure["id"]
