"""Every procedure the program can build keeps the rules of a good checklist."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from studio.plan.procedure import MOST_COLOURS, MOST_ITEMS, MOST_STOCKS
from studio.plan.shapes import STAGE_ORDER


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


@given(st.data())
def test_short_stages_early_criticals_gates_with_words(facts_of, colour_of, stock_of, sheet_of, data) -> None:  # type: ignore[no-untyped-def]
    sheet = sheet_of(data.draw(plans(facts_of, colour_of, stock_of)))
    assert tuple(s.stage for s in sheet.procedure) == STAGE_ORDER
    ids = [step.id for stage in sheet.procedure for step in stage.steps]
    assert len(ids) == len(set(ids))
    timers = {t.id for t in sheet.timers}
    for stage in sheet.procedure:
        assert 1 <= len(stage.steps) <= MOST_ITEMS, stage.stage
        assert sum(step.critical for step in stage.steps) <= 3
        for step in stage.steps:
            assert step.id.startswith(stage.stage)
            assert all(needed in ids and ids.index(needed) < ids.index(step.id) for needed in step.after)
            assert step.kind != "gate" or step.word or step.id == "ready.cautions"
            assert step.kind != "measure" or step.quantity
            assert (step.kind == "wait") == bool(step.timer)
            assert {step.starts, step.stops, step.timer} - {""} <= timers
            assert len(step.text) <= 200
