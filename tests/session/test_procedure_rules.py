"""Every procedure the program can build keeps the rules of a good checklist."""

from __future__ import annotations

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from studio.methods.set_by.microwave import MOST_BURSTS
from studio.plan.shapes import StageId, Worksheet
from studio.plan.steps.preparing import MOST_ITEMS
from studio.plan.steps.procedure import MOST_COLOURS, MOST_STOCKS

BEFORE: tuple[StageId, ...] = ("ready", "presoak", "stocks")
AFTER: tuple[StageId, ...] = ("cool", "rinse", "record")
OF_METHOD: dict[str, tuple[StageId, ...]] = {
    "paint and steam": (*BEFORE, "paint", "steam", *AFTER),
    "kettle": (*BEFORE, "bath", "heat", *AFTER),
    "microwave": (*BEFORE, "paint", "microwave", *AFTER),
}


@st.composite
def plans(draw, facts_of, colour_of, stock_of):  # type: ignore[no-untyped-def]
    """Facts of any plan within the limits."""
    colours = []
    jars = 0
    for i in range(draw(st.integers(1, MOST_COLOURS))):
        count = draw(st.integers(1, 3))
        count = max(1, min(count, MOST_STOCKS - jars - (MOST_COLOURS - i - 1)))
        jars += count
        stocks = []
        for j in range(count):
            form = draw(st.sampled_from(["powder", "liquid", "drops", "jar"]))
            stocks.append(
                stock_of(
                    f"c{i}.s{j}",
                    form=form,
                    dye_g=0.4 if form == "powder" else None,
                    drops=12.0 if form == "drops" else None,
                )
            )
        colours.append(colour_of(f"c{i}", *stocks))
    return facts_of(
        colours=tuple(colours),
        form=draw(st.sampled_from(["blank", "skein", "loose", "cloth"])),
        shape=draw(st.sampled_from(["roll", "flat packet"])),
        any_powder=any(s.form == "powder" for c in colours for s in c.stocks),
        food_only=draw(st.booleans()),
        has_warnings=draw(st.booleans()),
        acid_amount=draw(st.sampled_from([0.0, 2.0, 40.0])),
        acid_state=draw(st.sampled_from(["liquid", "powder"])),
        presoak_ph=draw(st.sampled_from([None, 4.0])),
    )


@st.composite
def kettle_plans(draw, facts_of, colour_of, stock_of, kettle):  # type: ignore[no-untyped-def]
    """Facts of any bath within the limits."""
    stocks = [stock_of(f"c.s{j}") for j in range(draw(st.integers(1, 6)))]
    parts = draw(st.integers(1, 3))
    staged = parts == 1 and draw(st.booleans())
    acid = draw(st.sampled_from([0.0, 3.0, 40.0]))
    bath = msgspec.structs.replace(
        kettle,
        parts=parts,
        acid_first=acid / 2 if staged else acid,
        acid_rest=acid / 2 if staged else 0.0,
        salt_g=draw(st.sampled_from([0.0, 7.5])),
        ramp_min=draw(st.floats(0, 120)),
        hold_min=draw(st.floats(1, 90)),
    )
    return facts_of(
        colours=(colour_of("rust", *stocks),),
        form=draw(st.sampled_from(["blank", "skein", "loose", "cloth"])),
        any_powder=draw(st.booleans()),
        food_only=draw(st.booleans()),
        has_warnings=draw(st.booleans()),
        acid_amount=acid,
        acid_strong=draw(st.booleans()),
        acid_state=draw(st.sampled_from(["liquid", "powder"])),
        bath=bath,
    )


@st.composite
def microwave_plans(draw, facts_of, microwave):  # type: ignore[no-untyped-def]
    """Facts of any schedule within the limits."""
    made = msgspec.structs.replace(
        microwave,
        count=draw(st.integers(1, MOST_BURSTS)),
        burst_min=draw(st.floats(0.25, 5)),
        rest_min=draw(st.floats(0.5, 30)),
    )
    return facts_of(form=draw(st.sampled_from(["blank", "skein"])), bursts=made)


@given(st.data())
def test_a_kettle_keeps_the_rules(kettle_facts_of, colour_of, stock_of, sheet_of, data) -> None:  # type: ignore[no-untyped-def]
    kettle = kettle_facts_of().bath
    _keeps_the_rules(sheet_of(data.draw(kettle_plans(kettle_facts_of, colour_of, stock_of, kettle))))


@given(st.data())
def test_a_microwave_keeps_the_rules(microwave_facts_of, sheet_of, data) -> None:  # type: ignore[no-untyped-def]
    made = microwave_facts_of().bursts
    _keeps_the_rules(sheet_of(data.draw(microwave_plans(microwave_facts_of, made))))


@given(st.data())
def test_short_stages_early_criticals(facts_of, colour_of, stock_of, sheet_of, data) -> None:  # type: ignore[no-untyped-def]
    _keeps_the_rules(sheet_of(data.draw(plans(facts_of, colour_of, stock_of))))


def _keeps_the_rules(sheet: Worksheet) -> None:
    assert tuple(s.stage for s in sheet.procedure) == OF_METHOD[sheet.facts.method]
    ids = [step.id for stage in sheet.procedure for step in stage.steps]
    assert len(ids) == len(set(ids))
    timers = {t.id for t in sheet.timers}
    for stage in sheet.procedure:
        assert 1 <= len(stage.steps) <= MOST_ITEMS, stage.stage
        assert sum(step.critical for step in stage.steps) <= 3
        for step in stage.steps:
            assert step.id.startswith(stage.stage)
            assert all(needed in ids and ids.index(needed) < ids.index(step.id) for needed in step.after)
            assert step.kind != "measure" or step.quantity
            assert (step.kind == "wait") == bool(step.timer)
            assert {step.starts, step.stops, step.timer} - {""} <= timers
            assert len(step.done) <= 60
            assert len(step.text) <= 200
    assert all(t.minutes > 0 and {t.with_timer, t.then} - {""} <= timers for t in sheet.timers)
