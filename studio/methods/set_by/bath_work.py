"""The heat of a kettle: start, ramp, top, hold, what the hob can do, evaporation and cooling."""

from __future__ import annotations

import math

import msgspec

from studio.craft import bath_heat, heat, pot
from studio.methods.put_on.bath_work import BathWork, kettle_of
from studio.plan.settled import Settled
from studio.plan.shapes import Figure, Origin, fig, num, weakest
from studio.plan.work.energy import (
    IF97,
    UNWRAP_C,
    CoolWork,
    EnergyUse,
    every_set,
    held_min,
    hob_gives_w,
    hob_share,
    rinse_figure,
)

BELOW_BOIL_C = 2.0
"""degC below the boil at which a bath still simmers quietly. House rule."""
SUPERWASH_C = (85.0, 90.0)
COOKSON = (
    "Cookson, Hine & McPhee, J. Soc. Dyers Colour. 1964 (abstract): shrink-resist wool as low as full "
    "exhaustion allows, usually 85 to 90 °C"
)
SILK_C = 85.0
SILK = "common practice: silk at 186 F, not boiling"
PALE_PERCENT, DEEP_PERCENT = 0.5, 2.0
"""Depths held for the short and for the long time; between them a straight line. House rule."""
POT_G = 1500.0
"""An empty steel pot. Estimate."""
LID_LETS_OUT = 0.2
"""Share of the open pot's evaporation that a loose lid lets out. Estimate."""
BALANCE = (
    "heat balance: water 4.19 J/gK (IAPWS-95), wool 1.36 (Morton & Hearle, from memory), steel 0.5 (from "
    "memory); loss 10 W/m2K from a pot as deep as it is wide (estimate)"
)


class HeatWork(msgspec.Struct, frozen=True, kw_only=True):
    start_c: float
    top_c: float
    wanted_top_c: float
    """As written or by class and fibre, before the boiling point limits it."""
    boil_c: float
    rate_c_min: float
    """As planned."""
    ramp_min: float
    """As planned, or as long as the hob needs."""
    fastest_min: float
    """With the hob full on; infinite where it never gets there."""
    hold_min: float
    least_hold_min: float
    evaporation_ml: float
    ramp_j: float
    """Heat into the pot on the way up, losses included."""
    hold_w: float
    """Lost while it is held."""
    figures: tuple[Figure, ...]

    @property
    def slope_c_min(self) -> float:
        """degC a minute, as the hob can do it."""
        return (self.top_c - self.start_c) / self.ramp_min if self.ramp_min > 0 else self.rate_c_min


class _Pot(msgspec.Struct, frozen=True, kw_only=True):
    """The pot with its bath, as heat goes into it and is lost."""

    capacity_j_k: float
    loss_w_k: float
    open_ml_min: float
    """What an open bath gives off at its top."""
    gives_w: float
    """What of the hob reaches it."""


def work_heat(settled: Settled, bath: BathWork) -> HeatWork:
    """kettle.start, .top, .ramp, .hold, .power, .heat-up, .energy, .evaporation."""
    plan, room_c = kettle_of(settled), settled.room.value
    boil_c = settled.boil_c
    start_c = bath.start.value
    wanted_c, why_top, top_source = _top(settled)
    top_c = max(start_c, min(wanted_c, boil_c - BELOW_BOIL_C))
    rate = plan.ramp or min(c.bath_ramp_c_min for c in settled.classes)
    planned_min = bath_heat.ramp_minutes(start_c, top_c, rate)
    pot = _pot(settled, bath, top_c)
    fastest = bath_heat.heat_up_minutes(pot.capacity_j_k, pot.gives_w, pot.loss_w_k, start_c, top_c, room_c)
    ramp_min = max(planned_min, fastest) if math.isfinite(fastest) else planned_min
    least, longest, said = _hold_range(settled)
    hold = plan.hold.value if plan.hold else _hold(settled, least, longest)
    middle_c = (start_c + top_c) / 2.0
    work = HeatWork(
        start_c=start_c,
        top_c=top_c,
        wanted_top_c=wanted_c,
        boil_c=boil_c,
        rate_c_min=rate,
        ramp_min=ramp_min,
        fastest_min=fastest,
        hold_min=hold,
        least_hold_min=least,
        evaporation_ml=pot.open_ml_min * hold * (LID_LETS_OUT if plan.lid else 1.0),
        ramp_j=pot.capacity_j_k * (top_c - start_c)
        + 60.0 * pot.loss_w_k * max(0.0, middle_c - room_c) * ramp_min,
        hold_w=pot.loss_w_k * max(0.0, top_c - room_c),
        figures=(),
    )
    warmth = (bath.start, _ramp(settled, work, planned_min), _held_at(settled, work, why_top, top_source))
    heats = (
        _power(settled, work, pot),
        *_heat_up(settled, work, pot),
        _energy(work, pot),
        _vapour(settled, work, pot),
    )
    return msgspec.structs.replace(work, figures=(*warmth, _held(settled, work, said), *heats))


def _pot(settled: Settled, bath: BathWork, top_c: float) -> _Pot:
    plan, room_c = kettle_of(settled), settled.room.value
    open_ml_min = bath_heat.open_evaporation_ml_min(bath.bath_ml, top_c, room_c)
    loss = bath_heat.loss_w_k(bath.bath_ml)
    if not plan.lid:
        loss += bath_heat.evaporation_w(open_ml_min, max(65.0, top_c)) / max(1.0, top_c - room_c)
    return _Pot(
        capacity_j_k=bath_heat.bath_heat_j_k(
            bath.bath_ml, settled.dry_g, plan.pot.value if plan.pot else POT_G
        ),
        loss_w_k=loss,
        open_ml_min=open_ml_min,
        gives_w=hob_gives_w(settled),
    )


def _ramp(settled: Settled, work: HeatWork, planned_min: float) -> Figure:
    written = kettle_of(settled).ramp
    slower = "" if work.ramp_min == planned_min else f"; this hob needs {num(work.fastest_min)} min"
    origin: Origin = "plan" if written else "published"
    if work.top_c < work.wanted_top_c:
        origin = weakest(origin, settled.altitude.origin)
    source = "the plan" if written else min(settled.classes, key=lambda c: c.bath_ramp_c_min).ramp_source
    if slower:
        source += f"; {BALANCE}; hob: {settled.hob_w.source}"
    because = (
        f"({num(work.top_c)} - {num(work.start_c)}) °C / {num(work.rate_c_min)} °C a minute = "
        f"{num(planned_min)} min{slower}"
    )
    return fig("kettle.ramp", work.ramp_min, "min", "ramp to full heat", because, origin, source)


def _held_at(settled: Settled, work: HeatWork, why: str, source: str) -> Figure:
    lowered = work.top_c < work.wanted_top_c
    origin: Origin = "plan" if kettle_of(settled).top else "published"
    if lowered:
        why += f"; water boils at {num(work.boil_c)} °C here, so {num(work.top_c)} °C"
    low, high = SUPERWASH_C if source == COOKSON and work.top_c == work.wanted_top_c else (None, None)
    return fig(
        "kettle.top",
        work.top_c,
        "degC",
        "full heat",
        why,
        weakest(origin, settled.altitude.origin) if lowered else origin,
        f"{source}; boiling point: {IF97}",
        low=low,
        high=high,
    )


def _held(settled: Settled, work: HeatWork, said: str) -> Figure:
    written = kettle_of(settled).hold
    label = "hold at full heat"
    because = f"{written.typed} as written; usual {said}" if written else said + f": {num(work.hold_min)} min"
    longest = max(settled.classes, key=lambda c: c.bath_hold_max_min)
    source = "the plan" if written else longest.bath_source
    return fig(
        "kettle.hold", work.hold_min, "min", label, because, "plan" if written else "published", source
    )


def _power(settled: Settled, work: HeatWork, pot: _Pot) -> Figure:
    above_c = work.top_c - settled.room.value
    needed_w = bath_heat.ramp_power_w(pot.capacity_j_k, work.rate_c_min, pot.loss_w_k, max(0.0, above_c))
    label = "heat needed at the end of the ramp"
    because = (
        f"{num(pot.capacity_j_k)} J/K x {num(work.rate_c_min)} °C/min / 60 + {num(pot.loss_w_k)} W/K x "
        f"{num(above_c)} °C = {num(needed_w)} W; the hob gives {num(pot.gives_w)} W"
    )
    source = f"{BALANCE}; hob: {settled.hob_w.source}"
    return fig("kettle.power", needed_w, "W", label, because, "estimate", source)


def _energy(work: HeatWork, pot: _Pot) -> Figure:
    wh = (work.ramp_j + 60.0 * work.hold_w * work.hold_min) / 3600.0
    because = (
        f"{num(pot.capacity_j_k)} J/K x {num(work.top_c - work.start_c)} °C and {num(pot.loss_w_k)} W/K for "
        f"{num(work.ramp_min)} + {num(work.hold_min)} min = {num(wh)} Wh"
    )
    return fig("kettle.energy", wh, "Wh", "heat for ramp and hold", because, "estimate", BALANCE)


def _vapour(settled: Settled, work: HeatWork, pot: _Pot) -> Figure:
    share = LID_LETS_OUT if kettle_of(settled).lid else 1.0
    return fig(
        "kettle.evaporation",
        work.evaporation_ml,
        "mL",
        "water lost while held",
        f"{num(pot.open_ml_min)} mL/min from the open bath x {num(work.hold_min)} min x {num(share)} = "
        f"{num(work.evaporation_ml)} mL",
        "estimate",
        "heat and mass transfer (Lewis), IAPWS R7-97(2012), eq. 30; share past the lid: estimate",
        low=0.0,
        high=pot.open_ml_min * work.hold_min,
    )


def _heat_up(settled: Settled, work: HeatWork, pot: _Pot) -> tuple[Figure, ...]:
    """How fast the hob can do it; nothing where it never gets there."""
    if not math.isfinite(work.fastest_min):
        return ()
    label = "fastest ramp on this hob"
    because = f"{num(pot.capacity_j_k)} J/K with {num(pot.gives_w)} W = {num(work.fastest_min)} min on full"
    source = f"{BALANCE}; hob: {settled.hob_w.source}; {hob_share(settled).said}"
    figure = fig("kettle.heat-up", work.fastest_min, "min", label, because, "estimate", source)
    return (figure,)


def _top(settled: Settled) -> tuple[float, str, str]:
    """What the bath is held at: as written, else the least of the classes and the tender fibres."""
    written = kettle_of(settled).top
    if written is not None:
        return written.value, f"{written.typed} as written", "the plan"
    gentle = min(settled.classes, key=lambda c: c.bath_top_c)
    found = [(gentle.bath_top_c, f"{gentle.name} at {num(gentle.bath_top_c)} °C", gentle.bath_source)]
    if settled.superwash:
        middle = sum(SUPERWASH_C) / 2.0
        found.append((middle, f"superwash wool at {SUPERWASH_C[0]:g} to {SUPERWASH_C[1]:g} °C", COOKSON))
    if settled.silk:
        found.append((SILK_C, f"silk at {SILK_C:g} °C", SILK))
    return min(found, key=lambda row: row[0])


def _hold_range(settled: Settled) -> tuple[float, float, str]:
    least = max(c.bath_hold_min for c in settled.classes)
    longest = max(c.bath_hold_max_min for c in settled.classes)
    depth = settled.colours[0].plan.depth
    shade = f", {num(depth.value)} % here" if depth else ""
    said = (
        f"{num(least)} min up to {PALE_PERCENT:g} %, {num(longest)} min from {DEEP_PERCENT:g} % depth{shade}"
    )
    return least, longest, said


def _hold(settled: Settled, least: float, longest: float) -> float:
    depth = settled.colours[0].plan.depth
    if depth is None:
        return longest
    share = (depth.value - PALE_PERCENT) / (DEEP_PERCENT - PALE_PERCENT)
    return least + (longest - least) * min(1.0, max(0.0, share))


def work_bath_cool(settled: Settled, bath: BathWork, top_c: float) -> CoolWork:
    """cool.time and rinse.temperature of a covered bath left to itself."""
    plan, room_c = kettle_of(settled), settled.room.value
    capacity = bath_heat.bath_heat_j_k(bath.bath_ml, settled.dry_g, plan.pot.value if plan.pot else POT_G)
    k = bath_heat.cooling_k_per_min(capacity, bath_heat.loss_w_k(bath.bath_ml))
    minutes = heat.newton_minutes(top_c, room_c, k, UNWRAP_C)
    label = "cooling in the bath, lid on"
    because = (
        f"ln(({num(top_c)} - {num(room_c)}) / ({UNWRAP_C:g} - {num(room_c)})) / {num(k)} per min = "
        f"{num(minutes)} min; faster with the lid off"
    )
    source = f"Newton's law of cooling; {BALANCE}; room: {settled.room.source}; measure before lifting out"
    figure = fig(
        "cool.time", minutes, "min", label, because, "estimate", source, low=minutes / 2.0, high=minutes
    )
    return CoolWork(hot_c=top_c, minutes=minutes, figures=(figure, rinse_figure("bath")))


def bath_energy(settled: Settled, heat: HeatWork) -> EnergyUse:
    """Bath, fibre and pot up the ramp, then what the covered pot loses while it is held (estimate)."""
    hob = hob_share(settled)
    share = hob.value
    heat_j, again = every_set(settled, heat.ramp_j, heat.top_c)
    hold_min = held_min(settled, heat.hold_min)
    heat_up, held = pot.kwh(heat_j, share), pot.held_kwh(heat.hold_w / share, hold_min)
    because = (
        f"{num(heat.ramp_j / 1000)} kJ up the ramp{again}, / {num(share)} = {num(heat_up)} kWh; "
        f"{num(heat.hold_w)} W lost / {num(share)} x {num(hold_min)} min = {num(held)} kWh"
    )
    return EnergyUse(
        kwh=heat_up + held,
        because=because,
        source=f"heat balance, loss of a covered pot: estimate; {hob.said}; warm tap water is not in it",
    )
