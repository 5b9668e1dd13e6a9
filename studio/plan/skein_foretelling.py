"""What a hand-painted skein does on the needles: run lengths, the repeat, and whether colours stack or wind."""

from __future__ import annotations

from dataclasses import dataclass

from studio.craft.stripe.gauge import loop_mm_from_gauge
from studio.craft.stripe.skein import Pooling, Run, SkeinSection, nearby, repeat_stitches, runs
from studio.plan.errors import refuse
from studio.plan.foretelling import RELAXED, refuse_one_colour
from studio.plan.layout import laid_bands
from studio.plan.model import Plan
from studio.plan.settled import rows_of, settle
from studio.plan.shelf import Shelf

REACH = 6
"""Stitch counts to either side that are compared. House rule."""


@dataclass(frozen=True, slots=True)
class SkeinTold:
    """A skein's colours at a stitch count and at those nearby."""

    title: str
    stitches: int
    repeat: float
    """Stitches from one colour till it comes again."""
    runs: tuple[Run, ...]
    nearby: tuple[Pooling, ...]
    because: str


def foretell_skein(plan: Plan, shelf: Shelf) -> SkeinTold:
    """Runs and pooling; PlanError or ValueError, one sentence, where the plan lacks something."""
    settled = settle(plan, shelf)
    refuse_one_colour(plan)
    round_cm = plan.fibre.circumference
    if round_cm is None:
        raise refuse(
            plan.file,
            "fibre.circumference",
            'is missing; measure once round the skein, for example "150 cm".',
        )
    knit = plan.knit
    if knit is None or knit.stitches is None or knit.gauge is None:
        raise refuse(
            plan.file,
            "knit",
            'needs the new piece: write [knit] with stitches = 64 and gauge = "32 st / 4 in".',
        )
    bands = laid_bands(plan.layout, rows_of(settled))
    total = sum(b.share_percent or 0.0 for b in bands)
    if total <= 0:
        raise refuse(plan.file, "layout.order", 'needs shares for a skein, for example share = "40 %".')
    loop_mm = loop_mm_from_gauge(knit.gauge.value, RELAXED)
    bare = max(0.0, 100.0 - total)
    sections = [SkeinSection(b.colour, round_cm.value * (b.share_percent or 0.0) / 100.0) for b in bands]
    if bare > 0.05:
        sections.append(SkeinSection("", round_cm.value * bare / 100.0))
    repeat = repeat_stitches(round_cm.value, loop_mm)
    return SkeinTold(
        title=plan.title,
        stitches=knit.stitches,
        repeat=repeat,
        runs=tuple(runs(round_cm.value, sections, knit.stitches, loop_mm)),
        nearby=nearby(repeat, knit.stitches, reach=REACH),
        because=f"{round_cm.value:g} cm round / {loop_mm:.2f} mm of yarn in a stitch = {repeat:.1f} stitches",
    )
