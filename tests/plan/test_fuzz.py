"""Whatever is done to a good plan, it stays a plan or is refused in one sentence."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.plan.errors import PlanError
from studio.plan.reading import read_plan
from studio.plan.shapes import Worksheet
from studio.plan.sheet import work_out
from studio.plan.shelf import EMPTY_SHELF
from studio.shelf.reading import read_shelf
from tests.conftest import examples

GOOD = """format = "potside-plan/1"
title = "Slipway"
[fibre]
blend = { wool = 75, nylon = 25 }
dry_weight = "100 g"
squeezed_weight = "180 g"
form = "blank"
rows = 220
[presoak]
acid = "white vinegar"
target_ph = 4.0
[[colour]]
name = "rust"
dye = "C.I. Acid Orange 7"
depth = "1.5 %"
[[colour]]
name = "kelp"
dye = "food green"
drops = 10
in = "3/4 cup"
[layout]
order = [ { colour = "rust", rows = 6 }, { bare = 5 }, { colour = "kelp", rows = 6 } ]
repeat = "to fill"
[set]
thickness = "5 cm"
pot_water = "1.5 L"
"""
LINES = GOOD.splitlines()
VALUES = (
    "0", "-1", "1e300", "-1e300", "nan", "inf", "true", "[]", "{}", '""', '"0 g"', '"1e5 g"', '"-3 C"', '"99999 m"',
    '"1 mg"', '"0.001 %"', '"20 %"', '"50 %"', '"1 drop"', '"20 L"', '"4000 m"', '"3 kg"', '"100 %"', '"0 mg/L"',
    '"12 h"', '"citric acid"', '"silk"', '"food red"', '"acetic acid 99 %"', '"skein"', '"flat packet"', "7.0", "2.0",
    '"30 cm"', '"2 mm"', "1", "100000", '"\\u202e"', "1979-05-27", "[[]]", "[{}]", '[{bare = 1}]',
)  # fmt: skip


def plan_or_refusal(text: str) -> Worksheet | None:
    try:
        worksheet = work_out(read_plan(text, name="f.toml"), EMPTY_SHELF)
    except PlanError as error:
        assert str(error) and "\n" not in str(error) and str(error).isprintable()
        return None
    for figure in worksheet.figures:
        assert math.isfinite(figure.value), figure.id
    return worksheet


@st.composite
def mutated(draw: st.DrawFn) -> str:
    """The good plan with one to four lines dropped, doubled, swapped, or given another value."""
    lines = list(LINES)
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(lines) - 1))
        what = draw(st.sampled_from(("drop", "double", "swap", "value", "value", "value", "text")))
        if what == "drop" and len(lines) > 2:
            del lines[at]
        elif what == "double":
            lines.insert(at, lines[at])
        elif what == "swap":
            other = draw(st.integers(0, len(lines) - 1))
            lines[at], lines[other] = lines[other], lines[at]
        elif what == "value" and "=" in lines[at]:
            lines[at] = lines[at].split("=")[0] + "= " + draw(st.sampled_from(VALUES))
        else:
            lines[at] = draw(st.text(max_size=30))
    return "\n".join(lines)


@examples(1_500)
@given(mutated())
def test_a_changed_plan_is_a_plan_or_a_refusal(text: str) -> None:
    plan_or_refusal(text)


@examples(100)
@given(st.text(max_size=300))
def test_any_text_is_refused(text: str) -> None:
    assert plan_or_refusal(text) is None


@examples(100)
@given(st.text(max_size=200) | mutated(), st.sampled_from(("dyes.toml", "studio.toml")))
def test_a_shelf_never_raises(text: str, file: str) -> None:
    shelf = read_shelf({file: text, "good.toml": '[[kit]]\nname = "pot"\nkept_for = "dye only"\n'})
    assert [item.name for item in shelf.kit][-1] == "pot"


@examples(80)
@given(
    dry=st.floats(20, 1000),
    held=st.floats(10, 120),
    target=st.floats(130, 300),
    depth=st.floats(0.1, 4),
    stock=st.floats(0.5, 8),
    reserve=st.floats(0, 60),
)
def test_the_depth_on_the_fibre_is_the_depth_written(
    dry: float, held: float, target: float, depth: float, stock: float, reserve: float
) -> None:
    """Dye that ends on the fibre is fibre x depth, whatever the liquid, the strength and the reserve."""
    text = f"""format = "potside-plan/1"
title = "t"
reserve = "{reserve:.6f} %"
[fibre]
blend = {{ wool = 100 }}
dry_weight = "{dry:.6f} g"
squeezed_weight = "{dry * (1 + held / 100):.6f} g"
target_pickup = "{target:.6f} %"
form = "skein"
[presoak]
acid = "white vinegar"
[[colour]]
name = "a"
dye = "acid red 1"
depth = "{depth:.6f} %"
stock = "{stock:.6f} %"
[layout]
order = [ {{ colour = "a", share = "70 %" }}, {{ bare = "30 %" }} ]
[set]
thickness = "5 cm"
"""
    worksheet = plan_or_refusal(text)
    assert worksheet is not None
    value = {f.id: f.value for f in worksheet.figures}
    on_fibre_g = value["stock.a.dye"] / (1 + reserve / 100)
    assert on_fibre_g == pytest.approx(0.7 * dry * depth / 100, rel=1e-4)
    meant_ml = 0.7 * value["paint.capacity"] * (1 + reserve / 100)
    too_weak = worksheet.caution("stock.a.too-weak") is not None
    assert too_weak == (value["paint.a.stock"] > meant_ml * 1.0001)
    assert value["paint.a.liquid"] == pytest.approx(max(meant_ml, value["paint.a.stock"]), rel=1e-4)
    # Dye poured is on the fibre or in what stays in the jar, and all of the depth comes where the stock is strong.
    in_jar_percent = 100 * value["stock.a.dye"] / value["paint.a.liquid"]
    come_g = value["paint.a.depth"] / 100 * value["paint.a.fibre"]
    assert come_g == pytest.approx(value["paint.a.apply"] * in_jar_percent / 100)
    assert value["paint.a.depth"] == pytest.approx(depth, rel=1e-4) or too_weak
    assert value["paint.a.depth"] <= depth * 1.0001
    if not too_weak:
        assert value["paint.a.water"] + value["paint.a.stock"] == pytest.approx(value["paint.a.liquid"])
