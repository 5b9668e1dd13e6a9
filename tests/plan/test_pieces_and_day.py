"""Several pieces alike in one session, and several plans in one day."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.methods.day import day_tasks, lay_out, lots_of, minute_of_day, with_pieces
from studio.plan.errors import PlanError
from studio.plan.reading import read_plan
from studio.plan.repeat.repeating import Done, repeat
from studio.plan.settled import Settled, settle
from studio.plan.shapes import Known, Worksheet
from studio.plan.sheet import worked_out
from studio.plan.ways import method_of
from studio.plan.work.costs import hands_on_stages
from studio.shelf.reading import load_shelf
from tests.plan.conftest import value

ROOT = Path(__file__).resolve().parents[2]
SHELF = load_shelf(ROOT / "shared")
PLANS = {
    name: (ROOT / f"shared/plans/{name}.plan.toml").read_text()
    for name in ("tidewrack-stripes", "lantern-floats")
}


def choices(name: str, pieces: int | None = None, text: str = "") -> Settled:
    return settle(with_pieces(read_plan(text or PLANS[name], name=name), pieces), SHELF)


def sheet(name: str, pieces: int | None = None, text: str = "") -> Worksheet:
    return worked_out(choices(name, pieces, text))


def test_three_pieces_take_three_times_the_dye_the_soak_and_the_paint_but_no_longer_steam() -> None:
    one, three = sheet("tidewrack-stripes"), sheet("tidewrack-stripes", 3)
    threefold = {"fibre.weight", "presoak.water", "presoak.acid", "presoak.bound", "paint.capacity"}
    threefold |= {
        f.id
        for f in one.figures
        if f.id.split(".")[0] in ("stock", "paint")
        and f.unit in ("g", "mL")
        and not f.id.endswith((".each", ".round"))
    }
    for figure_id in threefold:
        assert value(three, figure_id) == pytest.approx(3 * value(one, figure_id), rel=1e-9), figure_id
    same = ("presoak.ph", "set.heat_through", "set.hold", "set.pot_water", "cool.time", "paint.held")
    for figure_id in same:
        assert value(three, figure_id) == pytest.approx(value(one, figure_id), rel=1e-9), figure_id
    assert value(three, "fibre.pieces") == 3
    assert value(three, "set.rounds") == 3
    assert one.figure("set.rounds") is None and one.figure("paint.rust.each") is None
    # By hand: the mixed paint less its reserve of a fifth, in three parts.
    assert value(three, "paint.rust.each") == pytest.approx(
        value(three, "paint.rust.liquid") / 1.2 / 3, rel=1e-6
    )


def test_places_of_the_steamer_fill_it_less_often() -> None:
    text = PLANS["tidewrack-stripes"].replace("[set]", "[set]\nplaces = 2")
    assert value(sheet("", 5, text), "set.rounds") == 3
    assert value(sheet("", 2, text), "set.rounds") == 1


@pytest.mark.parametrize(
    ("line", "key"),
    [("pieces = 0", "fibre.pieces"), ("pieces = 9", "fibre.pieces"), ('pieces = "3"', "fibre.pieces")],
)
def test_pieces_that_are_none_are_refused_by_name(line: str, key: str) -> None:
    text = PLANS["tidewrack-stripes"].replace("[fibre]", f"[fibre]\n{line}")
    with pytest.raises(PlanError, match=key):
        read_plan(text, name="x")


def test_the_steps_tell_of_every_piece() -> None:
    texts = {s.id: s.text for stage in sheet("tidewrack-stripes", 3).procedure for s in stage.steps}
    assert "each of the 3 pieces" in texts["paint.apply"]
    assert "start a packet clock for each of the other 2" in texts["steam.on"]


def test_a_day_shares_the_soak_and_mixes_each_plan_once() -> None:
    lots = lots_of([choices("tidewrack-stripes", 2), choices("tidewrack-stripes"), choices("lantern-floats")])
    tasks = day_tasks(lots)
    ids = [t.task.id for t in tasks]
    soaks = [t for t in tasks if t.task.id.startswith("soak-")]
    # The stripes are wetted out in vinegar, the floats in citric acid: two baths.
    assert [t.who.count("Tidewrack stripes") for t in soaks] == [2, 0]
    assert soaks[1].who == "Lantern floats"
    assert soaks[0].task.hands_min == 5 + 2 * 3
    assert [i for i in ids if i.startswith("mix-")] == ["mix-0", "mix-1", "mix-2"]
    assert sum(i.endswith("-paint") for i in ids) == 4


def test_the_waits_of_a_day_are_the_worksheets() -> None:
    plain = sheet("tidewrack-stripes")
    tasks = {t.task.id: t.task for t in day_tasks(lots_of([choices("tidewrack-stripes")]))}
    by_wait = {(t.id, w.task): w.least_min for t in tasks.values() for w in t.after}
    assert by_wait["0-0-paint", "soak-1"] == pytest.approx(value(plain, "presoak.time"))
    assert by_wait["0-0-rinse", "0-0-out"] == pytest.approx(value(plain, "cool.time"))
    in_the_steam = value(plain, "set.to_steam") + value(plain, "set.hold")
    assert by_wait["0-0-out", "0-0-in"] == pytest.approx(in_the_steam, rel=1e-6)


def test_finish_by_sets_the_start() -> None:
    lots = lots_of([choices("tidewrack-stripes")])
    early = lay_out(lots, 1, start_min=540.0)
    late = lay_out(lots, 1, finish_by_min=1020.0)
    assert late.start_of_day_min == pytest.approx(1020.0 - early.finish_min)
    assert early.at(early.finish_min) == pytest.approx(540.0 + early.finish_min)
    with pytest.raises(ValueError, match="too much"):
        lay_out(lots, 1, finish_by_min=60.0)
    with pytest.raises(ValueError, match="not both"):
        lay_out(lots, 1, start_min=1.0, finish_by_min=2.0)


def test_a_plan_that_may_not_begin_makes_no_day() -> None:
    text = PLANS["tidewrack-stripes"].replace('use = ["steamer pot"', 'use = ["galley pan", "steamer pot"')
    assert "galley pan" in text
    with pytest.raises(ValueError, match="galley pan"):
        lots_of([choices("", None, text)])


@pytest.mark.parametrize("text", ["", "25:00", "9:60", "nine", "-1:00", "9:0", "12:00:00", "٩:00"])
def test_what_is_no_time_of_day(text: str) -> None:
    with pytest.raises(ValueError, match="no time of day"):
        minute_of_day(text)


def test_a_repeat_of_three_pieces_is_three_pieces_of_the_same_weight() -> None:
    """Weighed together 312 g dry and 561.6 g squeezed: three pieces of 104 g and 187.2 g."""
    text = PLANS["tidewrack-stripes"].replace("[fibre]", "[fibre]\npieces = 3")
    choices = settle(read_plan(text, name="x"), SHELF)
    done = Done(choices=choices, amounts={"fibre.weight": 312.0, "paint.squeezed": 561.6})
    again = repeat(text, done, SHELF, name="x", source="y")
    assert again.plan.fibre.pieces == 3
    assert again.plan.fibre.dry_weight is not None and again.plan.fibre.squeezed_weight is not None
    assert again.plan.fibre.dry_weight.value == pytest.approx(104.0)
    assert again.plan.fibre.squeezed_weight.value == pytest.approx(187.2)
    assert value(again.worksheet, "fibre.weight") == pytest.approx(312.0)


def test_own_pace_lengthens_the_work_and_leaves_the_waits_alone() -> None:
    lots = lots_of([choices("tidewrack-stripes", 2)])
    plain, slow = day_tasks(lots), day_tasks(lots, Known(150.0, "yours", "yours (5 sessions)"))
    for before, after in zip(plain, slow, strict=True):
        assert after.task.hands_min == pytest.approx(1.5 * before.task.hands_min)
        assert after.task.after == before.task.after
        assert after.origin == "yours" and "yours (5 sessions)" in after.because


def test_a_day_by_hand_is_what_the_worksheet_counts_for_its_lots() -> None:
    """But for kit and labels of each plan (3 min) and each piece into the soak (2 min), which a day adds."""
    two = choices("tidewrack-stripes", 2)
    painted_g = sum(colour.fibre_g for colour in two.colours)
    stages = hands_on_stages(method_of(two), 2, 0, 2, painted_g, two.pieces)
    counted = sum(stages.values())
    assert sum(t.task.hands_min for t in day_tasks(lots_of([two]))) == pytest.approx(counted + 3 + 2 * 2)
