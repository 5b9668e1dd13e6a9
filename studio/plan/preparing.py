"""The first stages of the procedure: ready and presoak."""

from __future__ import annotations

from studio.plan.facts import ProcedureFacts
from studio.plan.lay import clock_id, laid_stage, step_id
from studio.plan.shapes import Stage, Step
from studio.plan.step_parts import near
from studio.quantity import show


def ready_stage(facts: ProcedureFacts) -> Stage:
    kit_rule = (
        "All dyes are food colours: use clean kitchen or dye kit, never one that has held other dye as well."
        if facts.food_only
        else "Every pot, jar, brush, spoon and steamer is kept for dyeing and never goes back to food."
    )
    jars = "jar and brush" if facts.bands else "jar"
    return laid_stage(
        "ready",
        Step(
            role="sound",
            kind="check",
            text="Sound the bell: you must hear it from where the pot stands.",
            done="Sound heard at the pot",
        ),
        Step(
            role="accept cautions",
            kind="gate",
            text="Read each warning of this plan and say why you go on.",
            done="Warnings taken on",
        )
        if facts.has_warnings
        else None,
        Step(
            role="kit",
            kind="gate",
            text=kit_rule,
            done="Kit is right for these dyes",
            critical=True,
        ),
        Step(
            role="open powder",
            kind="gate",
            text="Open dye powder only in a dust respirator and gloves, in still air, over damp paper.",
            done="Respirator and gloves on for powder",
            critical=True,
        )
        if facts.any_powder
        else Step(
            role="gloves",
            kind="check",
            text="Gloves and apron on; no open powder in this session.",
            done="Gloves and apron on",
        ),
        Step(
            role="room",
            kind="check",
            text="Air moves, hob is clear, children and animals are out, no food or drink on the bench.",
            done="Room is ready",
        ),
        Step(
            role="label jars",
            kind="check",
            text=f"Each {jars} has its colour's label before anything goes in.",
            done="Jars and brushes labelled" if facts.bands else "Jars labelled",
        ),
        Step(
            role="dry weight",
            kind="measure",
            text="Weigh the dry fibre.",
            done="Dry fibre weighed",
            quantity="mass",
            unit="g",
            figures=("fibre.dyeable",),
            sets="fibre.weight",
            **near(facts.dry_weight_g),
        ),
    )


def presoak_stage(facts: ProcedureFacts) -> Stage:
    acid = None
    if facts.acid_amount > 0 and facts.presoak_ph is not None:
        liquid = facts.acid_state == "liquid"
        acid = Step(
            role="acid",
            kind="measure",
            text=f"Measure {facts.acid_name} and pour it into the water, never water into acid.",
            done="Acid in the water",
            critical=facts.acid_strong,
            quantity="volume" if liquid else "mass",
            unit="mL" if liquid else "g",
            figures=("presoak.acid", "presoak.ph", "presoak.bound"),
            sets="presoak.acid",
            **near(facts.acid_amount),
        )
    return laid_stage(
        "presoak",
        Step(
            role="soak water",
            kind="measure",
            text=f"Pour lukewarm water, about {show(facts.presoak_c, 'degC')}, into the soaking basin.",
            done="Soaking water poured",
            quantity="volume",
            unit="mL",
            after=(step_id("ready", "dry weight"),),
            figures=("presoak.water",),
            sets="presoak.water",
            **near(facts.presoak_water_ml),
        ),
        acid,
        Step(
            role="pH",
            kind="measure",
            text="Read the pH with a strip or meter.",
            done="pH of the soak read",
            quantity="ph",
            unit="pH",
            expected=round(facts.presoak_ph, 2),
            low=max(0.0, round(facts.presoak_ph - 1, 2)),
            high=min(14.0, round(facts.presoak_ph + 1, 2)),
            figures=("presoak.ph",),
            sets="presoak.ph",
        )
        if facts.presoak_ph is not None
        else None,
        Step(
            role="into the soak",
            kind="do",
            text="Lower the fibre in and press the air out gently until it sinks.",
            done="Fibre in the soak",
            starts=clock_id("soak"),
            figures=("presoak.time",),
        ),
        Step(
            role="soaking",
            kind="wait",
            text="Let it soak until it is wet to the core.",
            done="Fibre wetted out",
            timer=clock_id("soak"),
            figures=("presoak.time",),
        ),
    )
