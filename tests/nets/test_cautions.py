"""Where a caution stands: at the step that opens the jar it is about, neither before it nor at another's."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from studio.plan.reading import read_plan
from studio.plan.settled import Settled, settle
from studio.plan.shapes import Step, Worksheet
from studio.plan.sheet import work_sheet
from studio.shelf.reading import load_shelf
from studio.tables.rows import hazards

ROOT = Path(__file__).parents[2]
SAMPLES = sorted((ROOT / "tests" / "plans").glob("*.toml"))
OF_ACID = ("acid.strong", "acid.dust")


def steps_of(sheet: Worksheet, role: str) -> Iterator[Step]:
    return (step for stage in sheet.procedure for step in stage.steps if step.role == role)


def stands(settled: Settled) -> None:
    """Each note of a powder, an acid or one jar stands where that very thing is weighed, counted or poured."""
    sheet = work_sheet(settled)
    dyes = {stock.slug: stock.dye for colour in settled.colours for stock in colour.stocks}
    for step in steps_of(sheet, "weigh dye"):
        own = {f"hazard.{one}" for one in dyes[step.of].hazards if hazards()[one].matters_to == "weighing"}
        told = {c for c in step.cautions if c.startswith("hazard.")}
        assert told == own, step.id
    for step in steps_of(sheet, "acid"):
        warned = [c.id for c in sheet.cautions if c.id in OF_ACID]
        assert step.once or set(warned) <= set(step.cautions), step.id
    for stage in sheet.procedure[:4]:
        for step in stage.steps:
            for caution in step.cautions:
                kind, _, named = caution.partition(".")
                jar = named.rpartition(".")[0]
                assert kind != "stock" or jar not in dyes or step.of == jar, (caution, step.id)
                assert caution not in OF_ACID or step.role in ("acid", "mix"), (caution, step.id)
                assert caution != "powder.dust" or step.role == "weigh dye", step.id


def test_a_caution_stands_where_what_it_is_about_is_handled(settled: Settled) -> None:
    stands(settled)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_so_it_does_in_the_sample_plans(path: Path) -> None:
    shelf = load_shelf(ROOT / "shared", read_on="2026-11-26")
    stands(settle(read_plan(path.read_text("utf-8"), name=path.name), shelf))
