"""The sample studio: its shelf loads whole, and each plan can begin."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from studio.plan.reading import read_plan
from studio.plan.settled import settle
from studio.plan.shapes import STAGE_ORDER
from studio.plan.sheet import work_out
from studio.plan.shelf import Shelf
from studio.plan.toml import read_text
from studio.plan.work.worked import Worked, work_all
from studio.shelf.reading import load_shelf

ROOT = Path(__file__).resolve().parents[2]
HEATED = {"steam", "heat", "microwave"}
PLANS = sorted((ROOT / "shared" / "plans").glob("*.plan.toml"))


@pytest.fixture(scope="module")
def shelf() -> Shelf:
    return load_shelf(ROOT / "shared")


def test_the_shelf_loads_whole(shelf: Shelf) -> None:
    assert shelf.remarks == ()
    assert shelf.studio.name == "Skerry Lane studio"
    assert {item.kept_for for item in shelf.kit} == {"dye only", "kitchen"}
    assert shelf.jars and shelf.acids and shelf.bases and shelf.dyes


def test_there_are_three_plans() -> None:
    assert len(PLANS) >= 3


@pytest.mark.parametrize("path", PLANS, ids=lambda p: p.name)
def test_a_sample_plan_can_begin(shelf: Shelf, path: Path) -> None:
    plan = read_plan(read_text(path), name=path.name, drops_per_ml=shelf.studio.drops_per_ml)
    worksheet = work_out(plan, shelf)
    assert worksheet.stops == ()
    stages = tuple(stage.stage for stage in worksheet.procedure)
    assert tuple(stage.kind for stage in worksheet.procedure) == STAGE_ORDER
    assert len(stages) == 8 and len(HEATED & set(stages)) == 1
    assert len({f.id for f in worksheet.figures}) == len(worksheet.figures)
    assert len({c.id for c in worksheet.cautions}) == len(worksheet.cautions)
    known = {f.id for f in worksheet.figures}
    assert all(f in known for stage in worksheet.procedure for step in stage.steps for f in step.figures)
    assert all(f.source and f.because for f in worksheet.figures)


def _worked(shelf: Shelf, name: str) -> Worked:
    text = read_text(ROOT / "shared" / "plans" / name)
    return work_all(settle(read_plan(text, name=name, drops_per_ml=shelf.studio.drops_per_ml), shelf))


def test_drops_are_counted_whole(shelf: Shelf) -> None:
    worked = _worked(shelf, "lantern-floats.plan.toml")
    assert worked.settled.food_only
    for jar in worked.stocks.stocks:
        assert jar.drops == round(jar.drops or 0.5) and not jar.weighed


def test_a_mixture_is_of_all_its_jars_and_shares_one(shelf: Shelf) -> None:
    """54 g x 1.2 % x 1.2 are 0.648 g of dye, 21.6 mL of 3 %; of gorse 9.6 mL go into the other colour beside."""
    worked = _worked(shelf, "kelp-forest.plan.toml")
    kelp, (gorse, deep_water) = worked.liquids[0], worked.stocks.of(worked.settled.colours[0])
    assert [jar.stock.slug for jar in (gorse, deep_water)] == ["kelp.gorse", "kelp.deep-water"]
    assert kelp.stock_ml + 9.6 == pytest.approx(gorse.volume_ml + deep_water.volume_ml)
    assert worked.stocks.of(worked.settled.colours[1]) == (gorse,)
    assert worked.liquids[1].stock_ml == pytest.approx(9.6)
    assert kelp.mixed_ml == pytest.approx(kelp.stock_ml + kelp.water_ml)
    assert worked.soured.acid_amount == pytest.approx(3.0)


def test_planning_loads_no_screen_and_no_printer() -> None:
    code = (
        "import sys, studio.plan.sheet, studio.plan.reading, studio.shelf.reading;"
        "print([m for m in ('textual', 'rich', 'pint', 'numpy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.strip() == "[]"


def test_a_rounder_volume_that_is_only_proposed_makes_no_jar_less_sure(shelf: Shelf) -> None:
    path = ROOT / "shared" / "plans" / "slack-water.plan.toml"
    sheet = work_out(read_plan(read_text(path), name=path.name), shelf)
    origins = {f.id: f.origin for f in sheet.figures}
    assert {origin for name, origin in origins.items() if name.endswith(".round")} == {"house rule"}
    assert origins["kettle.dye"] == origins["kettle.depth"] == "plan"
