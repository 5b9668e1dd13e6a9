"""The bath of a kettle made ready: water, acid, dye, and the fibre that goes in."""

from __future__ import annotations

from studio.plan.facts import KettleFacts, ProcedureFacts
from studio.plan.lay import laid_stage, step_id
from studio.plan.shapes import Stage, Step
from studio.plan.step_parts import near
from studio.quantity import show

NEAR_START_C = 5.0
"""So far from its start the bath may be when the fibre goes in. House rule."""


def bath_stage(facts: ProcedureFacts, kettle: KettleFacts, last_stock: str) -> Stage:
    colour = facts.colours[0]
    part_ml = kettle.dye_ml / kettle.parts
    which = "" if kettle.parts == 1 else f"the first of {kettle.parts} parts of "
    return laid_stage(
        "bath",
        Step(
            role="bath water",
            kind="measure",
            text=f"Pour the bath into the dye pot, about {show(kettle.start_c, 'degC')}; the heat stays off.",
            done="Bath water poured",
            quantity="volume",
            unit="mL",
            after=(step_id("ready", "dry weight"),),
            figures=("kettle.bath", "kettle.water"),
            sets="kettle.water",
            **near(kettle.fill_ml),
        ),
        Step(
            role="salt",
            kind="measure",
            text="Weigh Glauber's salt and stir it in until it is gone.",
            done="Salt in the bath",
            quantity="mass",
            unit="g",
            figures=("kettle.salt",),
            sets="kettle.salt",
            **near(kettle.salt_g),
        )
        if kettle.salt_g > 0
        else None,
        acid_step(facts, kettle.acid_first, "Half of it now" if kettle.acid_rest > 0 else "All of it")
        if kettle.acid_first > 0
        else None,
        Step(
            role="dye in",
            kind="measure",
            text=f"Pour {which}the dye for {colour.name} in and stir well, before the fibre is in.",
            done="Dye in the bath",
            quantity="volume",
            unit="mL",
            after=(last_stock,),
            figures=("kettle.dye", "kettle.part.1"),
            sets="kettle.dye" if kettle.parts == 1 else "kettle.part.1",
            **near(part_ml),
        ),
        Step(
            role="pH",
            kind="measure",
            text="Read the pH of the bath with a strip or meter; a dyed strip is read at its edge.",
            done="pH of the bath read",
            quantity="ph",
            unit="pH",
            expected=round(kettle.ph, 2),
            low=max(0.0, round(kettle.ph - 1, 2)),
            high=min(14.0, round(kettle.ph + (2 if kettle.acid_rest > 0 else 1), 2)),
            figures=("kettle.ph.first", "kettle.ph"),
            sets="kettle.ph.first" if kettle.acid_rest > 0 else "kettle.ph",
        ),
        Step(
            role="bath temperature",
            kind="measure",
            text="Measure the bath: as warm as the wetted fibre, so that it neither felts nor strikes at once.",
            done="Bath temperature read",
            quantity="temperature",
            unit="degC",
            expected=kettle.start_c,
            low=max(0.0, kettle.start_c - NEAR_START_C),
            high=kettle.start_c + NEAR_START_C,
            figures=("kettle.start",),
            sets="kettle.start",
        ),
        Step(
            role="into the bath",
            kind="do",
            text="Lift the fibre out of the soak, let it drip, and lower it into the bath all at once; move it gently.",
            done="Fibre in the bath",
            after=(step_id("presoak", "soaking"),),
        ),
    )


def acid_step(facts: ProcedureFacts, amount: float, which: str, *, later: bool = False) -> Step:
    """All of the acid or its first half into the bath; `later`: the rest, beside the fibre."""
    liquid = facts.acid_state == "liquid"
    how = (
        "draw the fibre aside, pour it in clear of it and move it through."
        if later
        else "pour it into the water, never water into acid."
    )
    staged = facts.kettle is not None and facts.kettle.acid_rest > 0
    return Step(
        role="acid",
        once=later,
        kind="measure",
        text=f"{which}: measure {facts.acid_name}{',' if later else ' and'} {how}",
        done="Rest of the acid in" if later else "Acid in the bath",
        critical=facts.acid_strong,
        quantity="volume" if liquid else "mass",
        unit="mL" if liquid else "g",
        figures=("kettle.acid", "kettle.ph") if later else ("kettle.acid", "kettle.acid.first", "kettle.ph"),
        sets="kettle.acid.rest" if later else "kettle.acid.first" if staged else "kettle.acid",
        **near(amount),
    )
