"""Two of a kind on the shelf, and a plan that names the kind: which is taken, and that the plan says so."""

from __future__ import annotations

import pytest

from studio.plan.reading import read_plan
from studio.plan.shapes import Worksheet
from studio.plan.sheet import work_out
from studio.shelf.reading import read_shelf

PLAN = """format = "potside-plan/1"
title = "x"
method = "paint and steam"
[fibre]
blend = {{ wool = 100 }}
dry_weight = "100 g"
form = "skein"
[presoak]
acid = "{acid}"
acid_amount = "40 mL"
[[colour]]
name = "rust"
dye = "{dye}"
depth = "0.5 %"
[layout]
order = [ {{ colour = "rust", share = "100 %" }} ]
[set]
shape = "flat packet"
thickness = "3 cm"
"""
ACIDS = (
    '[[acid]]\nname = "sharp"\nacid = "white vinegar"\nstrength = "8 %"\non_hand = "{left}"\n'
    '[[acid]]\nname = "mild"\nacid = "white vinegar"\nstrength = "5 %"\non_hand = "1 L"\n'
)
DYES = (
    '[[dye]]\nname = "old tin"\ndye = "C.I. Acid Orange 7"\non_hand = "{left}"\n'
    '[[dye]]\nname = "new tin"\ndye = "C.I. Acid Orange 7"\non_hand = "25 g"\n'
)


def worked(acid: str, dye: str, left: str = "0") -> Worksheet:
    files = {
        "acids.toml": ACIDS.replace("{left}", f"{left} mL"),
        "dyes.toml": DYES.replace("{left}", f"{left} g"),
    }
    plan = PLAN.format(acid=acid, dye=dye)
    return work_out(read_plan(plan, name="x.plan.toml"), read_shelf(files))


def of_several(sheet: Worksheet) -> dict[str, str]:
    return {c.id: c.text for c in sheet.cautions if c.id.startswith("shelf.several.")}


@pytest.mark.parametrize(("left", "acid", "dye"), [("20", "sharp", "old-tin"), ("0", "mild", "new-tin")])
def test_the_first_that_is_not_used_up_is_taken_and_the_plan_says_so(left: str, acid: str, dye: str) -> None:
    sheet = worked("white vinegar", "C.I. Acid Orange 7", left)
    told = of_several(sheet)
    assert set(told) == {f"shelf.several.{acid}", f"shelf.several.{dye}"}
    assert all("sharp" in text and "mild" in text for name, text in told.items() if name.endswith(acid))
    poured = next(step for stage in sheet.procedure for step in stage.steps if step.sets == "presoak.acid")
    assert acid in poured.text


def test_one_that_is_named_is_taken_as_it_is() -> None:
    sheet = worked("sharp", "old tin")
    assert of_several(sheet) == {}
    poured = next(step for stage in sheet.procedure for step in stage.steps if step.sets == "presoak.acid")
    assert "sharp" in poured.text
