"""What a session really took off the shelf, part by part, as it was weighed, poured and counted."""

from __future__ import annotations

import msgspec

from studio.plan.errors import PlanError
from studio.plan.facts import ColourFacts, KettleFacts, ProcedureFacts, StockFacts
from studio.plan.figure_text import brief
from studio.plan.reading import read_plan
from studio.session.live.bath import acid_in_bath
from studio.session.live.jars import strength_of
from studio.session.state import State

WET = "presoak.in"
"""The step after which the fibre is no undyed base any more."""


class Part(msgspec.Struct, frozen=True, kw_only=True):
    """So much of one thing, taken at one place of the session."""

    id: str
    """The same whenever the session is read: `stock.rust`, `acid`, `base`."""
    name: str
    """As the plan calls it: a dye or a jar, an acid, a base."""
    amount: float
    unit: str
    """`g` or `mL`; of a base the g that were weighed."""
    because: str


def used_up(state: State) -> tuple[Part, ...]:
    """Dyes and jars stock by stock, then acid, then the base; what was skipped or never reached is left out.

    A value that was given up as not measured counts as planned, and says so.
    **Source:** the session's own values; paint mixed later is worked out from its jar's strength.
    """
    facts = state.worksheet.facts
    if facts is None:
        return ()
    parts: list[Part] = []
    for colour in facts.colours:
        for stock in colour.stocks:
            part = _stock(state, colour, stock)
            if part is not None:
                parts.append(part)
    parts.extend(_acid(state, facts))
    parts.extend(_base(state, facts))
    return tuple(part for part in parts if part.amount > 0)


def _given(state: State, step_id: str, planned: float) -> tuple[float, bool] | None:
    """The value of a step and whether it was measured; None where the step was not done."""
    record = state.step(step_id)
    if not record.closed or record.state == "skipped":
        return None
    return (planned, False) if record.value is None else (record.value, True)


def _stock(state: State, colour: ColourFacts, stock: StockFacts) -> Part | None:
    step, unit, planned, word = f"stocks.{stock.slug}.volume", "mL", stock.volume_ml, "poured"
    if stock.form == "powder":
        step, unit, planned, word = f"stocks.{stock.slug}.dye", "g", stock.dye_g or 0.0, "weighed"
    elif stock.form == "drops":
        step, planned, word = f"stocks.{stock.slug}.drops", stock.drops or 0.0, "counted"
    given = _given(state, step, planned)
    if given is None:
        return None
    value, measured = given
    amount = value * _per_unit(state, stock)
    told = f"{brief(value)} {'drops' if stock.form == 'drops' else unit} {word if measured else 'as planned'}"
    if stock.form != "powder" and abs(amount - value) > 1e-9:
        told += f", {brief(amount)} mL of it"
    later = _later(state, colour, stock)
    if later > 0:
        told += f", {brief(later)} {unit} for paint mixed later"
    return Part(
        id=f"stock.{stock.slug}",
        name=stock.dye,
        amount=amount + later,
        unit=unit,
        because=f"{told}, for {colour.name}",
    )


def _per_unit(state: State, stock: StockFacts) -> float:
    """g, or mL as it stands on the shelf, in one g, mL or drop as it was measured."""
    if stock.form == "powder":
        return 1.0
    if stock.form == "drops":
        return stock.volume_ml / stock.drops if stock.drops else 0.0
    from_jar = state.worksheet.figure(f"stock.{stock.slug}.from_jar")
    if from_jar is None or stock.volume_ml <= 0:
        return 1.0
    return from_jar.value / stock.volume_ml


def _later(state: State, colour: ColourFacts, stock: StockFacts) -> float:
    """The share of a stock in what was mixed of its colour later, as g of powder or mL off the shelf."""
    all_ml = sum(one.volume_ml for one in colour.stocks)
    if all_ml <= 0:
        return 0.0
    total = 0.0
    for batch in state.batches:
        if batch.colour != colour.slug:
            continue
        ml = batch.stock_ml * stock.volume_ml / all_ml
        if stock.form == "powder":
            strength = batch.strength_percent if len(colour.stocks) == 1 else strength_of(state, stock.slug)
            total += ml * (strength or 0.0) / 100.0
        elif stock.form == "drops":
            total += ml
        else:
            total += ml * _per_unit(state, stock)
    return total


def _acid(state: State, facts: ProcedureFacts) -> list[Part]:
    if facts.kettle is not None:
        return _acid_of_bath(state, facts, facts.kettle)
    given = _given(state, "presoak.acid", facts.acid_amount)
    if not facts.acid_name or given is None or state.find_step("presoak.acid") is None:
        return []
    value, measured = given
    unit = "mL" if facts.acid_state == "liquid" else "g"
    because = f"{brief(value)} {unit} {'measured' if measured else 'as planned'}, for the presoak"
    return [Part(id="acid", name=facts.acid_name, amount=value, unit=unit, because=because)]


def _acid_of_bath(state: State, facts: ProcedureFacts, kettle: KettleFacts) -> list[Part]:
    """First part, rest, and what was added because the bath would not clear."""
    unit = "mL" if facts.acid_state == "liquid" else "g"
    poured = []
    for step_id, planned in (("bath.acid", kettle.acid_first), ("heat.acid", kettle.acid_rest)):
        given = _given(state, step_id, planned) if state.find_step(step_id) is not None else None
        if given is not None:
            poured.append(f"{brief(given[0])} {unit} {'measured' if given[1] else 'as planned'}")
    amount = acid_in_bath(state, facts) or 0.0
    later = sum(dose.amount for dose in state.acid_doses)
    if later > 0:
        poured.append(f"{brief(later)} {unit} added later")
    because = f"{', '.join(poured)}, for the bath"
    return (
        [Part(id="acid", name=facts.acid_name, amount=amount, unit=unit, because=because)] if poured else []
    )


def _base(state: State, facts: ProcedureFacts) -> list[Part]:
    try:
        base = read_plan(state.plan_text, name="the plan of this session").fibre.base
    except PlanError:
        return []
    wetted = state.step(WET).closed or state.find_step(WET) is None
    given = _given(state, "ready.weight", facts.dry_weight_g)
    if not base or given is None or not wetted:
        return []
    value, measured = given
    because = f"{brief(value)} g {'weighed' if measured else 'as planned'}"
    return [Part(id="base", name=base, amount=value, unit="g", because=because)]
