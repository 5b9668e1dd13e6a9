"""The colours of a repeat: jars as strong as they really were, depth and drops as they came out."""

from __future__ import annotations

from collections.abc import Mapping

from studio.plan.model import ColourPlan, Plan
from studio.plan.plan_text import PlanText, Table, put
from studio.plan.repeat_facts import ColourDone, Done
from studio.quantity import show

DIGITS = 5
AS_PLANNED = 5e-4
"""Relative: a jar this near to the plan, or nearer, is written as the plan has it. House rule."""


def write_colours(new: PlanText, planned: Plan, done: Done, on_fibre: Mapping[str, float]) -> None:
    """Strength, depth, drops and liquid of every colour, as done.

    on_fibre: for each colour by name, its fibre now over its fibre then; liquid that was written follows it.

    The stock that was poured is the plan's, so the depth that came of it is the planned depth times the
    strength of the jar over the planned one, times the planned weight over the weighed one.
    """
    for table, colour in zip(new.colours(), planned.colours, strict=True):
        made = done.colour(colour.slug)
        if colour.liquid is not None:
            mixed_ml = (made.mixed_ml if made is not None else None) or colour.liquid.value
            put(table, "liquid", show(mixed_ml * on_fibre[colour.name], "mL", DIGITS))
        if made is None:
            continue
        if colour.drops is not None:
            _drops(table, colour, made)
        else:
            _stocks(table, colour, made, _weight_ratio(done))


def _weight_ratio(done: Done) -> float:
    """Planned weight over the weighed one: on more fibre the same dye is paler."""
    return done.planned_dry_g / done.dry_g if done.planned_dry_g and done.dry_g else 1.0


def _drops(table: Table, colour: ColourPlan, made: ColourDone) -> None:
    """As many drops in the plan's measure of water as there were in what was mixed."""
    if made.drops and made.mixed_ml and colour.drops and colour.drops_in is not None:
        drops = made.drops * colour.drops_in.value / made.mixed_ml
        if abs(drops / colour.drops - 1) > AS_PLANNED:
            put(table, "drops", float(f"{drops:.4g}"))


def _stocks(table: Table, colour: ColourPlan, made: ColourDone, weight_ratio: float) -> None:
    ratios = [_ratio(r, p) for r, p in zip(made.real_percent, made.planned_percent, strict=True)]
    if colour.mix:
        depth_ratio = _mixed(table, colour, made, ratios)
    else:
        depth_ratio = ratios[0]
        if ratios[0] != 1.0:
            put(table, "stock", show(made.real_percent[0] or 0.0, "%", DIGITS))
    if colour.depth is not None and abs(depth_ratio * weight_ratio - 1) > AS_PLANNED:
        put(table, "depth", show(colour.depth.value * depth_ratio * weight_ratio, "%", DIGITS))


def _ratio(real: float | None, planned: float | None) -> float:
    """Strength as made over strength as planned; 1 where it is not known or as good as planned."""
    if real is None or not planned:
        return 1.0
    return real / planned if abs(real / planned - 1) > AS_PLANNED else 1.0


def _mixed(table: Table, colour: ColourPlan, made: ColourDone, ratios: list[float]) -> float:
    """Write each jar of a mixture and the shares that came of them; how much dye there was in all."""
    if all(ratio == 1.0 for ratio in ratios):
        return 1.0
    shares = [p.share_percent * r for p, r in zip(colour.mix, ratios, strict=True)]
    total = sum(shares)
    for part, share, real, ratio in zip(table["mix"], shares, made.real_percent, ratios, strict=True):
        put(part, "share", show(100 * share / total, "%", DIGITS))
        if ratio != 1.0 and real is not None:
            put(part, "stock", show(real, "%", DIGITS))
    return total / sum(p.share_percent for p in colour.mix)
