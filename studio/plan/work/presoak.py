"""The presoak: its water and its acid, how long and how warm."""

from __future__ import annotations

import msgspec

from studio.craft import liquor
from studio.plan.settled import Settled, node
from studio.plan.shapes import Figure, Origin, as_written, fig, num
from studio.plan.work.souring import Soaks, Soured, Souring, acid_figure, soured

DEFAULT_RATIO = 20.0
DEFAULT_MIN = 30.0
DEFAULT_C = 40.0
WEIL = "George Weil (UK), wetting out, in Using Procion MX dyes on wool, no year: 30 min at 40 °C"


class PresoakWork(msgspec.Struct, frozen=True, kw_only=True):
    water_ml: float
    soured: Soured
    minutes: float
    temperature_c: float
    figures: tuple[Figure, ...]

    def on_the_goods_mol(self, held_ml: float) -> tuple[float, ...]:
        """Acid on all of the fibre, squeezed until it holds so much of the soak, in it and in the liquid; of each of
        `soaks`."""
        return tuple(soak.bound_mol + soak.left_mol_l * held_ml / 1000.0 for soak in self.soured.soaks)


def work_presoak(settled: Settled) -> PresoakWork:
    """presoak.water, .acid, .acid.spread, .ph.first, .ph, .bound, .time, .temperature."""
    plan = settled.plan.presoak
    ratio = plan.liquor_ratio or DEFAULT_RATIO
    asked_ml = liquor.bath_ml(settled.dry_g, ratio)
    told = f"{num(settled.dry_g)} g x liquor ratio {num(ratio)} = {num(asked_ml)} mL"
    by: tuple[Origin, str] = ("plan", "") if plan.liquor_ratio else ("common practice", "liquor ratio 20")
    water = node(settled, fig("presoak.water", asked_ml, "mL", "water for the presoak", told, *by))
    # Acid that goes in later leaves this a soak in plain water.
    acid = settled.acid if settled.plan.sour.table == "presoak" else None
    bath = Souring(
        settled=settled,
        water_ml=water.value,
        water_origin=water.origin,
        open=settled.plan.water.open is True,
    )
    if settled.plan.sour.table == "presoak":
        sour = soured(bath, *([acid_figure(bath, acid)] if acid else []))
    else:
        sour = Soured(soaks=Soaks(*[bath.with_acid(None, 0.0)] * 3))
    time, temperature = _soak(settled)
    return PresoakWork(
        water_ml=water.value,
        soured=sour,
        minutes=time.value,
        temperature_c=temperature.value,
        figures=(water, *sour.figures, time, temperature),
    )


def soaked_c(settled: Settled) -> float:
    """How warm the soak is."""
    written = settled.plan.presoak.temperature
    return written.value if written else DEFAULT_C


def _soak(settled: Settled) -> tuple[Figure, Figure]:
    """How long, and how warm."""
    plan = settled.plan.presoak
    how_long = f"{num(DEFAULT_MIN)} min, the usual soak for wetting out"
    how_warm = f"{num(DEFAULT_C)} °C, lukewarm"
    return (
        as_written(
            "presoak.time", plan.time, DEFAULT_MIN, "min", "presoak time", how_long, "common practice", WEIL
        ),
        as_written(
            "presoak.temperature",
            plan.temperature,
            DEFAULT_C,
            "degC",
            "presoak temperature",
            how_warm,
            "common practice",
            WEIL,
        ),
    )
