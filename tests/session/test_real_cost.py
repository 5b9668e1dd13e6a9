"""What a session really cost, by hand; what stands in for what was not measured; hands-on time between ticks."""

from __future__ import annotations

import json
from collections.abc import Callable

import msgspec
import pytest

from studio.plan.cost_facts import CostFacts, DyePrice
from studio.plan.shapes import Figure
from studio.report.cost_rows import cost_section
from studio.report.session_json import session_json
from studio.session import commands as c
from studio.session.bench_totals import min_in_steam
from studio.session.hands_on import hands_on, hands_on_min
from studio.session.real_cost import CostRow, RealCost, real_cost
from studio.session.run import Running

COST = CostFacts(
    currency="EUR",
    pieces=1.0,
    base_money=11.5,
    acid_per_unit=0.001,
    dyes=(
        DyePrice(slug="rust", colour="rust", per_unit=0.3, unit="g", planned=0.24),
        DyePrice(slug="kelp", colour="kelp", per_unit=0.4, unit="g", planned=0.24),
    ),
    energy_price=0.3,
    heat_up_kwh=0.25,
    heater_w=1000.0,
    efficiency=0.8,
    hold_min=36.0,
    hourly_rate=18.0,
    hands_on_min=80.0,
)


@pytest.fixture
def at(exactly_at, facts_of, sheet_of) -> Callable[..., Running]:
    """A session with prices at a step, reached with planned values but for those given."""

    def reached(step_id: str, given: dict[str, str] | None = None, **facts: object) -> Running:
        return exactly_at(step_id, given, sheet_of(facts_of(**{"cost": COST, **facts})))

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
        assert not part(session, name).measured, name
    # 0.25 kWh + 1 kW x 36 min = 0.85 kWh at 0.30.
    assert part(session, "energy").real == pytest.approx(0.85 * 0.3)
    assert part(session, "acid").real == pytest.approx(40 * 0.001)


def test_energy_by_the_steam_that_ran_was_lost_and_was_filled_up(at, walk, clock):
    """36 min held, 4 min without steam; half a litre from 20 to 100 degC: 500 x 4.19 x 80 / 0.8 / 3.6e6 kWh."""
    session = at("steam.hold")
    clock.advance(600)
    session.do(c.ToggleSteam())
    clock.advance(240)
    session.do(c.ToggleSteam())
    session.do(c.Refill("500 mL"))
    walk(session, "steam.off")
    row = part(session, "energy")
    filled_kwh = 500 * 4.19 * 80 / 0.8 / 3.6e6
    assert row.real == pytest.approx((0.25 + filled_kwh + 40 / 60) * 0.3)
    assert row.measured


def test_paint_mixed_later_takes_more_dye(at):
    """24 mL of stock were planned for rust; 8 mL more in its proportions are a third more of its 0.24 g."""
    session = at("paint.apply")
    before = part(session, "dye").real
    session.do(c.MixMore("rust", "16 mL"))
    batch = session.state.batches[-1]
    more = 0.24 * 0.3 * batch.stock_ml / 24.0
    assert before is not None and part(session, "dye").real == pytest.approx(before + more)
    assert batch.stock_ml > 0


def test_labour_is_the_time_between_ticks_and_a_break_counts_for_twenty_minutes(at, clock):
    """3 min to weigh the fibre, then an hour to the water, of which 20 min count: 23 min at 18 an hour."""
    session = at("ready.weight")
    assert hands_on_min(session.state) == 0.0
    clock.advance(180)
    session.do(c.Measure("ready.weight", "100 g", True))
    clock.advance(3600)
    session.do(c.Measure("presoak.water", "2000 mL", True))
    assert [(s.stage, s.minutes) for s in hands_on(session.state)] == [("ready", 3.0), ("presoak", 20.0)]
    assert part(session, "labour").real == pytest.approx(23 / 60 * 18)


def test_a_soak_is_no_work_but_what_is_done_meanwhile_is(at, walk, clock):
    """4 min of the half hour go to the first jar; the rest of it is waited for."""
    session = at("presoak.in")
    session.do(c.Close("presoak.in"))
    clock.advance(240)
    session.do(c.Measure("stocks.rust.dye", "0.24 g", True))
    walk(session, "paint.squeezed")
    assert session.state.step("presoak.wait").closed
    assert {s.stage: s.minutes for s in hands_on(session.state)} == {
        "ready": 0.0,
        "presoak": 0.0,
        "stocks": 4.0,
    }


def test_the_boil_and_the_cooling_are_waited_for(at, walk, clock):
    session = at("steam.rolling")
    before = hands_on_min(session.state)
    clock.advance(15 * 60)
    session.do(c.Close("steam.rolling"))
    walk(session, "cool.temperature")
    clock.advance(10 * 60)
    session.do(c.Measure("cool.temperature", "38 C", True))
    assert hands_on_min(session.state) == pytest.approx(before)


def figures() -> tuple[Figure, ...]:
    made = {"unit": "1", "because": "b", "origin": "yours", "source": "s", "currency": "EUR"}
    values = {"cost.base": 11.5, "cost.total": 36.0, "cost.per_100g": 36.0, "price.suggested": 60.0}
    return tuple(Figure(id=name, value=value, label=name, **made) for name, value in values.items())


def test_what_the_suggested_price_leaves(exactly_at, facts_of, sheet_of):
    """(60 - real) / 60 of the price."""
    import msgspec

    sheet = msgspec.structs.replace(sheet_of(facts_of(cost=COST)), figures=figures())
    session = exactly_at("paint.squeezed", None, sheet)
    found = counted(session)
    total = found.row("total")
    assert total is not None and total.real is not None and total.planned == 36.0
    parts = [row.real for row in found.rows if row.id not in ("total", "per_100g")]
    assert total.real == pytest.approx(sum(parts))
    assert found.margin_percent == pytest.approx((60 - total.real) / 60 * 100)
    text = "\n".join("".join(span[0] for span in line) for line in cost_section(session.state).rows)
    assert "in EUR" in text and "planned" in text and "60.00 EUR suggested" in text
    assert max(len(line) for line in text.splitlines()) <= 76
    shown = json.loads(session_json(session.state, "s.jsonl", (), ()))["cost"]
    assert shown["currency"] == "EUR" and shown["price_suggested"] == 60.0
    assert {row["id"]: row["real"] for row in shown["rows"]}["total"] == pytest.approx(total.real)


def test_a_part_without_a_price_is_named_and_leaves_no_margin(at):
    from msgspec.structs import replace

    cost = replace(COST, hourly_rate=None, missing=("labour (hourly_rate)",))
    session = at("paint.squeezed", cost=cost)
    found = counted(session)
    assert found.row("labour") is None and found.margin_percent is None
    text = "\n".join("".join(span[0] for span in line) for line in cost_section(session.state).rows)
    assert "without labour (hourly_rate)" in text


def test_a_session_without_prices_has_no_cost(exactly_at):
    state = exactly_at("paint.squeezed").state
    assert real_cost(state) is None and cost_section(state).rows == ()
    assert json.loads(session_json(state, "s.jsonl", (), ()))["cost"] is None


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


def test_a_ready_liquid_costs_by_the_stock_made_of_it(at, colour_of, stock_of):
    """12 mL off the shelf for 24 mL of stock; 30 mL made take 12 x 30 / 24 = 15 mL x 0.30 = 4.50."""
    rust = DyePrice(slug="rust", colour="rust", per_unit=0.3, unit="mL", planned=12.0)
    kelp = DyePrice(slug="kelp", colour="kelp", per_unit=0.4, unit="g", planned=0.24)
    session = at(
        "paint.squeezed",
        {"stocks.rust.volume": "30"},
        cost=msgspec.structs.replace(COST, dyes=(rust, kelp)),
        colours=(colour_of("rust", stock_of("rust", form="liquid", dye_g=None)), colour_of("kelp")),
    )
    assert part(session, "dye").real == pytest.approx(4.5 + 0.24 * 0.4)
