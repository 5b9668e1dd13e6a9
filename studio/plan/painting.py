"""The stages at the work surface and at the pot: paint and steam."""

from __future__ import annotations

from studio.plan.facts import ColourFacts, ProcedureFacts
from studio.plan.lay import clock_id, laid_stage, step_id
from studio.plan.shapes import Stage, Step
from studio.plan.step_parts import near
from studio.quantity import show


def paint_stage(facts: ProcedureFacts, last_stock: str) -> Stage:
    mixes = [_mix(colour) for colour in facts.colours]
    return laid_stage(
        "paint",
        Step(
            role="squeeze",
            kind="measure",
            text="Squeeze the fibre, without wringing, and weigh it wet.",
            done="Fibre squeezed and weighed",
            quantity="mass",
            unit="g",
            expected=facts.squeezed_g,
            low=round(facts.dry_weight_g, 1),
            high=round(facts.dry_weight_g * 4, 1),
            after=(step_id("presoak", "soaking"), last_stock),
            figures=("paint.held", "paint.capacity"),
            sets="paint.squeezed",
        ),
        *mixes,
        Step(
            role="paint",
            kind="do",
            text=f"{_lay_out(facts)} and paint, in any order: {facts.bands}.",
            done="All bands painted",
            figures=tuple(
                f"paint.{colour.slug}.{what}"
                for colour in facts.colours
                for what in ("apply" if facts.pieces == 1 else "each", "depth")
            ),
        ),
        Step(
            role="wrap",
            kind="do",
            text=(
                "Blot stray liquid, fold the film over, roll it up without squeezing: pressure drives colour "
                "into its neighbour."
                if facts.shape == "roll"
                else "Blot stray liquid and fold the film into a flat, closed packet without pressing it."
            ),
            done="Wrapped and closed",
        ),
    )


def _lay_out(facts: ProcedureFacts) -> str:
    if facts.pieces == 1:
        return "Lay it out flat on film"
    return f"Lay each of the {facts.pieces} pieces out flat on a film of its own"


def mix_text(name: str, stock_ml: float, water_ml: float) -> str:
    """What to pour together for a colour, and what is asked for."""
    if water_ml > 0.05 and stock_ml > 0:
        parts = f"{show(stock_ml, 'mL')} of stock and {show(water_ml, 'mL')} of water."
    else:
        parts = "its liquid is ready as mixed; stir it."
    return f"Mix the paint for {name}: {parts} How much is in the jar?"


def _poured(colour: ColourFacts) -> tuple[str, ...]:
    """The stocks that go into a colour's paint; drops are counted into the jar itself."""
    if any(stock.form == "drops" for stock in colour.stocks):
        return ()
    total = f"paint.{colour.slug}.stock"
    if len(colour.stocks) == 1:
        return (total,)
    return tuple(f"{total}.{stock.slug.removeprefix(f'{colour.slug}.')}" for stock in colour.stocks)


def _mix(colour: ColourFacts) -> Step:
    return Step(
        role="mix",
        of=colour.slug,
        kind="measure",
        text=mix_text(colour.name, colour.stock_ml, colour.water_ml),
        done=f"Paint for {colour.name} mixed",
        quantity="volume",
        unit="mL",
        figures=(
            f"paint.{colour.slug}.liquid",
            f"paint.{colour.slug}.stock",
            f"paint.{colour.slug}.water",
        ),
        sets=f"paint.{colour.slug}.liquid",
        fixes=_poured(colour),
        **near(colour.liquid_ml),
    )


def steam_stage(facts: ProcedureFacts) -> Stage:
    return laid_stage(
        "steam",
        Step(
            role="pot water",
            kind="measure",
            text="Pour the pot water; the rack must stand clear above it.",
            done="Pot water in",
            quantity="volume",
            unit="mL",
            after=(step_id("paint", "wrap"),),
            sets="set.pot_water",
            figures=("set.pot_water", "set.boil_off", "set.pot_lasts", "set.rounds"),
            **near(facts.pot_water_ml),
        ),
        Step(
            role="safe heat",
            kind="gate",
            text="Steam burns: lid opens away from you, dry mitts and tongs to hand, sleeves down, nobody beside it.",
            done="Lid, mitts and tongs ready",
            critical=True,
        ),
        Step(
            role="heat on",
            kind="do",
            text="Packet on the rack, lid on, heat on."
            if facts.pieces == 1
            else f"First packet on the rack, lid on, heat on; P keeps a clock for each of the other "
            f"{facts.pieces - 1}.",
            done="Pot on",
        ),
        Step(
            role="steam rolling",
            kind="do",
            text="Wait until steam rolls steadily from under the lid; only then does the set begin.",
            done="Steam is rolling",
            critical=True,
            starts=clock_id("hold", "steam"),
            figures=("set.hold", "set.heat_through", "set.boiling_point"),
        ),
        Step(
            role="hold",
            kind="wait",
            text="Keep the steam rolling with the lid on.",
            done="Set held",
            timer=clock_id("hold", "steam"),
            figures=("set.hold", "set.heat_through"),
        ),
        Step(
            role="heat off",
            kind="do",
            text="Heat off. Open the lid away from you and let the steam go.",
            done="Heat off, lid opened away",
        ),
        Step(
            role="out",
            kind="do",
            text="Lift the packet out with tongs and set it down, still wrapped.",
            done="Packet out, still wrapped",
            starts=clock_id("cool"),
        ),
        heat=True,
    )
