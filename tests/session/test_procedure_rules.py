"""Every procedure the program can build keeps the rules of a good checklist."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.methods.set_by.microwave import MOST_BURSTS
from studio.plan.reading import read_plan
from studio.plan.settled import settle
from studio.plan.shapes import StageId, Worksheet
from studio.plan.sheet import work_sheet
from studio.plan.shelf import Jar, Shelf, ShelfDye
from studio.plan.steps.stages import MOST_ITEMS, MOST_STOCKS, most_colours

BEFORE: tuple[StageId, ...] = ("ready", "presoak", "stocks")
AFTER: tuple[StageId, ...] = ("cool", "rinse", "record")
OF_METHOD: dict[str, tuple[StageId, ...]] = {
    "paint and steam": (*BEFORE, "paint", "steam", *AFTER),
    "kettle": (*BEFORE, "bath", "heat", *AFTER),
    "microwave": (*BEFORE, "paint", "microwave", *AFTER),
}


SHELF = Shelf(
    dyes=(ShelfDye(name="ready red", dye="food red", form="liquid", strength_percent=2.0),),
    jars=(Jar(name="old blue", dye="acid blue 9", strength_percent=1.5, volume_ml=500.0),),
)
OWN = {
    "paint and steam": '[set]\nshape = "{shape}"\nthickness = "{across} cm"\nhold = "{minutes} min"\n',
    "kettle": '[kettle]\n{acid}parts = {parts}\nramp = {ramp}\nhold = "{minutes} min"\n',
    "microwave": '[microwave]\npower = "600 W"\nburst = "{burst} min"\nrounds = {rounds}\n',
}
ACIDS = ("", 'acid = "white vinegar"\n', 'acid = "citric acid"\nacid_amount = "3 g"\n')
POWDERS = ("acid orange 7", "acid blue 9", "food red")


@st.composite
def sheets(draw, method: str) -> Worksheet:  # type: ignore[no-untyped-def]
    """The worksheet of any plan of a method within the limits."""
    sides = draw(st.integers(1, 2))
    most = 1 if method == "kettle" else most_colours(sides)
    names = [f"c{i}" for i in range(draw(st.integers(1, most)))]
    left = MOST_STOCKS - len(names)
    colours = ""
    for name in names:
        more = draw(st.integers(0, min(2, left)))
        left -= more
        colours += f'[[colour]]\nname = "{name}"\n' + draw(_dyes(more + 1, method))
    acid = draw(st.sampled_from(ACIDS))
    own = OWN[method].format(
        shape=draw(st.sampled_from(["roll", "flat packet"])),
        across=draw(st.integers(1, 30)),
        minutes=draw(st.integers(1, 90)),
        acid=acid,
        parts=draw(st.integers(1, 3)),
        ramp=draw(st.floats(0.2, 3.0)),
        burst=draw(st.floats(0.25, 5.0)),
        rounds=draw(st.integers(1, MOST_BURSTS)),
    )
    form = draw(st.sampled_from(["blank", "skein", "loose", "cloth"]))
    bands = ", ".join(f'{{ colour = "{name}", rows = 5 }}' for name in names)
    layout = f"[layout]\norder = [ {bands} ]\nrepeat = 2\nsides = {sides}\n"
    where = "" if method == "kettle" else f"[presoak]\n{acid}{layout}"
    text = (
        f'format = "potside-plan/1"\ntitle = "Any"\nmethod = "{method}"\n[fibre]\nblend = {{ wool = 100 }}\n'
        f'dry_weight = "100 g"\nform = "{form}"\nrows = 100\n{colours}{where}{own}'
    )
    return work_sheet(settle(read_plan(text, name="any"), SHELF))


def _dyes(count: int, method: str) -> st.SearchStrategy[str]:
    """The dyes of a colour: powders, a ready liquid, a jar or drops."""
    if count > 1:
        parts = ", ".join(f'{{ dye = "{dye}", share = "{100 / count} %" }}' for dye in POWDERS[:count])
        return st.just(f'mix = [ {parts} ]\ndepth = "1 %"\n')
    drops = 'dye = "ready red"\ndrops = 12\nin = "100 mL"\n' + 'liquid = "50 mL"\n' * (method == "kettle")
    dyes = (*POWDERS, "ready red", "old blue")
    return st.sampled_from([drops, *(f'dye = "{dye}"\ndepth = "1 %"\n' for dye in dyes)])


@given(st.data())
@pytest.mark.parametrize("method", OF_METHOD)
def test_short_stages_early_criticals(method: str, data: st.DataObject) -> None:
    sheet = data.draw(sheets(method))
    assert tuple(s.stage for s in sheet.procedure) == OF_METHOD[method]
    _keeps_the_rules(sheet)


def _keeps_the_rules(sheet: Worksheet) -> None:
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
