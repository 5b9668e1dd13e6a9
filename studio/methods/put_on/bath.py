"""A dye bath: one colour over all of the fibre, in water with acid, dye and salt."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from studio.methods.put_on.bath_work import BathWork, is_staged, work_bath
from studio.methods.said import step
from studio.plan.errors import Term, refuse, table_named, write
from studio.plan.fields import WEIGHT, Wants
from studio.plan.keys import Keys
from studio.plan.materials import AcidAtHand
from studio.plan.model import ColourPlan
from studio.plan.settled import Settled
from studio.plan.shapes import Added, Step
from studio.plan.ways import PutOn
from studio.plan.work.fibre import RoomWork
from studio.plan.work.presoak import PresoakWork
from studio.plan.work.stocks import StocksWork
from studio.plan.work.worked import Worked
from studio.quantity.showing import show

BATH_MIN = 8.0
"""Minutes with hands on the work. Estimate."""


class DyeBath(PutOn[BathWork]):
    """Dye in a bath that takes all of the fibre."""

    part = "kettle"
    stage = "bath"
    acid_at = "colour"
    has_bands = False
    columns = (("to bath", "kettle.dye", True),)
    reserve_percent = 0.0
    decides: Mapping[str, tuple[str, str]] = {
        "depth": ("kettle.depth", ""),
        "liquid": ("kettle.dye", WEIGHT),
    }
    breaks = "its dyes strike at different temperatures. Start cool, ramp slowly, and hold until the bath is clear."
    superwash = "ramp slowly, and hold it no hotter and no longer than needed"
    soaked = "the fibre can go into the bath when that is ready"
    foreign: Mapping[Wants, tuple[str | Term, ...]] = {
        "paint": ("is for painting; all of a kettle's dye goes into its bath, which must move through the fibre: "
                  "take it out.",),
        "sour soak": ("belongs in ", table_named("kettle"),
                      ": the fibre is wetted out in plain water, the acid goes into the bath."),
    }  # fmt: skip

    def refuse(self, keys: Keys) -> None:
        """Bands are for painting."""
        if "layout" in keys:
            raise keys.wrong(
                "layout",
                "is for painting; a kettle dyes all of the fibre one colour, so take ",
                Term("[layout]", "it"),
                " out.",
            )

    def refuse_colours(self, keys: Keys, colours: tuple[ColourPlan, ...]) -> None:
        """One colour; drops for it are counted for a written volume of dye liquid."""
        if len(colours) > 1:
            raise keys.wrong(
                "colour",
                f"stands there {len(colours)} times; a kettle dyes one colour: keep one, and mix its dyes.",
            )
        only = colours[0]
        liquid = ("colour", only.name, "liquid")
        if only.drops is None and only.liquid is not None:
            raise refuse(
                keys.file,
                liquid,
                "is for painting; in a kettle the depth says how much dye goes in.",
            )
        if only.drops is not None and only.liquid is None:
            raise refuse(
                keys.file,
                liquid,
                "is missing: write how much of the drop recipe goes into the bath, for example ",
                write("liquid", "250 mL"),
                ".",
            )

    def added_figures(self, settled: Settled, what: Added) -> tuple[tuple[str, str], ...]:
        """Of acid, all at once, or in two halves."""
        poured = ("kettle.acid.first", "kettle.acid.rest") if is_staged(settled) else ("kettle.acid",)
        return tuple((one, one) for one in poured)

    def work(
        self, settled: Settled, room: RoomWork | None, stocks: StocksWork, presoak: PresoakWork
    ) -> BathWork:
        """kettle.* of the bath itself."""
        return work_bath(settled, stocks)

    def steps(self, worked: Worked, put: BathWork, last_stock: str) -> tuple[Step | None, ...]:
        """Water, salt, acid, dye, pH, warmth, and the fibre into it."""
        acid, start_c, staged = worked.settled.acid, put.start.value, put.rest_acid > 0
        which = "half the" if staged else "the"
        first = "kettle.acid.first" if staged else "kettle.acid"
        poured = {"which": which, "sets": first, "figures": (first, "kettle.ph.first")}
        parts = {"which": f"the first of {put.parts} parts of ", "sets": "kettle.part.1"}
        near = {"low": max(0.0, start_c - NEAR_START_C), "high": start_c + NEAR_START_C}
        return (
            step("bath.water", warm=show(start_c, "degC")),
            step("bath.salt") if put.salt_g > 0 else None,
            acid_step("bath.acid", acid, **poured) if acid and put.soured.first_acid > 0 else None,
            step(
                "bath.dye",
                colour=put.colours[0].colour.plan,
                after=(last_stock,),
                **(parts if put.parts > 1 else {"which": ""}),
            ),
            step("bath.ph"),
            step("bath.temperature", expected=start_c, **near),
            step("bath.in"),
        )

    def hands_on(self, colours: int, painted_g: float, pieces: int) -> float:
        """All pieces lie in one bath. Estimate."""
        return BATH_MIN


NEAR_START_C = 5.0
"""So far from its start the bath may be when the fibre goes in. House rule."""


def acid_step(name: str, acid: AcidAtHand, **said: Any) -> Step:
    """A step that pours acid into the bath."""
    quantity = "volume" if acid.liquid else "mass"
    return step(name, acid=acid, critical=acid.strong, quantity=quantity, **said)
