"""Habits as a plan takes them: who comes first, what is said, and `habits.toml`."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft import pot
from studio.plan.errors import PlanError
from studio.plan.forecast import foresee
from studio.plan.habits import HABITS, KIND_OF, MOST_MEASUREMENTS, Choice, HabitKind, habit
from studio.plan.reading import read_plan
from studio.plan.shapes import Worksheet
from studio.plan.sheet import work_out
from studio.plan.shelf import EMPTY_SHELF, Shelf, StudioFacts
from studio.shelf.habits import HEAD, choices_in, named, pinned_value, read_choices, with_choice, with_habits
from studio.shelf.reading import load_shelf
from tests.conftest import examples
from tests.plan.conftest import value

PLAN = """
format = "potside-plan/1"
title = "Slack water"
method = "paint and steam"

[fibre]
blend = { "superwash wool" = 100 }
dry_weight = "100 g"
form = "blank"
rows = 100
stitches = 60
yarn_length = "400 m"

[[colour]]
name = "kelp"
dye = "food green"
drops = 20
in = "100 mL"

[layout]
order = [ { colour = "kelp", rows = 100 } ]

[set]
shape = "roll"
thickness = "5 cm"
length = "14 cm"
hob = "1000 W"
hold = "40 min"
pot_water = "1500 mL"

[knit]
stitches = 64
gauge = "32 st / 4 in"
"""


@pytest.fixture
def shelf_with(tmp_path):  # type: ignore[no-untyped-def]
    """A shelf with these measurements and these lines in habits.toml."""

    def made(measured=None, text: str = "", shelf: Shelf = EMPTY_SHELF) -> Shelf:  # type: ignore[no-untyped-def]
        if text:
            (tmp_path / "habits.toml").write_text(text, encoding="utf-8")
        return with_habits(shelf, tmp_path, measured or {})

    return made


def sheet(shelf: Shelf, text: str = PLAN) -> Worksheet:
    return work_out(read_plan(text, name="t", drops_per_ml=shelf.studio.drops_per_ml), shelf)


def test_a_studio_without_sessions_works_out_what_it_always_did(shelf_with) -> None:
    assert sheet(shelf_with()) == sheet(EMPTY_SHELF)


def test_learned_values_stand_in_the_figures_with_the_default_beside(shelf_with) -> None:
    """Two sessions at 80 and 90 % against a default of 100 % that counts as two: (80 + 90 + 2 x 100) / 4 = 92.5;
    painted to 170 %, thrice: (3 x 170 + 2 x 150) / 5 = 162; 100 g x (162 - 92.5) % = 69.5 mL. Drops: 24 once
    against 20 that counts as one: 22. 69.5 mL x 1.2 for the reserve x 20 drops / 100 mL = 16.7: 17 drops."""
    told = sheet(shelf_with({"held": [80.0, 90.0], "painted": [170.0] * 3, "drops": [24.0]}))
    assert value(told, "paint.held") == pytest.approx(92.5)
    assert value(told, "paint.capacity") == pytest.approx(69.5)
    assert value(told, "paint.kelp.stock") == pytest.approx(17 / 22)
    held = told.figure("paint.held")
    assert held.origin == "yours"
    assert held.source.startswith("yours (2 sessions), ") and "; default 100 % (" in held.source
    poured = told.figure("paint.kelp.stock")
    assert poured.origin == "house rule", "of the reserve, whosever the dropper"
    assert "drops in 1 mL: yours (1 count)" in poured.source
    assert value(told, "paint.squeezed") == pytest.approx(192.5)


def test_the_plan_comes_first(shelf_with) -> None:
    shelf = shelf_with({"held": [80.0] * 9, "painted": [200.0] * 9, "boil-off": [50.0] * 9})
    text = PLAN.replace('dry_weight = "100 g"', 'dry_weight = "100 g"\nsqueezed_weight = "190 g"')
    text = text.replace('form = "blank"', 'form = "blank"\ntarget_pickup = "140 %"')
    told = sheet(shelf, text.replace('hob = "1000 W"', 'hob = "1000 W"\nhob_efficiency = 0.9'))
    assert value(told, "paint.held") == pytest.approx(90)
    assert value(told, "paint.capacity") == pytest.approx(50)
    assert value(told, "set.boil_off") == pytest.approx(
        0.9 / 0.75 * value(sheet(EMPTY_SHELF), "set.boil_off")
    )
    assert told.figure("paint.held").origin == "plan"


def test_pinned_stands_before_learned_and_off_before_both(shelf_with) -> None:
    measured = {"held": [80.0] * 9}
    pinned = sheet(shelf_with(measured, '[[habit]]\nname = "held"\npinned = "110 %"\n'))
    assert value(pinned, "paint.held") == pytest.approx(110)
    assert pinned.figure("paint.held").source.startswith("pinned by you at 110 %; default 100 %")
    off = sheet(shelf_with(measured, '[[habit]]\nname = "held"\noff = true\n'))
    assert off == sheet(EMPTY_SHELF)


def test_the_shelf_is_what_a_learned_value_is_drawn_towards(shelf_with) -> None:
    """16 a mL on the shelf and 24 counted once: halfway, for the default counts as one count."""
    shelf = Shelf(studio=StudioFacts(drops_per_ml=16.0))
    assert shelf_with({}, shelf=shelf).studio.drops_per_ml == 16.0
    learned = shelf_with({"drops": [24.0]}, shelf=shelf)
    assert learned.studio.drops_per_ml == pytest.approx(20.0)
    drops = next(h for h in learned.habits if h.id == "drops")
    assert (drops.default, drops.default_is) == (16.0, "the shelf's studio facts")
    # "10 drops" in a plan are read with the same dropper.
    assert read_plan(
        PLAN.replace('in = "100 mL"', 'in = "400 drops"'),
        name="t",
        drops_per_ml=learned.studio.drops_per_ml,
    ).colours[0].drops_in.value == pytest.approx(20)


def test_pot_water_is_reckoned_with_the_most_and_the_time_to_steam_is_told(shelf_with) -> None:
    """Nine sessions at 60 % against 75 % that counts as one: (9 x 60 + 75) / 10 = 61.5 %. 1500 mL x 4.19 x 85 K /
    60 000 = 8.90 min, and three sessions at 140 % with one default of 133.3 %: 138.3 %, 12.31 min."""
    plain, told = sheet(EMPTY_SHELF), sheet(shelf_with({"boil-off": [60.0] * 9, "to-steam": [140.0] * 3}))
    all_heat = value(plain, "set.boil_off") / 0.75
    assert value(told, "set.boil_off") == pytest.approx(0.615 * all_heat, rel=1e-6)
    reckoned_with, at_most = (1500 / value(made, "set.pot_lasts") for made in (told, plain))
    assert 0.615 / 0.9 < reckoned_with / at_most < 1.0
    assert value(told, "set.to_steam") == pytest.approx(12.31, abs=0.02)
    assert value(plain, "set.to_steam") == pytest.approx(8.90 / 0.75, abs=0.02)


def test_labour_goes_by_the_hands_that_were_seen(shelf_with) -> None:
    """Three sessions at 60 % of the minutes counted, and a default of 100 % that counts as one: 70 %."""
    priced = Shelf(studio=StudioFacts(currency="EUR", hourly_rate=20.0))
    plain, told = sheet(priced), sheet(shelf_with({"hands-on": [60.0] * 3}, shelf=priced))
    assert value(told, "cost.labour") == pytest.approx(0.7 * value(plain, "cost.labour"))
    assert told.figure("cost.labour").origin == plain.figure("cost.labour").origin == "estimate"
    assert "yours (3 sessions)" in told.figure("cost.labour").source


def test_cooling_goes_by_the_rate_that_was_seen(shelf_with) -> None:
    """Twice at 200 % against 100 % that counts as two: 150 %. A packet half as fast again is cool in two thirds."""
    plain, told = sheet(EMPTY_SHELF), sheet(shelf_with({"cooling": [200.0] * 2}))
    assert value(plain, "cool.time") / value(told, "cool.time") == pytest.approx(1.5)


def test_a_habit_that_ranges_widely_says_so_and_widens_what_goes_by_it(shelf_with) -> None:
    """Packets that cooled at 44 and at 149 %: nine in ten lie farther apart still, and so do the minutes."""
    shelf = shelf_with({"cooling": [44.0, 149.0, 44.0, 149.0], "boil-off": [40.0, 90.0, 40.0, 90.0]})
    ranges = {h.id: h.span for h in shelf.habits}
    plain, told = sheet(EMPTY_SHELF).figure("cool.time"), sheet(shelf).figure("cool.time")
    assert told.high / told.low > plain.high / plain.low
    assert told.high >= plain.value * 100 / ranges["cooling"][0] and told.low <= plain.value * 100 / 149
    assert "your packets at 97.7 % of that rate (15 to 180 %): " in told.because
    rate, lasts = sheet(shelf).figure("set.boil_off"), sheet(shelf).figure("set.pot_lasts")
    assert (rate.low, rate.high) == pytest.approx(
        [min(1.0, end / 100) / 0.75 * value(sheet(EMPTY_SHELF), "set.boil_off") for end in ranges["boil-off"]]
    )
    assert lasts.value == lasts.low == pytest.approx(1500 / rate.high)
    assert lasts.high == pytest.approx(1500 / rate.low)
    pinned = sheet(shelf_with({"cooling": [44.0, 149.0]}, '[[habit]]\nname = "cooling"\npinned = "100 %"\n'))
    assert pinned.figure("cool.time").low == pytest.approx(plain.low)


def test_the_forecast_takes_the_spread_that_is_yours_unless_it_is_asked_for(shelf_with) -> None:
    """Two swatches of 2 rows against 0.8 that counts as one: (2 x 2 + 0.8) / 3 = 1.6."""
    shelf = shelf_with({"spread": [2.0, 2.0]})
    plan = read_plan(PLAN, name="t")
    own = foresee(plan, shelf)
    assert own.painting.spread == pytest.approx(1.6)
    assert own.painted_by() == "spread 1.6 (yours, 2 swatches), tilt 1, wander 0.4 rows"
    assert foresee(plan, shelf, 0.5).painted_by().startswith("spread 0.5, ")
    assert foresee(plan, EMPTY_SHELF).painting.spread == 0.8


def test_slips_are_left_out_and_only_the_newest_count() -> None:
    kind = KIND_OF["held"]
    assert habit(kind, [90.0, 1e9, -5.0]).n == 1
    newest = [90.0] * MOST_MEASUREMENTS
    assert habit(kind, [*newest, *[300.0] * 500]) == habit(kind, newest)


@given(st.sampled_from(HABITS), st.lists(st.floats(-1e9, 1e9), max_size=60), st.booleans())
def test_a_habit_stays_between_the_default_and_what_was_measured(
    kind: HabitKind, values: list[float], off: bool
) -> None:
    told = habit(kind, values, Choice(off=off))
    kept = [v for v in values if kind.low <= v <= kind.high][:MOST_MEASUREMENTS]
    assert min([kind.default, *kept]) <= told.value <= max([kind.default, *kept])
    assert kind.low <= told.low <= told.high <= kind.high
    assert told.used == (bool(kept) and not off)
    assert told.used or told.value == kind.default
    assert msgspec.json.decode(msgspec.json.encode(told), type=type(told)) == told


# --- habits.toml ---------------------------------------------------------------------------------------------

BAD = """
[[habit]]
name = "heeld"
off = true

[[habit]]
name = "held"
pinned = "110 %"

[[habit]]
name = "cooling"
pinned = "cold"

[[habit]]
name = "boil-off"
pinned = 900

[[habit]]
name = "held"
off = true

[[habit]]
name = "drops"
switched = "off"

[[habit]]
name = "spread"
pinned = 1.2
"""


def test_a_bad_line_is_named_and_the_rest_loads(tmp_path) -> None:
    (tmp_path / "habits.toml").write_text(BAD, encoding="utf-8")
    choices, left_out = read_choices(tmp_path)
    remarks = tuple(one.sentence for one in left_out)
    assert choices == {"held": Choice(pinned=110.0), "spread": Choice(pinned=1.2)}
    for number, said in (
        (1, 'did you mean "held"?'),
        (3, "is no value for cooling beside still air"),
        (4, "lies from 5 to 120 %"),
        (5, "a second time"),
        (6, "has no key"),
    ):
        line = 2 + 4 * (number - 1)  # where the entry begins, or the key below it
        places = [f"line {n}, habit[{number}]" for n in range(line, line + 3)]
        assert any(p in r and said in r for p in places for r in remarks), (number, remarks)
    assert len(remarks) == 5
    shelf = with_habits(load_shelf(tmp_path), tmp_path, {})
    assert shelf.remarks == remarks


@pytest.mark.parametrize("text", ["[[habit", "habit = 3", "[studio]\nname = 1", "\x00", "habit = [3, {}]"])
def test_a_file_that_is_none_leaves_the_defaults(tmp_path, text: str) -> None:
    (tmp_path / "habits.toml").write_text(text, encoding="utf-8")
    choices, remarks = read_choices(tmp_path)
    assert choices == {} and remarks
    assert sheet(with_habits(EMPTY_SHELF, tmp_path, {})) == sheet(EMPTY_SHELF)


choices = st.builds(
    Choice, pinned=st.none() | st.floats(30, 60).map(lambda v: round(v, 3)), off=st.booleans()
)


@examples(30)  # tomlkit is slow
@given(st.lists(st.tuples(st.sampled_from(HABITS[:6]), choices), max_size=6))
def test_what_is_chosen_is_read_back_and_the_rest_stays(steps) -> None:
    text, wanted = f'{HEAD}\n[[habit]]\nname = "spread"\npinned = 1.5  # my brush\n', {}
    for kind, choice in steps:
        text = with_choice(text, kind, choice)
        wanted[kind.id] = choice
        assert "pinned = 1.5  # my brush" in text and text.startswith(HEAD)
    told, remarks = choices_in(text)
    assert remarks == []
    assert told == {"spread": Choice(pinned=1.5)} | {k: v for k, v in wanted.items() if v != Choice()}


def test_the_last_entry_taken_out_leaves_the_comment_alone() -> None:
    text = with_choice("", KIND_OF["held"], Choice(off=True))
    assert choices_in(with_choice(text, KIND_OF["held"], Choice())) == ({}, [])


@pytest.mark.parametrize("text", ["[[habit", "habit = 3", "habit = [ { name = 'held' } ]"])
def test_what_cannot_be_edited_safely_is_left_alone(text: str) -> None:
    with pytest.raises(PlanError, match=r"habits\.toml"):
        with_choice(text, KIND_OF["held"], Choice(off=True))


@given(st.text(max_size=40))
def test_any_text_is_a_value_or_a_sentence(text: str) -> None:
    for kind in HABITS:
        try:
            assert kind.low <= pinned_value(kind, text) <= kind.high
        except ValueError as problem:
            assert "write for example" in str(problem) and len(str(problem)) < 200


@pytest.mark.parametrize(
    ("habit_id", "text", "wanted"),
    [
        ("held", "110 %", 110),
        ("held", "110", 110),
        ("drops", "17,5 drops/mL", 17.5),
        ("drops", "17.5 drops", 17.5),
        ("spread", "1 1/2 rows", 1.5),
    ],
)
def test_a_value_is_read_as_people_write_it(habit_id: str, text: str, wanted: float) -> None:
    assert pinned_value(KIND_OF[habit_id], text) == wanted


def test_names_may_be_begun() -> None:
    assert named("cool").id == "cooling" and named("HELD").id == "held"
    with pytest.raises(ValueError, match="the habits are held, painted"):
        named("zzz")


def test_the_hob_of_the_habits_is_that_of_the_sums() -> None:
    assert KIND_OF["to-steam"].default == 100.0 / pot.HOB_EFFICIENCY
    assert KIND_OF["boil-off"].default == 100.0 * pot.HOB_EFFICIENCY
    assert f" {pot.HOB_EFFICIENCY:g} of the hob" in KIND_OF["to-steam"].standing
