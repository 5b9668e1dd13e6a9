"""What a session really cost, by hand; what stands in for what was not measured; hands-on time between ticks."""

from __future__ import annotations

import json
import re
from collections.abc import Callable

import msgspec
import pytest

from studio.plan.reading import read_plan
from studio.plan.settled import Settled, settle
from studio.plan.shelf import Price, Shelf, ShelfAcid, ShelfBase, ShelfDye, ShelfThickener, StudioFacts
from studio.report.exports import session_json
from studio.report.session_page import cost_rows
from studio.session import commands as c
from studio.session.after.observing import hands_on_min
from studio.session.after.real_cost import CostRow, RealCost, real_cost, used_up
from studio.session.after.review import ReadSession, min_in_steam
from studio.session.kinds.paint import BatchMixed
from studio.session.run import Running
from studio.session.sheet import value_now

PLAN = """format = "potside-plan/1"
title = "Ebb"
[fibre]
base = "skein"
squeezed_weight = "180 g"
target_pickup = "180 %"
[water]
altitude = "0 m"
[presoak]
acid = "vinegar"
acid_amount = "40 mL"
[[colour]]
name = "rust"
dye = "rust"
depth = "0.5 %"
stock = "1 %"
[[colour]]
name = "kelp"
dye = "kelp"
depth = "0.5 %"
stock = "1 %"
[layout]
order = [ { colour = "rust", share = "40 %" }, { colour = "kelp", share = "40 %" }, { bare = "20 %" } ]
[set]
shape = "roll"
thickness = "5 cm"
hob = "1000 W"
hob_efficiency = 0.8
pot_water = "3 L"
hold = "36 min"
"""
SHELF = Shelf(
    dyes=(
        ShelfDye(name="rust", dye="acid orange 7", price=Price(7.5, 25.0, "g")),
        ShelfDye(name="kelp", dye="acid blue 9", price=Price(10.0, 25.0, "g")),
        ShelfDye(
            name="bottle",
            dye="acid orange 7",
            form="liquid",
            strength_percent=2.0,
            price=Price(3.0, 10.0, "mL"),
        ),
    ),
    acids=(ShelfAcid(name="vinegar", acid="white vinegar", price=Price(1.0, 1000.0, "mL")),),
    bases=(
        ShelfBase(
            name="skein",
            blend=(("wool", 100.0),),
            form="skein",
            dry_weight_g=100.0,
            price=Price(11.5, 1.0, "1"),
        ),
    ),
    studio=StudioFacts(currency="EUR", energy_price=0.3, hourly_rate=18.0, margin_percent=40.0, room_c=20.0),
)
BOIL_C = 99.974
"""At sea level."""


def priced(shelf: Shelf = SHELF, text: str = PLAN) -> Settled:
    return settle(read_plan(text, name="ebb.plan.toml"), shelf)


@pytest.fixture
def at(worked_at) -> Callable[..., Running]:
    """A session with prices at a step, reached with what is asked but for what is given."""

    def reached(step_id: str, given: dict[str, str] | None = None, settled: Settled | None = None) -> Running:
        return worked_at(step_id, given, settled or priced())

    return reached


def counted(session: Running) -> RealCost:
    found = real_cost(session.state)
    assert found is not None
    return found


def part(session: Running, name) -> CostRow:
    row = counted(session).row(name)
    assert row is not None, name
    return row


def test_dye_and_acid_as_weighed_and_poured(at):
    """0.30 g x 0.30 + 0.24 g x 0.40 = 0.186; 41 mL x 0.001 = 0.041."""
    session = at("paint.squeezed", {"stocks.rust.dye": "0.30", "presoak.acid": "41"})
    assert part(session, "dye").real == pytest.approx(0.3 * 0.3 + 0.24 * 0.4)
    assert part(session, "acid").real == pytest.approx(0.041)
    assert part(session, "dye").measured and part(session, "acid").measured


def test_what_was_not_measured_stays_as_planned_and_says_so(at):
    session = at("presoak.water")
    for name in ("dye", "acid", "energy"):
        row = part(session, name)
        assert not row.measured and row.real == pytest.approx(row.planned), name
    # 1 kW x 36 min of it is the hold.
    assert part(session, "energy").real == pytest.approx((heat_up_kwh(80.0) + 0.6) * 0.3, rel=1e-4)
    assert part(session, "acid").real == pytest.approx(40 * 0.001)


def heat_up_kwh(onto_ml: float) -> float:
    """3000 mL in the pot, 80 mL held and what is put on, 100 g of wool and 1500 g of steel from 20 °C to the boil."""
    joules = ((3000 + 80 + onto_ml) * 4.19 + 100 * 1.36 + 1500 * 0.5) * (BOIL_C - 20)
    return joules / 0.8 / 3.6e6


def test_energy_by_the_steam_that_ran_was_lost_and_was_filled_up(at, walk, clock):
    """36 min held, 4 min without steam; half a litre from 20 °C to the boil: 500 x 4.19 x 79.974 / 0.8 / 3.6e6
    kWh."""
    session = at("steam.hold")
    clock.advance(600)
    session.do(c.ToggleSteam())
    clock.advance(240)
    session.do(c.ToggleSteam())
    session.do(c.Refill("500 mL"))
    walk(session, "steam.off")
    row = part(session, "energy")
    filled_kwh = 500 * 4.19 * (BOIL_C - 20) / 0.8 / 3.6e6
    assert row.real == pytest.approx((heat_up_kwh(80.0) + filled_kwh + 40 / 60) * 0.3, rel=1e-4)
    assert row.measured


def test_paint_mixed_later_takes_more_dye_once_the_jar_is_empty(at):
    """All 24 mL of stock are in the 48 mL of paint, so 16 mL more take 8 mL of stock made up anew: 0.08 g at 0.30."""
    session = at("paint.apply")
    before = part(session, "dye").real
    session.do(c.MixMore("rust", "16 mL", meant=True))
    assert part(session, "dye").real == pytest.approx(before + 0.08 * 0.3)


def test_what_the_jar_still_holds_is_not_paid_for_twice(at):
    """0.3 g made up to 30 mL, of which the paint takes 24: 4 mL of the 6 left go into 8 mL more."""
    session = at("paint.apply", {"stocks.rust.dye": "0.3"})
    before = part(session, "dye").real
    session.do(c.MixMore("rust", "8 mL", meant=True))
    assert before == part(session, "dye").real == pytest.approx(0.3 * 0.3 + 0.24 * 0.4)
    session.do(c.MixMore("rust", "10 mL at 2 %"))
    # 5 mL of a stock of its own: 0.1 g.
    assert part(session, "dye").real == pytest.approx(before + 0.1 * 0.3)


def test_labour_is_the_time_between_ticks_and_a_break_counts_for_twenty_minutes(at, clock):
    """3 min to weigh the fibre, then an hour to the water, of which 20 min count: 23 min at 18 an hour."""
    session = at("ready.weight")
    assert hands_on_min(session.state) == 0.0
    clock.advance(180)
    session.do(c.Measure("ready.weight", "100 g", meant=True))
    clock.advance(3600)
    session.do(c.Measure("presoak.water", "2000 mL", meant=True))
    assert hands_on_min(session.state) == pytest.approx(23.0)
    assert part(session, "labour").real == pytest.approx(23 / 60 * 18)


def test_a_soak_is_no_work_but_what_is_done_meanwhile_is(at, walk, clock):
    """4 min of the half hour go to the first jar; the rest of it is waited for."""
    session = at("presoak.in")
    session.do(c.Close("presoak.in"))
    clock.advance(240)
    session.do(c.Measure("stocks.rust.dye", "0.24 g", meant=True))
    walk(session, "paint.squeezed")
    assert session.state.step("presoak.wait").closed
    assert hands_on_min(session.state) == pytest.approx(4.0)


def test_the_boil_and_the_cooling_are_waited_for(at, walk, clock):
    session = at("steam.rolling")
    before = hands_on_min(session.state)
    clock.advance(15 * 60)
    session.do(c.Close("steam.rolling"))
    walk(session, "cool.temperature")
    clock.advance(10 * 60)
    session.do(c.Measure("cool.temperature", "38 C", meant=True))
    assert hands_on_min(session.state) == pytest.approx(before)


def test_what_the_suggested_price_leaves(at):
    """(price - real) / price; the price is the plan's own."""
    session = at("paint.squeezed", {"stocks.rust.dye": "0.30"})
    found = counted(session)
    total = found.row("total")
    price = session.state.worksheet.figure("price.suggested").value
    assert total is not None and total.planned == pytest.approx(price * 0.6) and total.real != total.planned
    parts = [row.real for row in found.rows if row.id not in ("total", "per_100g")]
    assert total.real == pytest.approx(sum(parts))
    assert found.margin_percent == pytest.approx((price - total.real) / price * 100)
    text = "\n".join("".join(span[0] for span in line) for line in cost_rows(session.state))
    assert "in EUR" in text and "planned" in text and f"margin at {price:.2f} EUR: " in text
    assert max(len(line) for line in text.splitlines()) <= 76
    shown = json.loads(session_json(ReadSession("s.jsonl", session.state)))["cost"]
    assert shown["currency"] == "EUR" and shown["price_suggested"] == price
    assert {row["id"]: row["real"] for row in shown["rows"]}["total"] == pytest.approx(total.real)


def test_a_lot_that_costs_more_than_its_price_is_a_loss(at):
    """Sixty times the dye, at 0.30 a gram: no margin of less than nothing is told."""
    session = at("paint.squeezed", {"stocks.rust.dye": "200"})
    found = counted(session)
    total, price = found.row("total"), found.price
    assert total is not None and price is not None and total.real > price
    text = "\n".join("".join(span[0] for span in line) for line in cost_rows(session.state))
    assert (
        f"loss at {price:.2f} EUR: {total.real - price:.2f} EUR" in text and "-" not in text.splitlines()[-1]
    )


def test_a_part_without_a_price_is_named_and_leaves_no_margin(at):
    studio = msgspec.structs.replace(SHELF.studio, hourly_rate=None)
    session = at("paint.squeezed", None, priced(msgspec.structs.replace(SHELF, studio=studio)))
    found = counted(session)
    assert found.row("labour") is None and found.margin_percent is None
    text = "\n".join("".join(span[0] for span in line) for line in cost_rows(session.state))
    assert "your hourly rate" in text


def test_a_session_without_prices_has_no_cost(exactly_at):
    state = exactly_at("paint.squeezed").state
    assert real_cost(state) is None and [*cost_rows(state)] == []
    assert json.loads(session_json(ReadSession("s.jsonl", state)))["cost"] is None


def test_packets_beside_each_other_are_steamed_once(at, walk, clock):
    """Two more go in at minutes 5 and 10 of a set of half an hour and stay until minute 40: 40 min, not 95."""
    session = at("steam.hold")
    set_min = session.state.timers["steam"].minutes
    for label in ("second", "third"):
        clock.advance(5 * 60)
        session.do(c.PacketIn(label))
    clock.advance((set_min - 10) * 60)
    session.do(c.Close("steam.hold"))
    clock.advance((40 - set_min) * 60)
    for packet in ("packet-2", "packet-3"):
        session.do(c.PacketOut(packet))
    assert min_in_steam(session.state) == pytest.approx(40.0)


def test_a_ready_liquid_costs_by_the_stock_made_of_it(at):
    """12 mL of 2 % for 24 mL of 1 %; 30 mL made take 15 mL x 0.30 = 4.50."""
    settled = priced(text=PLAN.replace('dye = "rust"', 'dye = "bottle"'))
    session = at("paint.squeezed", {"stocks.rust.volume": "30"}, settled)
    assert part(session, "dye").real == pytest.approx(4.5 + 0.24 * 0.4)


def test_a_base_costs_by_the_piece_whatever_it_weighs(at):
    """A skein of 104 g was bought as one; 100 g of it cost less."""
    session = at("presoak.water", {"ready.weight": "104"})
    assert part(session, "base").real == pytest.approx(11.5)
    assert part(session, "per_100g").real == pytest.approx(part(session, "total").real / 1.04)


def test_what_goes_into_paint_goes_in_once_and_is_counted_with_what_was_mixed_later(worked_at) -> None:
    """100 g take 100 mL on 80 g; rust 40 % of it, 40 x 1.2 = 48 mL, at 5 mL in 100 mL holds 2.4 mL of acid.

    And at 0.5 g in 100 mL 0.24 g of guar, which takes up 0.16 mL of the jar.
    """
    soured = PLAN.replace('acid_amount = "40 mL"\n', 'acid_amount = "40 mL"\npaint_acid = "5 mL"\n')
    gum = 'title = "e"\nthicken = { with = "tub", strength = "0.5 %" }\n'
    tub = ShelfThickener(name="tub", thickener="guar", price=Price(4.0, 100.0, "g"))
    shelf = msgspec.structs.replace(SHELF, thickeners=(tub,))
    settled = settle(read_plan(re.sub(r'title = ".*"\n', gum, soured, count=1), name="e"), shelf)
    session = worked_at("paint.kelp.mix", {"paint.rust.mix": "60"}, settled)
    poured = value_now(session.state, "paint.rust.acid")
    assert poured == pytest.approx(2.4), "a jar that was read fuller was not given more acid for it"
    session.do(c.Measure("paint.kelp.mix", "48", meant=True))
    (acid,) = [part for part in used_up(session.state) if part.kind == "acid"]
    assert acid.amount == pytest.approx(40 + 2 * 2.4)
    session.do(c.MixMore("rust", "10 mL", meant=True))
    (batch,) = session.state.kept(BatchMixed)
    sour, thick = batch.event.added
    assert (sour.amount, thick.amount) == pytest.approx((2.4 / 60 * 10, 0.24 / 60 * 10))
    assert batch.event.stock_ml + batch.event.water_ml + sour.ml + thick.ml == pytest.approx(10, abs=2e-4)
    assert thick.ml == pytest.approx(thick.amount / 1.5, abs=1e-4)
    assert "with 0.4 mL of vinegar and 0.04 g of tub" in batch.event.says(session.state)
    (acid,) = [part for part in used_up(session.state) if part.kind == "acid"]
    assert acid.amount == pytest.approx(40 + 2 * 2.4 + 0.4)
    (gum,) = [part for part in used_up(session.state) if part.kind == "thickener"]
    assert (gum.name, gum.amount) == ("tub", pytest.approx(2 * 0.24 + 0.04))
    assert part(session, "thickener").real == pytest.approx(gum.amount * 0.04)
