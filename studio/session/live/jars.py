"""What really is in the jar: the powder weighed over the volume poured."""

from __future__ import annotations

from dataclasses import dataclass

from studio.craft.jar import (
    LOT_LIMIT_PERCENT,
    depth_if_left_percent,
    dye_to_add_g,
    is_another_lot,
    lot_difference_percent,
    water_to_add_ml,
)
from studio.craft.shade import jar_strength_percent
from studio.plan.facts import ColourFacts, StockFacts
from studio.plan.shapes import Figure
from studio.quantity import show
from studio.session.live.given import NOTHING, Thought, facts_of, measured, warning
from studio.session.state import State

SOURCE = "per cent of stock = g of dye in 100 mL made up: common practice"


@dataclass(frozen=True, slots=True)
class RealJar:
    """One powder stock as it was made."""

    colour: ColourFacts
    stock: StockFacts
    dye_g: float
    volume_ml: float
    strength_percent: float


def real_jars(state: State) -> tuple[RealJar, ...]:
    """Every powder stock whose dye and volume were both measured."""
    known = facts_of(state)
    if known is None:
        return ()
    found = []
    for colour in known[0].colours:
        for stock in colour.stocks:
            dye = measured(state, f"stocks.{stock.slug}.dye")
            volume = measured(state, f"stocks.{stock.slug}.volume")
            if dye and volume:
                found.append(RealJar(colour, stock, dye, volume, jar_strength_percent(dye, volume)))
    return tuple(found)


def think_jars(state: State) -> Thought:
    """Real strength of each jar; what brings it back, and the depth that results if it is left."""
    thought = NOTHING
    for jar in real_jars(state):
        thought = thought + _jar(jar)
    return thought


def _jar(jar: RealJar) -> Thought:
    name = f"{jar.stock.dye} for {jar.colour.name}"
    figure = Figure(
        id=f"live.stock.{jar.stock.slug}.strength",
        value=jar.strength_percent,
        unit="%",
        label=f"really in the jar of {jar.colour.name}",
        because=f"{jar.dye_g:g} g / {jar.volume_ml:g} mL x 100 = {jar.strength_percent:.4g} %",
        origin="measured",
        source=SOURCE,
    )
    wanted = jar.stock.strength_percent
    if wanted is None or not is_another_lot(wanted, jar.strength_percent):
        return Thought((figure,))
    off = lot_difference_percent(wanted, jar.strength_percent)
    how = f"{show(abs(off), '%')} {'stronger' if off > 0 else 'weaker'} than"
    if jar.strength_percent > wanted:
        mend = f"add {show(water_to_add_ml(jar.dye_g, jar.volume_ml, wanted), 'mL')} of water"
    else:
        mend = f"add {show(dye_to_add_g(jar.dye_g, jar.volume_ml, wanted), 'g')} of dye"
    left = ""
    if jar.colour.depth_percent:
        depth = depth_if_left_percent(jar.strength_percent, _on_fibre_ml(jar, wanted), jar.colour.fibre_g)
        left = f"; left as it is the depth comes to {show(depth, '%')}"
    text = f"{name} is {how} the planned {show(wanted, '%')}: {mend}{left}."
    rule = f"house rule: jars more than {LOT_LIMIT_PERCENT:g} % apart are different lots"
    return Thought((figure,), (warning(f"stock.{jar.stock.slug}", text, rule),))


def _on_fibre_ml(jar: RealJar, wanted_percent: float) -> float:
    """Stock that lands on the fibre when it is poured as planned, without the reserve."""
    depth = (jar.colour.depth_percent or 0.0) * jar.stock.share
    return jar.colour.fibre_g * depth / wanted_percent


def strength_of(state: State, slug: str) -> float | None:
    """Strength of a stock: as made, else as planned."""
    jar = next((j for j in real_jars(state) if j.stock.slug == slug), None)
    if jar is not None:
        return jar.strength_percent
    known = facts_of(state)
    stocks = [s for c in known[0].colours for s in c.stocks] if known else []
    return next((s.strength_percent for s in stocks if s.slug == slug), None)
