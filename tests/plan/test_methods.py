"""Kettle and microwave: their tables, what is refused, their cautions, and which dye may touch which kit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from studio.methods import METHODS
from studio.plan.errors import PlanError
from studio.plan.fields import sections_for
from studio.plan.reading import read_plan
from studio.plan.shapes import Worksheet
from studio.plan.sheet import work_out
from studio.plan.shelf import KitItem, Shelf, ShelfDye, StudioFacts
from studio.tables.rows import dyes

BEGINNINGS = Path(__file__).parents[2] / "studio" / "plan" / "beginnings"
SHELF = Shelf(
    dyes=(
        ShelfDye(name="pantry red", dye="food red", form="liquid", strength_percent=2.0),
        ShelfDye(name="bottle red", dye="food red", form="liquid"),
        ShelfDye(name="mill blue", dye_class="milling"),
        ShelfDye(name="level red", dye_class="levelling"),
        ShelfDye(name="metal grey", dye_class="1:2 premetallised"),
    ),
    kit=(
        KitItem(name="dye pot", kept_for="dye only"),
        KitItem(name="soup pot", kept_for="kitchen"),
        KitItem(name="dye oven", kept_for="dye only", kind="microwave"),
        KitItem(name="kitchen oven", kept_for="kitchen", kind="microwave"),
        KitItem(name="fine scale", kept_for="dye only", resolution_g=0.001),
    ),
    studio=StudioFacts(scale_resolution_g=0.001, alkalinity_mg_l=40.0),
)
HEAD = """format = "potside-plan/1"
title = "Slipway"
method = "{method}"
{top}
[fibre]
blend = {{ {blend} }}
dry_weight = "100 g"
form = "skein"
[presoak]
{presoak}
[[colour]]
name = "rust"
{colour}
[kit]
use = [{kit}]
"""
OWN = {
    "paint and steam": '[set]\nthickness = "4 cm"\nlength = "20 cm"\n{own}\n',
    "kettle": "[kettle]\n{own}\n",
    "microwave": '[microwave]\npower = "600 W"\n{own}\n',
}
CALM = {
    "top": "",
    "blend": "wool = 100",
    "presoak": "",
    "colour": 'dye = "level red"\ndepth = "1 %"\nstock = "2 %"',
    "kit": '"dye pot", "fine scale"',
}
ACID = 'acid = "white vinegar"\ntarget_ph = 4.0\n'


def text_of(method: str, own: str = "", **changed: str) -> str:
    values = {**CALM, **changed}
    if method == "kettle" and "acid" not in own:
        own = ACID + own
    if method == "microwave" and not values["presoak"]:
        values["presoak"] = ACID
    return HEAD.format(method=method, **values) + OWN[method].format(own=own)


def worksheet(method: str, own: str = "", **changed: str) -> Worksheet:
    return work_out(read_plan(text_of(method, own, **changed), name="s.plan.toml"), SHELF)


KETTLE_CALLED = {
    "kettle.ratio": ({"own": "liquor_ratio = 12"}, "note", "bath"),
    "kettle.dye-fills-bath": (
        {"colour": 'dye = "level red"\ndepth = "4 %"\nstock = "0.2 %"'},
        "warn",
        "bath",
    ),
    "kettle.semi-solid": ({"own": "parts = 3"}, "note", "bath"),
    "kettle.hob-slow": ({"own": 'hob = "300 W"'}, "note", "heat"),
    "kettle.hob-cannot": ({"own": 'hob = "70 W"'}, "warn", "heat"),
    "kettle.boils": ({"own": 'top = "99 C"'}, "warn", "heat"),
    "kettle.superwash-hot": ({"own": 'top = "95 C"', "blend": '"superwash wool" = 100'}, "warn", "heat"),
    "kettle.silk-hot": ({"own": 'top = "93 C"', "blend": "silk = 100"}, "note", "heat"),
    "kettle.hold-short": ({"own": 'hold = "10 min"'}, "warn", "heat"),
    "kettle.ramp-fast": ({"own": "ramp = 3"}, "note", "heat"),
    "kettle.start-step": ({"own": 'start = "60 C"'}, "note", "bath"),
    "kettle.vapour": (
        {"own": 'lid = false\nhold = "6 h"\nhob = "3000 W"'},
        "warn",
        "heat",
    ),
    "acid.none": ({"own": "# no acid"}, "warn", "bath"),
    "acid.strong": ({"own": 'acid = "acetic acid 56 %"\ntarget_ph = 3.5'}, "warn", "bath"),
    "acid.dust": ({"own": 'acid = "citric acid"\ntarget_ph = 3.5'}, "note", "bath"),
    "acid.beyond-published": ({"own": 'acid = "white vinegar"\nacid_amount = "5 mL"'}, "note", "bath"),
    "salt.milling": (
        {"top": 'salt = "Glauber\'s"', "colour": 'dye = "mill blue"\ndepth = "1 %"'},
        "warn",
        "bath",
    ),
    "dye.ph.milling": ({"colour": 'dye = "mill blue"\ndepth = "1 %"'}, "note", "bath"),
    "fibre.undyed": ({"blend": "wool = 70, cotton = 30"}, "warn", "bath"),
    "fibre.superwash": ({"blend": '"superwash wool" = 100'}, "note", "bath"),
    "kit.kitchen": ({"kit": '"soup pot"'}, "stop", "ready"),
}
MICROWAVE_CALLED = {
    "method.microwave": ({}, "stop", "ready"),
    "microwave.schedule": ({"own": 'burst = "3 min"\nrest = "1 min"'}, "note", "microwave"),
    "microwave.dries": ({"own": "rounds = 4"}, "warn", "microwave"),
    "microwave.cold": ({"own": 'rounds = 1\nburst = "30 s"'}, "warn", "microwave"),
}
KETTLE_ALWAYS = {"powder.dust", "kettle.felting", "steam.burns", "kettle.hot-water", "leftovers.label"}


@pytest.mark.parametrize(("changed", "level", "stage"), KETTLE_CALLED.values(), ids=KETTLE_CALLED)
def test_a_kettle_calls(
    request: pytest.FixtureRequest, changed: dict[str, str], level: str, stage: str
) -> None:
    caution = worksheet("kettle", **changed).caution(request.node.callspec.id)
    assert caution is not None and caution.source
    assert (caution.level, caution.stage) == (level, stage)


def test_a_calm_kettle_says_only_what_is_always_said() -> None:
    assert {c.id for c in worksheet("kettle").cautions} == KETTLE_ALWAYS


@pytest.mark.parametrize(("changed", "level", "stage"), MICROWAVE_CALLED.values(), ids=MICROWAVE_CALLED)
def test_a_microwave_calls(
    request: pytest.FixtureRequest, changed: dict[str, str], level: str, stage: str
) -> None:
    caution = worksheet("microwave", **changed).caution(request.node.callspec.id)
    assert caution is not None and caution.source
    assert (caution.level, caution.stage) == (level, stage)


def test_strong_acid_is_minded_at_every_step_that_pours_it() -> None:
    """Half of it goes into the cold bath, the rest into the hot one."""
    sheet = worksheet("kettle", own='acid = "acetic acid 56 %"\nacid_added = "staged"')
    steps = [step for stage in sheet.procedure for step in stage.steps]
    assert len([step for step in steps if step.role == "acid"]) == 2
    assert all("acid.strong" in step.cautions for step in steps if step.role == "acid")


def test_powder_is_minded_wherever_a_jar_of_it_is_opened() -> None:
    two = (
        'mix = [ { dye = "C.I. Acid Red 1", share = "50 %" }, { dye = "C.I. Acid Blue 9", share = "50 %" } ]'
    )
    sheet = worksheet("kettle", colour=f'{two}\ndepth = "1 %"\nstock = "2 %"')
    weighed = [s for stage in sheet.procedure for s in stage.steps if s.role == "weigh dye"]
    assert len(weighed) == 2
    assert all("powder.dust" in step.cautions for step in weighed)


def test_every_caution_hangs_on_a_stage_the_method_has() -> None:
    for method, changes in (("kettle", KETTLE_CALLED), ("microwave", MICROWAVE_CALLED)):
        for changed, _, _ in changes.values():
            sheet = worksheet(method, **changed)
            stages = {stage.stage for stage in sheet.procedure}
            assert {c.stage for c in sheet.cautions} - {""} <= stages
            shown = {i for stage in sheet.procedure for step in stage.steps for i in step.cautions}
            assert {c.id for c in sheet.cautions if c.stage} <= shown


REFUSED = [
    ("kettle", {}, '[set]\nthickness = "4 cm"', "set belongs to method"),
    ("kettle", {}, '[microwave]\npower = "600 W"', "microwave belongs to method"),
    ("kettle", {}, '[layout]\norder = [ { colour = "rust", share = "50 %" } ]', "layout is for painting"),
    ("kettle", {"top": 'reserve = "10 %"'}, "", "reserve is for painting"),
    ("kettle", {"presoak": 'acid = "white vinegar"'}, "", "presoak.acid belongs in [kettle]"),
    ("kettle", {"presoak": 'paint_acid = "5 mL"'}, "", "presoak.paint_acid is for painting"),
    (
        "kettle",
        {"colour": 'dye = "level red"\ndepth = "1 %"\nacid = "5 mL"'},
        "",
        "rust.acid is for painting",
    ),
    ("kettle", {"own": 'acid_added = "staged"\nparts = 2'}, "", "kettle.acid_added"),
    ("kettle", {"own": "parts = 9"}, "", "kettle.parts must lie between 1 and 3"),
    ("kettle", {"own": "ramp = 0"}, "", "kettle.ramp must lie between"),
    ("kettle", {"own": 'start = "70 C"\ntop = "60 C"'}, "", "kettle.top is not above the start"),
    ("kettle", {"own": 'top = "120 C"'}, "", "kettle.top must lie"),
    ("kettle", {"own": "thickness = 4"}, "", 'kettle has no key "thickness"'),
    ("kettle", {"own": "target_ph = 3.5\nacid_amount = 3"}, "", "kettle.acid_amount"),
    ("kettle", {}, '[[colour]]\nname = "b"\ndye = "level red"\ndepth = "1 %"', "a kettle dyes one colour"),
    ("kettle", {"colour": 'dye = "bottle red"\ndrops = 9\nin = "1 cup"'}, "", "colour.rust.liquid"),
    ("kettle", {"colour": 'dye = "level red"\ndepth = "1 %"\nliquid = "9 mL"'}, "", "colour.rust.liquid"),
    ("microwave", {}, '[set]\nthickness = "4 cm"', "set belongs to method"),
    ("microwave", {"own": 'burst = "20 min"'}, "", "microwave.burst must lie"),
    ("microwave", {"own": "rounds = 9"}, "", "microwave.rounds must lie"),
    ("paint and steam", {}, "[kettle]\nparts = 2", "kettle belongs to method"),
]


@pytest.mark.parametrize(("method", "changed", "added", "said"), REFUSED)
def test_refused_in_one_sentence(method: str, changed: dict[str, str], added: str, said: str) -> None:
    with pytest.raises(PlanError) as refusal:
        work_out(read_plan(text_of(method, **changed) + added, name="s.plan.toml"), SHELF)
    assert said in str(refusal.value)
    assert str(refusal.value).startswith("s.plan.toml: ") and str(refusal.value).endswith(".")


@pytest.mark.parametrize("method", [way.name for way in METHODS])
def test_a_plan_is_offered_the_keys_of_its_method_alone(method: str) -> None:
    """A kettle has no reserve, no bands and nothing in its paint; every plan has a soak and an acid somewhere."""
    told = {field.key for section in sections_for(method) for field in section.fields}
    painting = {"reserve", "order", "thicken", "paint_acid"}
    assert told & painting == (set() if method == "kettle" else painting)
    assert "liquor_ratio" in told and "acid" in told


def test_a_microwave_needs_its_power() -> None:
    text = text_of("microwave").replace('power = "600 W"', "")
    with pytest.raises(PlanError, match=r"microwave\.power is missing"):
        read_plan(text, name="s.plan.toml")


NON_FOOD = sorted(row.name for row in dyes().values() if not row.food)
METHODS = ("paint and steam", "kettle", "microwave")


@pytest.mark.parametrize("method", METHODS)
def test_no_textile_dye_of_the_tables_goes_with_kitchen_kit(
    method: str, sampled: Callable[..., Sequence[str]]
) -> None:
    """Every dye row that is no food colour, with a kitchen pot, in every method.

    Source: kit that held textile dye never goes back to food (NSEAD with HSE (UK), sheet on dyes).
    """
    assert len(NON_FOOD) > 20
    for name in sampled(NON_FOOD, 6):
        sheet = worksheet(method, colour=f'dye = "{name}"\ndepth = "1 %"', kit='"soup pot", "dye oven"')
        assert "kit.kitchen" in {c.id for c in sheet.stops}, name


@pytest.mark.parametrize(
    "kit", ['"kitchen oven"', '"kitchen oven", "dye oven"', '"an oven nobody listed"', ""]
)
def test_no_textile_dye_of_the_tables_goes_into_a_kitchen_or_unknown_microwave(
    kit: str, sampled: Callable[..., Sequence[str]]
) -> None:
    for name in sampled(NON_FOOD, 6):
        sheet = worksheet("microwave", colour=f'dye = "{name}"\ndepth = "1 %"', kit=kit)
        assert "method.microwave" in {c.id for c in sheet.stops}, name


def test_a_dye_only_oven_or_food_colour_alone_may_be_used() -> None:
    assert worksheet("microwave", kit='"dye oven"').stops == ()
    for name in sorted(row.name for row in dyes().values() if row.food):
        for kit in ('"kitchen oven"', ""):
            sheet = worksheet("microwave", colour=f'dye = "{name}"\ndepth = "0.5 %"', kit=kit)
            assert sheet.stops == (), name


def test_salt_goes_in_only_where_every_class_bears_it() -> None:
    """Glauber's salt 5 to 10 % on the weight of fibre for levelling dyes: Broadbent 2001, pp. 244 and 246;
    none for milling dyes: p. 246. 100 g of fibre: 5 to 10 g."""
    salt = 'salt = "Glauber\'s"'
    levelling = worksheet("kettle", top=salt).figure("kettle.salt")
    assert levelling is not None and (levelling.low, levelling.value, levelling.high) == (5.0, 7.5, 10.0)
    for dye in ("mill blue", "metal grey", "pantry red"):
        sheet = worksheet("kettle", top=salt, colour=f'dye = "{dye}"\ndepth = "1 %"')
        assert sheet.figure("kettle.salt") is None
        assert "bath.salt" not in {s.id for stage in sheet.procedure for s in stage.steps}


@pytest.mark.parametrize(
    ("beginning", "powder"), [("5-food-colour-microwave", False), ("1-two-colour-stripe", True)]
)
def test_grains_are_looked_for_where_powder_is_weighed_alone(beginning: str, powder: bool) -> None:
    """Drops and ready liquids have none: their jars are looked through for what floats or settles."""
    file = BEGINNINGS / f"{beginning}.plan.toml"
    sheet = work_out(read_plan(file.read_text("utf-8"), name=file.name), Shelf())
    steps = [step for stage in sheet.procedure for step in stage.steps]
    assert any(step.role == "weigh dye" for step in steps) is powder
    assert any("grain" in step.text for step in steps) is powder


def test_a_packet_that_may_boil_up_is_minded_where_the_oven_is_opened() -> None:
    file = BEGINNINGS / "5-food-colour-microwave.plan.toml"
    sheet = work_out(read_plan(file.read_text("utf-8"), name=file.name), Shelf())
    at = [s.role for stage in sheet.procedure for s in stage.steps if "microwave.superheating" in s.cautions]
    assert at == ["out"]
