"""The sample studio: its shelf loads whole, and each plan can begin."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from studio.plan.facts import ProcedureFacts
from studio.plan.gathering import procedure_facts
from studio.plan.reading import read_plan
from studio.plan.settled import settle
from studio.plan.shapes import STAGE_ORDER
from studio.plan.sheet import work_out
from studio.plan.shelf import Shelf
from studio.plan.toml import read_text
from studio.plan.work.worked import work_all
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


def _facts(shelf: Shelf, name: str) -> ProcedureFacts:
    path = ROOT / "shared" / "plans" / name
    plan = read_plan(read_text(path), name=path.name, drops_per_ml=shelf.studio.drops_per_ml)
    worked = work_all(settle(plan, shelf))
    return procedure_facts(worked, ())


def test_facts_of_drops(shelf: Shelf) -> None:
    facts = _facts(shelf, "lantern-floats.plan.toml")
    assert facts.food_only and not facts.any_powder
    assert {s.form for c in facts.colours for s in c.stocks} == {"drops"}
    assert all(s.drops == round(s.drops or 0.5) for c in facts.colours for s in c.stocks)
    assert facts.bands.endswith("4 times")


def test_facts_of_a_mixture(shelf: Shelf) -> None:
    facts = _facts(shelf, "kelp-forest.plan.toml")
    kelp = facts.colours[0]
    assert [s.slug for s in kelp.stocks] == ["kelp.gorse", "kelp.deep-water"]
    assert kelp.stock_ml == pytest.approx(sum(s.volume_ml for s in kelp.stocks))
    assert kelp.liquid_ml == pytest.approx(kelp.stock_ml + kelp.water_ml)
    assert facts.acid_state == "powder" and facts.acid_amount == pytest.approx(3.0)
    assert not facts.food_only and facts.any_powder


def test_planning_loads_no_screen_and_no_printer() -> None:
    code = (
        "import sys, studio.plan.sheet, studio.plan.reading, studio.shelf.reading;"
        "print([m for m in ('textual', 'rich', 'pint', 'numpy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.strip() == "[]"
