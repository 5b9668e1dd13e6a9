"""What was really done in a session, as far as it was measured: the material of a repeat."""

from __future__ import annotations

from studio.plan.facts import ColourFacts
from studio.plan.repeat_facts import BandDone, ColourDone, Done
from studio.session.bench_totals import steam_lost_min
from studio.session.live.bath import acid_in_bath
from studio.session.live.given import heat_stage, measured
from studio.session.live.jars import real_jars
from studio.session.live.painting import bands_of
from studio.session.state import State


def really_done(state: State) -> Done:
    """Weights, acid, soak, jars, paint, hold and pot water as measured; None for each that was not.

    The hold is that of the first set, without the time in which there was no steam. Values of a second
    set stay out; its number is kept.
    """
    facts = state.worksheet.facts
    if facts is None:
        return Done(dry_g=measured(state, "ready.weight"))
    names = {colour.slug: colour.name for colour in facts.colours}
    return Done(
        dry_g=measured(state, "ready.weight"),
        planned_dry_g=facts.dry_weight_g,
        squeezed_g=measured(state, "paint.squeezed"),
        soak_ml=measured(state, "presoak.water"),
        soak_ph=measured(state, "presoak.ph" if facts.kettle is None else "bath.ph"),
        soak_min=_ran_min(state, "presoak"),
        acid_amount=measured(state, "presoak.acid") if facts.kettle is None else acid_in_bath(state, facts),
        acid_unit="mL" if facts.acid_state == "liquid" else "g",
        hold_min=_held_min(state),
        lost_min=steam_lost_min(state),
        pot_ml=measured(state, "steam.water"),
        bath_ml=_bath_ml(state),
        filled_up_ml=sum(p.ml for p in state.refills),
        sets=state.sets,
        bands=tuple(
            BandDone(
                number=band.number,
                planned=band.plan.colour,
                painted=tuple(names.get(j, j) for j in band.jars),
            )
            for band in bands_of(state)
            if band.strange or len(band.coats) > 1
        ),
        colours=tuple(_colour(state, colour) for colour in facts.colours),
    )


def _held_min(state: State) -> float | None:
    """Steam, or the hold of a bath with what it was held on because it was not clear."""
    if heat_stage(state) != "heat":
        return _ran_min(state, "steam")
    held = [_ran_min(state, "hold"), _ran_min(state, "hold-more")]
    known = [minutes for minutes in held if minutes is not None]
    return sum(known) if known else None


def _bath_ml(state: State) -> float | None:
    """Water that was poured and the dye that went in with it."""
    water, facts = measured(state, "bath.water"), state.worksheet.facts
    if water is None or facts is None or facts.kettle is None:
        return None
    return water + facts.kettle.dye_ml


def _ran_min(state: State, timer_id: str) -> float | None:
    timer = state.timers.get(timer_id)
    if timer is None or timer.stopped_after_s is None:
        return None
    return timer.stopped_after_s / 60


def _colour(state: State, colour: ColourFacts) -> ColourDone:
    real = {jar.stock.slug: jar.strength_percent for jar in real_jars(state)}
    drops = colour.stocks[0].drops if len(colour.stocks) == 1 else None
    counted = measured(state, f"stocks.{colour.slug}.drops") if drops else None
    return ColourDone(
        slug=colour.slug,
        planned_percent=tuple(s.strength_percent for s in colour.stocks),
        real_percent=tuple(real.get(s.slug) for s in colour.stocks),
        mixed_ml=measured(state, f"paint.{colour.slug}.mix"),
        stock_ml=colour.stock_ml,
        drops=counted,
    )
