"""What the forecast needs from a plan: the blank, its bands, the new piece, and what the colours look like.

Loads no numpy: the simulation itself is `craft.stripe.forecast`, imported where it is run.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from studio.craft.stripe.blank import Band, Blank
from studio.craft.stripe.gauge import loop_mm_from_gauge, loop_mm_from_yarn
from studio.craft.stripe.knitting import Knitting
from studio.craft.stripe.painting import Painting
from studio.plan.errors import PlanError, refuse
from studio.plan.layout import laid_bands
from studio.plan.model import Plan
from studio.plan.settled import Settled, rows_of, settle
from studio.plan.shelf import Shelf
from studio.plan.ways import method_called

RELAXED: Literal["wet"] = "wet"
"""State of the swatch a gauge is taken from: washed and dried flat."""


@dataclass(frozen=True, slots=True)
class Foretelling:
    """A plan as the forecast sees it."""

    title: str
    blank: Blank
    bands: tuple[Band, ...]
    knitting: Knitting
    colours: tuple[str, ...]
    """Names in the order of the plan."""
    because: tuple[str, ...]
    """How loop lengths came about, one sentence each."""


def foretell(plan: Plan, shelf: Shelf) -> Foretelling:
    """Everything but the painting; PlanError, one sentence, where the plan lacks something."""
    settled = settle(plan, shelf)
    refuse_one_colour(plan)
    if settled.form != "blank":
        raise refuse(
            plan.file, "fibre.form", 'must be "blank" for a forecast: only a blank has rows of bands.'
        )
    rows, stitches = _needed(plan, "rows", rows_of(settled)), _needed(plan, "stitches", _stitches(settled))
    strands = plan.fibre.strands or (settled.base.strands if settled.base else None) or 1
    yarn_m = _yarn_m(settled)
    if yarn_m is None:
        raise refuse(
            plan.file,
            "fibre.yarn_length",
            'is missing; write the metres of all strands together, for example "420 m".',
        )
    try:
        loop_mm = loop_mm_from_yarn(yarn_m, stitches, rows, strands)
        knitting, knit_told = _knitting(plan)
        blank = Blank(rows, stitches, loop_mm, strands)
    except PlanError:
        raise
    except ValueError as problem:
        raise refuse(plan.file, "", f": {problem}") from problem
    told = (
        f"loop of the blank: {yarn_m:g} m / ({strands} x {rows} x {stitches}) = {loop_mm:.2f} mm",
        knit_told,
    )
    bands = tuple(Band(b.colour, float(b.rows or 0)) for b in laid_bands(plan.layout, rows))
    return Foretelling(plan.title, blank, bands, knitting, tuple(c.plan.name for c in settled.colours), told)


def refuse_one_colour(plan: Plan) -> None:
    """Refuse (PlanError) what has no bands: one colour lies over all of the fibre."""
    if method_called(plan.method).put_on.has_bands:
        return
    how = "solid" if plan.own.get("parts", 1) == 1 else "semi-solid, without edges"
    raise refuse(
        plan.file,
        "method",
        f'is "{plan.method}", so the yarn comes out {how}: there are no bands, and nothing to forecast.',
    )


def _needed(plan: Plan, key: str, value: int | None) -> int:
    if value is None:
        raise refuse(
            plan.file, f"fibre.{key}", f"is missing; the forecast counts them, for example {key} = 60."
        )
    return value


def _stitches(settled: Settled) -> int | None:
    return settled.plan.fibre.stitches or (settled.base.stitches if settled.base else None)


def _yarn_m(settled: Settled) -> float | None:
    written = settled.plan.fibre.yarn_length
    if written is not None:
        return written.value
    return settled.base.yarn_length_m if settled.base else None


def _knitting(plan: Plan) -> tuple[Knitting, str]:
    knit = plan.knit
    if knit is None or knit.stitches is None or knit.gauge is None:
        raise refuse(
            plan.file,
            "knit",
            'needs the new piece: write [knit] with stitches = 64 and gauge = "32 st / 4 in".',
        )
    loop_mm = loop_mm_from_gauge(knit.gauge.value, RELAXED)
    told = (
        f"loop of the new piece: {knit.gauge.typed.strip()}, washed, by Munden's constant = {loop_mm:.2f} mm "
        "(D. J. Spencer, Knitting Technology, p. 281, read second-hand)"
    )
    return Knitting(knit.stitches, loop_mm), told


def painting_of(spread: float | None, tilt: float | None, wander: float | None) -> Painting:
    """The painting with what was given, estimates for the rest; ValueError, one sentence, out of range."""
    usual = Painting()
    return Painting(
        spread=usual.spread if spread is None else spread,
        tilt=usual.tilt if tilt is None else tilt,
        wander=usual.wander if wander is None else wander,
    )
