"""What really is in a jar of paint: the dye that went in over all that was mixed."""

from __future__ import annotations

from dataclasses import dataclass

from studio.craft.jar import is_another_lot
from studio.plan.facts import ColourFacts
from studio.plan.shapes import Figure
from studio.quantity import show
from studio.session.live.given import NOTHING, Thought, facts_of, measured, warning
from studio.session.live.jars import strength_of
from studio.session.live.paint_room import mixes
from studio.session.state import State

SOURCE = "conservation of mass"


@dataclass(frozen=True, slots=True)
class Paint:
    """Paint of one colour: what was mixed, and the stock in it."""

    ml: float
    stock_ml: float
    dye_g: float

    @property
    def strength_percent(self) -> float:
        """g of dye in 100 mL of paint."""
        return 100.0 * self.dye_g / self.ml


def stock_made_ml(state: State, colour: ColourFacts) -> float:
    """All stock of a colour as it was made up, else as planned."""
    return sum(measured(state, f"stocks.{s.slug}.volume") or s.volume_ml for s in colour.stocks)


def stock_percent(state: State, colour: ColourFacts) -> float | None:
    """Strength of a colour's stocks together, by volume, as they were made; None where one is not known."""
    known = [(strength_of(state, s.slug), s.volume_ml) for s in colour.stocks]
    volume = sum(ml for _, ml in known)
    if volume <= 0 or any(strength is None for strength, _ in known):
        return None
    return sum((strength or 0.0) * ml for strength, ml in known) / volume


def paint_now(state: State, colour: ColourFacts) -> Paint | None:
    """The paint that was mixed of a colour, later batches included; None before, and where no strength is known."""
    first_ml, strength = measured(state, f"paint.{colour.slug}.mix"), stock_percent(state, colour)
    if not first_ml or strength is None:
        return None
    stock = min(colour.stock_ml, stock_made_ml(state, colour), first_ml)
    batches = [b for b in state.batches if b.colour == colour.slug]
    dye_g = stock * strength / 100 + sum(
        b.stock_ml * (strength if b.strength_percent is None else b.strength_percent) / 100 for b in batches
    )
    return Paint(first_ml + sum(b.ml for b in batches), stock + sum(b.stock_ml for b in batches), dye_g)


def think_strength(state: State) -> Thought:
    """Strength of each paint as it was mixed; where that is another than the fibre needs, the depth that results."""
    known = facts_of(state)
    thought = NOTHING
    for colour in known[0].colours if known else ():
        thought = thought + _strength(state, colour)
    return thought


def _strength(state: State, colour: ColourFacts) -> Thought:
    known, paint, stock = facts_of(state), paint_now(state, colour), stock_percent(state, colour)
    mix = next((m for m in mixes(state) if m.colour.slug == colour.slug), None)
    if known is None or paint is None or mix is None or stock is None or mix.liquid_ml <= 0:
        return NOTHING
    strength, wanted = paint.strength_percent, stock * mix.stock_ml / mix.liquid_ml
    figure = Figure(
        id=f"live.paint.{colour.slug}.strength",
        value=strength,
        unit="%",
        label=f"strength of the paint, {colour.name}",
        because=f"{show(paint.dye_g, 'g')} of dye in {show(paint.ml, 'mL')} x 100 = {show(strength, '%')}",
        origin="measured",
        source=SOURCE,
    )
    if wanted <= 0 or strength <= 0 or not is_another_lot(wanted, strength):
        return Thought((figure,))
    on_ml = mix.liquid_ml / (1 + known[1].reserve_percent / 100)
    depth, planned = (percent * on_ml / colour.fibre_g for percent in (strength, wanted))
    text = (
        f"The paint of {colour.name} is {show(strength, '%')} and not {show(wanted, '%')}: painted as planned, its "
        f"depth comes to {show(depth, '%')} and not {show(planned, '%')}."
    )
    name = "weak" if strength < wanted else "strong"
    return Thought((figure,), (warning(f"paint.{colour.slug}.{name}", text, SOURCE),))
