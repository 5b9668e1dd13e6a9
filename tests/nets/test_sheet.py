"""The sheet while a session is under way: what is measured moves what follows, and nothing else."""

from __future__ import annotations

import json
import math
import random
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.plan.reading import read_plan
from studio.plan.settled import Settled, Sharing, self_contained, settle
from studio.plan.shapes import Step, Worksheet
from studio.plan.sheet import laid_out, work_sheet
from studio.plan.shelf import EMPTY_SHELF, Shelf, StudioFacts
from studio.plan.steps.lay import paint_path
from studio.session.events import FORMAT, data_of
from studio.session.folding import fitted
from studio.session.kinds.course import Opened
from tests.conftest import examples

Values = dict[str, float]
OF_DROPS = ("bath.dye", "bath.water")
"""The dye of a bath is as much as its whole drops colour, and the water is the rest of the bath."""
OFF = st.one_of(st.just(1.0), st.floats(0.8, 1.2), st.floats(0.0, 30.0), st.just(5e-324), st.just(1e-12))


def asking(sheet: Worksheet) -> Iterator[Step]:
    """The steps that take a value which later figures follow from, in the order of work."""
    return (step for stage in sheet.procedure for step in stage.steps if step.sets)


def values_of(sheet: Worksheet) -> Values:
    return {figure.id: figure.value for figure in sheet.figures}


def close(sheet: Worksheet, step: Step, value: float, measured: Values) -> Values:
    """What is known once the step is closed on a value: that value, and what else was done as asked."""
    figures = values_of(sheet)
    return {**measured, step.sets: value, **{i: figures[i] for i in step.fixes}}


def test_every_path_is_a_figure_and_asks_for_its_value(settled: Settled) -> None:
    sheet = work_sheet(settled)
    for step in asking(sheet):
        figure = sheet.figure(step.sets)
        assert figure is not None, step.id
        assert step.unit in (figure.unit, "drops"), step.id
        assert step.expected == pytest.approx(figure.value, abs=0.006 if step.quantity == "ph" else 1e-9)
        assert all(sheet.figure(i) is not None for i in step.fixes), step.id


def test_an_opening_is_read_back_as_it_was_made(settled: Settled) -> None:
    """So that a session which begins need not read its own first line."""
    made = Opened(
        format=FORMAT,
        title="",
        plan="",
        worksheet=work_sheet(settled),
        program="",
        pid=1,
        host="",
        utc_offset_min=0,
        choices=self_contained(settled),
    )
    assert fitted(made.kind, json.loads(json.dumps(data_of(made)))) == made


def test_answering_what_is_asked_moves_no_figure(settled: Settled) -> None:
    first = sheet = work_sheet(settled)
    measured: Values = {}
    for step in asking(first):
        measured = close(sheet, step, values_of(sheet)[step.sets], measured)
        sheet = work_sheet(settled, measured)
        assert values_of(sheet) == pytest.approx(values_of(first), rel=1e-9, abs=1e-12), step.id


@pytest.mark.one_in(6)
def test_a_closed_step_keeps_its_value(settled: Settled) -> None:
    """Whatever is measured later, and even where the dry weight is corrected at the end."""
    measured: Values = {}
    sheet, chance = work_sheet(settled), random.Random(settled.plan.title)
    for step in asking(sheet):
        asked = values_of(sheet)[step.sets]
        measured = close(sheet, step, asked * chance.uniform(0.97, 1.03), measured)
        sheet = work_sheet(settled, measured)
    told = {figure.id for figure in sheet.figures if figure.origin == "measured"}
    quotients = {
        i.replace(".dye", ".strength") for i in measured if i.startswith("stock.") and i.endswith(".dye")
    }
    assert told - quotients == measured.keys(), (
        "what only follows from a measured value keeps its formula's origin"
    )
    sheet = work_sheet(settled, {**measured, "fibre.weight": settled.dry_g * 1.02})
    now = values_of(sheet)
    assert {i: now[i] for i in measured if i != "fibre.weight"} == pytest.approx(
        {i: v for i, v in measured.items() if i != "fibre.weight"}
    )


@examples(100)
@given(data=st.data())
def test_the_mass_of_dye_balances_and_no_pour_exceeds_its_jar(
    forty: list[Settled], data: st.DataObject
) -> None:
    painted = [s for s in forty if s.plan.sour.table == "presoak"]
    settled = painted[data.draw(st.integers(0, len(painted) - 1))]
    measured: Values = {}
    sheet = work_sheet(settled)
    for step in asking(sheet):
        value = values_of(sheet)[step.sets] * data.draw(st.floats(0.7, 1.4), label=step.sets)
        try:
            sheet = work_sheet(settled, tried := close(sheet, step, value, measured))
        except ValueError:
            continue  # Wet fibre lighter than dry: the bench doubts it, and the node keeps its formula.
        measured = tried
    now = values_of(sheet)
    in_jar_ml = {q.colour.plan.slug: q.in_jar_ml for q in laid_out(settled, measured)[1].liquids}
    for jar in settled.jars:
        if jar[0][0].plan.drops is None and f"stock.{jar[0][1].slug}.volume" in now:
            assert _poured_ml(now, jar) <= now[f"stock.{jar[0][1].slug}.volume"] * 1.0001
    for colour in settled.colours:
        slug = colour.plan.slug
        if colour.plan.drops is not None or colour.fibre_g <= 0:
            continue
        poured_g = 0.0
        for stock in colour.stocks:
            poured_g += _poured_ml(now, ((colour, stock),)) * now[f"stock.{stock.slug}.strength"] / 100
        on_fibre_g = now[f"paint.{slug}.depth"] / 100 * now[f"paint.{slug}.fibre"] * colour.takes
        # Where a reading is less than what went in, the jar holds what went in: stock, and gum and acid beside it.
        mixed_ml = in_jar_ml[slug]
        assert mixed_ml >= max(now[f"paint.{slug}.liquid"], now[f"paint.{slug}.stock"]) - 1e-9
        left_ml = mixed_ml - now[f"paint.{slug}.apply"]
        left_g = left_ml * poured_g / mixed_ml if mixed_ml else 0.0
        assert left_ml >= -1e-9
        assert on_fibre_g + left_g == pytest.approx(poured_g, rel=1e-9, abs=1e-12)


def _poured_ml(now: Values, jar: Sharing) -> float:
    """Of a jar into the paint of every colour it is for."""
    totals = ((f"paint.{colour.plan.slug}.stock", colour, stock) for colour, stock in jar)
    return sum(now[f"{total}.{s.dye.slug}" if len(c.stocks) > 1 else total] for total, c, s in totals)


def test_colours_that_share_a_dye_share_its_jar() -> None:
    """Worked out by hand: 20 g each of 0.25, 0.5 and 1 % without a reserve are 0.05, 0.1 and 0.2 g: 35 mL of 1 %.

    0.28 g weighed for 0.35 and made up to 35 mL are 0.8 %, and each colour has 0.8 of its depth. Once pale has its
    5 mL, a jar read again at 26 mL has 21 mL for the 30 that the others take: 7 mL and 14 mL.
    """
    text = """format = "potside-plan/1"
title = "Shared"
reserve = "0 %"
[fibre]
blend = { wool = 100 }
dry_weight = "80 g"
squeezed_weight = "112 g"
target_pickup = "260 %"
form = "skein"
[layout]
order = [ { colour = "pale", share = "25 %" }, { colour = "mid", share = "25 %" }, { colour = "deep", share = "25 %" },
  { bare = "25 %" } ]
[set]
shape = "roll"
thickness = "4 cm"
"""
    dyed = (("pale", "0.25 %"), ("mid", "0.5 %"), ("deep", "1 %"))
    for name, depth in dyed:
        text += f'[[colour]]\nname = "{name}"\ndye = "acid blue 9"\ndepth = "{depth}"\n'
    choices = settle(read_plan(text, name="shared.plan.toml"), EMPTY_SHELF)
    pours = [f"paint.{name}.stock" for name, _ in dyed]
    plain = values_of(work_sheet(choices))
    assert [plain["stock.pale.dye"], plain["stock.pale.volume"]] == pytest.approx([0.35, 35.0])
    assert [plain[path] for path in pours] == pytest.approx([5.0, 10.0, 20.0])
    assert not {"stock.mid.dye", "stock.deep.dye"} & plain.keys(), "one jar, weighed once"
    short = {"stock.pale.dye": 0.28, "stock.pale.volume": 35.0}
    now = values_of(work_sheet(choices, short))
    assert [now[f"paint.{name}.depth"] for name, _ in dyed] == pytest.approx([0.2, 0.4, 0.8])
    less = {"stock.pale.dye": 0.26, "stock.pale.volume": 26.0, pours[0]: 5.0}
    assert [values_of(work_sheet(choices, less))[path] for path in pours] == pytest.approx([5.0, 7.0, 14.0])
    fine = settle(
        read_plan(text, name="shared.plan.toml"), Shelf(studio=StudioFacts(scale_resolution_g=0.05))
    )
    round_ = values_of(work_sheet(fine, {"stock.pale.dye": values_of(work_sheet(fine))["stock.pale.round"]}))
    assert round_["stock.pale.volume"] == pytest.approx(250.0), "2.5 g, 50 steps of a scale of 0.05 g"
    assert [round_[path] for path in pours] == pytest.approx([5.0, 10.0, 20.0]), "the rest stays in the jar"
    apart = read_plan(text.replace('depth = "1 %"', 'depth = "1 %"\nstock = "2 %"'), name="apart.plan.toml")
    assert [len(jar) for jar in settle(apart, EMPTY_SHELF).jars] == [3], (
        "what is not written is as is written"
    )
    apart = read_plan(
        text.replace('%"\n[[', '%"\nstock = "1 %"\n[[') + 'stock = "2 %"\n', name="apart.plan.toml"
    )
    assert [len(jar) for jar in settle(apart, EMPTY_SHELF).jars] == [2, 1]


def test_the_strip_at_the_end_moves_no_other_figure(settled: Settled) -> None:
    """No dose, and nothing else, is judged by it: half a unit above what is worked out, all else stays."""
    sheet = work_sheet(settled)
    strip = next((step.sets for step in asking(sheet) if step.role == "end pH"), "")
    assert strip or settled.acid is None
    plain = values_of(sheet)
    if strip:
        now = work_sheet(settled, {strip: plain[strip] + 0.5})
        assert values_of(now) == {**plain, strip: plain[strip] + 0.5} and now.cautions == sheet.cautions


def test_more_of_a_colour_and_what_is_left_of_it_balance_too(settled: Settled) -> None:
    """Three tenths more in the proportions of each jar, a tenth left: the rest is on the fibre."""
    plain = values_of(work_sheet(settled))
    takes = {c.plan.slug: c.takes for c in settled.colours}
    mixed = {c.plan.slug: plain.get(f"paint.{c.plan.slug}.liquid", 0.0) for c in settled.colours}
    measured: Values = {}
    for slug, ml in mixed.items():
        stock = plain.get(f"paint.{slug}.stock", 0.0)
        measured |= {f"paint.{slug}.more": 0.3 * ml, f"paint.{slug}.more.stock": 0.3 * stock}
        measured[f"paint.{slug}.left"] = 0.1 * ml
    now = values_of(work_sheet(settled, measured))
    for slug, ml in mixed.items():
        if f"paint.{slug}.depth" not in now or ml <= 0:
            continue  # A bath, or drops of unknown strength.
        percent = now[f"paint.{slug}.left.strength"]
        on_fibre_g = now[f"paint.{slug}.depth"] / 100 * now[f"paint.{slug}.fibre"] * takes[slug]
        begun_g = plain[f"paint.{slug}.depth"] * plain[f"paint.{slug}.fibre"] * takes[slug]
        assert percent == pytest.approx(begun_g / plain[f"paint.{slug}.apply"]), "as strong as the first jar"
        assert on_fibre_g + 0.1 * ml * percent / 100 == pytest.approx(1.3 * ml * percent / 100)
        assert now[f"paint.{slug}.apply"] == pytest.approx(1.2 * ml)


def test_a_speck_of_stock_where_what_is_added_is_all_of_the_paint_is_too_weak(forty: list[Settled]) -> None:
    """It has no room left, and no number of coats brings it on."""
    off = {"stock.whin.dye": 1e-12, "stock.whin.volume": 1e-12, "paint.whin.liquid": 5e-324}
    measured: Values = {}
    sheet = work_sheet(forty[0])
    for step in asking(sheet):
        measured = close(sheet, step, values_of(sheet)[step.sets] * off.get(step.sets, 1.0), measured)
        sheet = work_sheet(forty[0], measured)
        if step.sets == "paint.whin.liquid":
            break
    weak = sheet.caution("stock.whin.too-weak")
    assert weak is not None and "coats" not in weak.text


@examples(40)
@given(data=st.data())
def test_any_values_give_a_sheet_or_one_sentence(forty: list[Settled], data: st.DataObject) -> None:
    """Nought to thirty times what is asked; a refusal names the value, and without it the sheet stands."""
    settled = forty[data.draw(st.integers(0, len(forty) - 1))]
    measured: Values = {}
    sheet = work_sheet(settled)
    for step in asking(sheet):
        value = values_of(sheet)[step.sets] * data.draw(OFF, label=step.sets)
        tried = close(sheet, step, value, measured)
        try:
            sheet = work_sheet(settled, tried)
        except ValueError as refusal:
            assert str(refusal).endswith((".", ")")) and "\n" not in str(refusal)
            continue
        measured = tried
        assert all(math.isfinite(figure.value) for figure in sheet.figures)


def test_rust_by_hand() -> None:
    """36 mL mixed for 27.5 gives 0.76 %; 22 mL give 18.3 mL to put on and 1 %. Worked out by hand:

    27.5 mL / 1.2 = 22.917 mL for the fibre. 1 % x 22.917 / (36 / 1.2) = 0.764 %; 22 mL / 1.2 = 18.333 mL.
    """
    text = """format = "potside-plan/1"
title = "By hand"
[fibre]
blend = { wool = 100 }
dry_weight = "100 g"
squeezed_weight = "180 g"
target_pickup = "249.1667 %"
form = "blank"
rows = 201
[[colour]]
name = "rust"
dye = "acid red 1"
depth = "1 %"
stock = "3 %"
[layout]
order = [ { colour = "rust", rows = 66 }, { bare = 135 } ]
[set]
shape = "roll"
thickness = "5 cm"
"""
    choices = settle(read_plan(text, name="hand.plan.toml"), EMPTY_SHELF)
    plain = values_of(work_sheet(choices))
    share = plain["paint.rust.liquid"]
    more = values_of(
        work_sheet(
            choices, {"paint.rust.stock": plain["paint.rust.stock"], "paint.rust.liquid": share * 36 / 27.5}
        )
    )
    less = values_of(
        work_sheet(
            choices, {"paint.rust.stock": plain["paint.rust.stock"], "paint.rust.liquid": share * 22 / 27.5}
        )
    )
    assert more["paint.rust.depth"] == pytest.approx(0.764, abs=0.001)
    assert less["paint.rust.depth"] == pytest.approx(1.0)
    assert less["paint.rust.apply"] / share == pytest.approx(18.333 / 27.5, rel=1e-4)
    # 0.43 g weighed for 0.387: made up to 14.3 mL of 3 %, and the stock that goes into the paint stays what it was.
    heavier = values_of(work_sheet(choices, {"stock.rust.dye": plain["stock.rust.dye"] * 0.43 / 0.387}))
    assert heavier["stock.rust.volume"] / plain["stock.rust.volume"] == pytest.approx(14.333 / 12.9, rel=1e-3)
    assert heavier["paint.rust.stock"] == pytest.approx(plain["paint.rust.stock"])


def test_what_a_plan_writes_in_absolute_terms_goes_with_the_dry_weight(settled: Settled) -> None:
    """Squeezed weight, liquid, acid, drops: a tenth more fibre than planned takes a tenth more of each.

    But pot water, which the hob boils off by the minute whatever lies above it; nobody counts a part of a drop, and the
    paint is what the drops colour. What the shelf has (jars, the empty pot) is no amount of a plan.
    """
    begun = work_sheet(settled)
    more = work_sheet(settled, {"fibre.weight": settled.dry_g * 1.1})
    counted = {s.slug for c in settled.colours if c.plan.drops is not None for s in c.stocks}
    for step in asking(begun):
        was, now = begun.figure(step.sets), more.figure(step.sets)
        assert was is not None and now is not None, step.id
        if step.sets == "fibre.weight" or was.unit not in ("g", "mL", "drops"):
            continue
        if step.sets.startswith("set.pot_water"):
            assert now.value == was.value, step.id
        elif not counted & {*step.sets.split("."), *(counted if step.id in OF_DROPS else ())}:
            assert now.value == pytest.approx(1.1 * was.value), step.id
        else:
            drops = min(values_of(begun)[f"stock.{slug}.drops"] for slug in counted)
            assert now.value == pytest.approx(1.1 * was.value, rel=1.1 / drops), step.id


def test_a_second_set_has_amounts_of_its_own(settled: Settled) -> None:
    """What is measured in it moves what follows in it, and nothing of the first set."""
    first = values_of(work_sheet(settled))
    both = work_sheet(settled, sets=2)
    assert {i: v for i, v in values_of(both).items() if i in first} == first
    again = {step.id: step for stage in both.procedure for step in stage.steps if step.set_number == 2}
    assert again and all(both.figure(step.sets) is not None for step in again.values() if step.sets)
    for step in again.values():
        if step.sets:
            moved = values_of(work_sheet(settled, {step.sets: values_of(both)[step.sets] * 1.1}, sets=2))
            assert moved[step.sets] == pytest.approx(values_of(both)[step.sets] * 1.1)
            assert {i: moved[i] for i in first} == first


def test_a_colour_may_lie_on_all_of_the_fibre_or_on_none(settled: Settled) -> None:
    """Bands are painted from whatever jar is at hand, and a rest is read of each."""
    for colour in settled.colours if settled.plan.sour.table == "presoak" else ():
        for grams in (0.0, settled.dry_g):
            put = {paint_path(colour.plan.slug, "fibre"): grams, paint_path(colour.plan.slug, "left"): 1.0}
            sheet = work_sheet(settled, put)
            assert {path: values_of(sheet)[path] for path in put} == put
            assert all(math.isfinite(figure.value) for figure in sheet.figures)
