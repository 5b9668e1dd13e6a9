"""What the forecast needs from a plan: the blank or skein, its bands, the new piece, the colours. numpy
loads when it is run.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import msgspec

from studio.craft.stripe.blank import (
    THICKENED_SPREAD,
    Band,
    Blank,
    Knitting,
    Painting,
    loop_mm_from_gauge,
    loop_mm_from_yarn,
)
from studio.craft.stripe.skein import Pooling, Run, SkeinSection, nearby, repeat_stitches, runs
from studio.plan.errors import PlanError, Term, write
from studio.plan.habits import Habit, in_use
from studio.plan.layout import laid_bands
from studio.plan.model import Plan
from studio.plan.preview import ColourSeen, Look, colours_seen, looks, told_apart, undyed_hex
from studio.plan.settled import of_piece, rows_of, settle, yarn_m_of
from studio.plan.shapes import listed
from studio.plan.shelf import Shelf
from studio.plan.ways import method_called

if TYPE_CHECKING:
    from studio.craft.stripe.forecast import Forecast
    from studio.craft.stripe.inverse import LeastWidth
    from studio.craft.stripe.picture import Picture


# What the forecast needs from a plan: the blank, its bands, the new piece, and what the colours look
# like. Loads no numpy: the simulation itself is `craft.stripe.forecast`, imported where it is run.


class Foretelling(msgspec.Struct, frozen=True):
    """A plan as the forecast sees it."""

    title: str
    blank: Blank
    bands: tuple[Band, ...]
    knitting: Knitting
    colours: tuple[str, ...]
    """Names in the order of the plan."""
    thickened: frozenset[str]
    """Those of thickened paint."""
    because: tuple[str, ...]
    """How loop lengths came about, one sentence each."""


def foretell(plan: Plan, shelf: Shelf) -> Foretelling:
    """Everything but the painting; PlanError, one sentence, where the plan lacks something."""
    settled = settle(plan, shelf)
    refuse_one_colour(plan)
    if settled.form != "blank":
        raise plan.wrong(("fibre", "form"), 'must be "blank" for a forecast: only a blank has rows of bands.')
    rows = _needed(plan, "rows", rows_of(settled))
    stitches = _needed(plan, "stitches", of_piece(settled, "stitches"))
    strands, yarn_m = of_piece(settled, "strands") or 1, yarn_m_of(settled)
    if yarn_m is None:
        raise plan.wrong(
            ("fibre", "yarn_length"),
            'is missing; write the metres of all strands together, for example "420 m".',
        )
    try:
        loop_mm = loop_mm_from_yarn(yarn_m, stitches, rows, strands)
        knitting, knit_told = _knitting(plan)
        blank = Blank(rows, stitches, loop_mm, strands)
    except PlanError:
        raise
    except ValueError as problem:
        raise plan.wrong((), f": {problem}") from problem
    told = (
        f"loop of the blank: {yarn_m:g} m / ({strands} x {rows} x {stitches}) = {loop_mm:.2f} mm",
        knit_told,
    )
    bands = tuple(Band(b.colour, float(b.rows or 0)) for b in laid_bands(plan.layout, rows))
    names = tuple(c.plan.name for c in settled.colours)
    thickened = frozenset(c.plan.name for c in settled.colours if c.plan.thicken)
    return Foretelling(plan.title, blank, bands, knitting, names, thickened, told)


def refuse_one_colour(plan: Plan) -> None:
    """Refuse (PlanError) what has no bands: one colour lies over all of the fibre."""
    if method_called(plan.method).put_on.has_bands:
        return
    how = "solid" if plan.own.get("parts", 1) == 1 else "semi-solid, without edges"
    raise plan.wrong(
        ("method",),
        f'is "{plan.method}", so the yarn comes out {how}: there are no bands, and nothing to forecast.',
    )


def _needed(plan: Plan, key: str, value: int | None) -> int:
    if value is None:
        told = "is missing; the forecast counts them, for example "
        raise plan.wrong(("fibre", key), told, instead="60", toml="60")
    return value


NEW_PIECE = (
    "needs the new piece: write ",
    Term("[knit] with "),
    write("stitches", "64", "64"),
    Term(" and ", " st and a gauge of "),
    write("gauge", "32 st / 4 in"),
    ".",
)
"""What a forecast asks of a plan that says nothing of what is knitted."""


def _knitting(plan: Plan) -> tuple[Knitting, str]:
    knit = plan.knit
    if knit is None or knit.stitches is None or knit.gauge is None:
        raise plan.wrong(("knit",), *NEW_PIECE)
    loop_mm = loop_mm_from_gauge(knit.gauge.value)
    told = (
        f"loop of the new piece: {knit.gauge.typed.strip()}, washed: {loop_mm:.2f} mm "
        "(D. J. Spencer, Knitting Technology, p. 281, read second-hand)"
    )
    return Knitting(knit.stitches, loop_mm), told


# A plan with its painting, and all that the forecast makes of them. numpy is loaded when it is run.


class Foreseen(msgspec.Struct, frozen=True):
    """Geometry, painting and colours, ready to be forecast."""

    told: Foretelling
    painting: Painting
    colours: tuple[ColourSeen, ...]
    palette: dict[str, Look]
    notes: tuple[str, ...]
    """About colours that may be taken for one another, are not known, or are thickened."""
    spread_is: str = ""
    """`yours, 3 swatches` or `pinned by you`; empty where the spread is an estimate or was asked for."""

    def forecast(self, paintings: int) -> Forecast:
        """Rounds and odds over so many paintings; ValueError, one sentence, where it cannot be."""
        from studio.craft.stripe.forecast import forecast

        told = self.told
        return forecast(told.blank, told.bands, self.painting, told.knitting, paintings=paintings)

    def least_rows(self, solid_rounds: int, odds: float) -> LeastWidth:
        """The narrowest band that gives so many solid rounds at such odds (0 to 1); ValueError as above."""
        from studio.craft.stripe.inverse import least_rows

        return least_rows(solid_rounds, odds, self.told.blank, self.painting, self.told.knitting)

    def picture(self) -> Picture:
        """One painting, to look at; ValueError as above."""
        from studio.craft.stripe.picture import picture

        told = self.told
        return picture(told.blank, told.bands, self.painting, told.knitting)

    def painted_by(self) -> str:
        """The painting in words."""
        p = self.painting
        yours = f" ({self.spread_is})" if self.spread_is else ""
        return f"spread {p.spread:.2g}{yours}, tilt {p.tilt:g}, wander {p.wander:g} rows"


def foresee(
    plan: Plan,
    shelf: Shelf,
    spread: float | None = None,
    tilt: float | None = None,
    wander: float | None = None,
) -> Foreseen:
    """Everything the forecast needs; PlanError or ValueError, one sentence, where something lacks.

    A spread that is not asked for is the studio's own, where its swatches told it or it is pinned.
    """
    told = foretell(plan, shelf)
    own = in_use(shelf.habits, "spread") if spread is None else None
    given = {"spread": own.value if own else spread, "tilt": tilt, "wander": wander}
    known = {name: rows for name, rows in given.items() if rows is not None}
    painting = Painting(**known, thickened=told.thickened)
    settled = settle(plan, shelf)
    seen = colours_seen(settled)
    unknown = tuple(f"{c.name} is drawn in a stand-in colour: {c.note}." for c in seen if not c.hex)
    palette = looks(told.colours, seen, undyed_hex(settled))
    thick = [name for name in told.colours if name in told.thickened]
    sharper = (
        (f"{listed(thick)}: thickened, so that it spreads {THICKENED_SPREAD:g} times as far (estimate).",)
        if thick
        else ()
    )
    notes = (*told_apart(seen), *unknown, *sharper)
    return Foreseen(told, painting, seen, palette, notes, _spread_is(own))


def _spread_is(own: Habit | None) -> str:
    if own is None:
        return ""
    return f"yours, {own.counted}" if own.standing == "yours" else "pinned by you"


# What a hand-painted skein does on the needles: run lengths, the repeat, and whether colours stack or
# wind.

REACH = 6
"""Stitch counts to either side that are compared. House rule."""


class SkeinTold(msgspec.Struct, frozen=True):
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
        raise plan.wrong(
            ("fibre", "circumference"), 'is missing; measure once round the skein, for example "150 cm".'
        )
    knitting, _ = _knitting(plan)
    bands = laid_bands(plan.layout, rows_of(settled))
    total = sum(b.share_percent or 0.0 for b in bands)
    if total <= 0:
        raise plan.wrong(
            ("layout", "order"), "needs shares for a skein, for example ", write("share", "40 %"), "."
        )
    bare = max(0.0, 100.0 - total)
    sections = [SkeinSection(b.colour, round_cm.value * (b.share_percent or 0.0) / 100.0) for b in bands]
    if bare > 0.05:
        sections.append(SkeinSection("", round_cm.value * bare / 100.0))
    repeat = repeat_stitches(round_cm.value, knitting.loop_mm)
    return SkeinTold(
        title=plan.title,
        stitches=knitting.stitches,
        repeat=repeat,
        runs=tuple(runs(round_cm.value, sections, knitting.stitches, knitting.loop_mm)),
        nearby=nearby(repeat, knitting.stitches, reach=REACH),
        because=f"{round_cm.value:g} cm round / {knitting.loop_mm:.2f} mm of yarn in a stitch = {repeat:.1f} stitches",
    )
