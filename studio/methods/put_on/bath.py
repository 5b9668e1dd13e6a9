"""A dye bath: one colour over all of the fibre, in water with acid, dye and salt."""

from __future__ import annotations

from collections.abc import Mapping

from studio.methods.put_on.bath_work import BathWork, is_staged, work_bath
from studio.plan.errors import Term, refuse, table_named, write
from studio.plan.fields import WEIGHT, Wants
from studio.plan.keys import Keys
from studio.plan.materials import AcidAtHand
from studio.plan.model import ColourPlan
from studio.plan.settled import Settled
from studio.plan.shapes import Added, Step
from studio.plan.steps.lay import step_id
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
        acid, which = worked.settled.acid, "half the" if put.rest_acid > 0 else "the"
        return (
            _water(put.start.value),
            SALT if put.salt_g > 0 else None,
            acid_step(acid, put, which) if acid and put.first_acid > 0 else None,
            _dye(put, last_stock),
            _ph(put),
            _warmth(put.start.value),
            INTO_THE_BATH,
        )

    def hands_on(self, colours: int, painted_g: float, pieces: int) -> float:
        """All pieces lie in one bath. Estimate."""
        return BATH_MIN


NEAR_START_C = 5.0
"""So far from its start the bath may be when the fibre goes in. House rule."""


def _water(start_c: float) -> Step:
    return Step(
        role="bath water",
        kind="measure",
        text=f"Pour lukewarm water, about {show(start_c, 'degC')}, into the dye pot; leave the heat off.",
        done="Bath water poured",
        quantity="volume",
        unit="mL",
        after=(step_id("ready", "dry weight"),),
        figures=("kettle.bath", "kettle.water"),
        sets="kettle.water",
    )


SALT = Step(
    role="salt",
    kind="measure",
    text="Weigh Glauber's salt and stir it into the bath until it is dissolved.",
    done="Salt in the bath",
    quantity="mass",
    unit="g",
    figures=("kettle.salt",),
    sets="kettle.salt",
)
INTO_THE_BATH = Step(
    role="into the bath",
    kind="do",
    text="Lift the fibre out of the soak, let it drip, and lower it into the bath all at once; move it gently.",
    done="Fibre in the bath",
    after=(step_id("presoak", "soaking"),),
)


def _dye(bath: BathWork, last_stock: str) -> Step:
    which = "" if bath.parts == 1 else f"the first of {bath.parts} parts of "
    return Step(
        role="dye in",
        kind="measure",
        text=f"Pour in {which}the dye for {bath.colours[0].colour.plan.name} and stir well, before the fibre goes in.",
        done="Dye in the bath",
        quantity="volume",
        unit="mL",
        after=(last_stock,),
        figures=("kettle.dye", "kettle.part.1"),
        sets="kettle.dye" if bath.parts == 1 else "kettle.part.1",
    )


def _ph(bath: BathWork) -> Step:
    return Step(
        role="pH",
        kind="measure",
        text="Read the pH of a cooled spoonful of the bath with a strip or meter; read a dyed strip at its edge.",
        done="pH of the bath read",
        quantity="ph",
        unit="pH",
        figures=("kettle.ph.first", "kettle.ph"),
        sets="kettle.ph.first",
    )


def _warmth(start_c: float) -> Step:
    return Step(
        role="bath temperature",
        kind="measure",
        text="Measure the bath: it should be as warm as the wetted fibre, or wool felts and dye strikes at once.",
        done="Bath temperature read",
        quantity="temperature",
        unit="degC",
        expected=start_c,
        low=max(0.0, start_c - NEAR_START_C),
        high=start_c + NEAR_START_C,
        figures=("kettle.start",),
        sets="kettle.start",
    )


def acid_step(acid: AcidAtHand, bath: BathWork, which: str, *, later: bool = False) -> Step:
    """All of the acid or its first half into the bath; `later`: the rest, beside the fibre."""
    how = (
        ", draw the fibre aside, pour the acid in clear of it and move it through."
        if later
        else " and pour it into the water, never water into acid."
    )
    now = "kettle.acid.first" if bath.rest_acid > 0 else "kettle.acid"
    return Step(
        role="acid",
        once=later,
        kind="measure",
        text=f"Measure {which} {acid.name}{how}",
        done="Rest of the acid in" if later else "Acid in the bath",
        critical=acid.strong,
        quantity="volume" if acid.liquid else "mass",
        unit=acid.unit,
        figures=("kettle.acid.rest", "kettle.ph") if later else (now, "kettle.ph.first"),
        sets="kettle.acid.rest" if later else now,
    )
