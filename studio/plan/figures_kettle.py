"""The heat of a kettle: start, ramp, top, hold, what the hob can do, evaporation and cooling."""

from __future__ import annotations

import math

import msgspec

from studio.craft import bath_heat, heat, ramp, steam
from studio.plan.figure_text import HOUSE, fig, num
from studio.plan.figures_bath import BathWork
from studio.plan.figures_cool import UNWRAP_C, CoolWork, rinse_figure
from studio.plan.figures_presoak import DEFAULT_C
from studio.plan.figures_set import IF97
from studio.plan.nodes import node
from studio.plan.settled import Settled
from studio.plan.shapes import Figure

BELOW_BOIL_C = 2.0
"""degC below the boil at which a bath still simmers quietly. House rule."""
SUPERWASH_C = (85.0, 90.0)
COOKSON = (
    "Cookson, Hine & McPhee, J. Soc. Dyers Colour. 1964 (abstract): shrink-resist wool as low as full "
    "exhaustion allows, usually 85 to 90 degC"
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


def work_heat(settled: Settled, bath: BathWork) -> HeatWork:
    """kettle.start, .top, .ramp, .hold, .power, .heat-up, .energy, .evaporation."""
    plan, room_c = settled.kettle, settled.room.value
    boil_c = steam.boiling_point_c(steam.pressure_pa(settled.altitude.value))
    start_c, start = _start(settled)
    wanted_c, why_top, top_source = _top(settled)
    top_c = max(start_c, min(wanted_c, boil_c - BELOW_BOIL_C))
    rate = plan.ramp or min(c.bath_ramp_c_min for c in settled.classes)
    planned_min = ramp.ramp_minutes(start_c, top_c, rate)
    capacity = bath_heat.bath_heat_j_k(bath.bath_ml, settled.dry_g, plan.pot.value if plan.pot else POT_G)
    open_ml_min = bath_heat.open_evaporation_ml_min(bath.bath_ml, top_c, room_c)
    loss = bath_heat.loss_w_k(bath.bath_ml)
    if not plan.lid:
        loss += bath_heat.evaporation_w(open_ml_min, max(65.0, top_c)) / max(1.0, top_c - room_c)
    gives_w = settled.hob_w.value * settled.plan.hob_efficiency
    fastest = bath_heat.heat_up_minutes(capacity, gives_w, loss, start_c, top_c, room_c)
    ramp_min = max(planned_min, fastest) if math.isfinite(fastest) else planned_min
    least, longest, said = _hold_range(settled)
    hold = plan.hold.value if plan.hold else _hold(settled, least, longest)
    lets_out = LID_LETS_OUT if plan.lid else 1.0
    evaporation = open_ml_min * hold * lets_out
    needed_w = bath_heat.ramp_power_w(capacity, rate, loss, max(0.0, top_c - room_c))
    middle_c = (start_c + top_c) / 2.0
    ramp_j = capacity * (top_c - start_c) + 60.0 * loss * max(0.0, middle_c - room_c) * ramp_min
    hold_w = loss * max(0.0, top_c - room_c)
    energy_wh = (ramp_j + 60.0 * hold_w * hold) / 3600.0
    limited = (
        f"{why_top}; water boils at {num(boil_c)} degC here, so {num(top_c)} degC"
        if top_c < wanted_c
        else why_top
    )
    range_c = SUPERWASH_C if top_source == COOKSON and top_c == wanted_c else (None, None)
    figures: tuple[Figure, ...] = (
        start,
        fig(
            "kettle.ramp",
            ramp_min,
            "min",
            "ramp to the top",
            f"({num(top_c)} - {num(start_c)}) degC / {num(rate)} degC a minute = {num(planned_min)} min"
            + ("" if ramp_min == planned_min else f"; this hob needs {num(fastest)} min"),
            "plan" if plan.ramp else "published",
            "the plan" if plan.ramp else _slowest_source(settled),
        ),
        fig(
            "kettle.top",
            top_c,
            "degC",
            "hold the bath at",
            limited,
            "plan" if plan.top else "published",
            f"{top_source}; boiling point: {IF97}",
            low=range_c[0],
            high=range_c[1],
        ),
        fig(
            "kettle.hold",
            hold,
            "min",
            "at the top",
            f"{plan.hold.typed} as written; usual {said}" if plan.hold else said + f": {num(hold)} min",
            "plan" if plan.hold else "published",
            "the plan" if plan.hold else _longest_source(settled),
        ),
        fig(
            "kettle.power",
            needed_w,
            "W",
            "the ramp asks of the hob, at its top",
            f"{num(capacity)} J/K x {num(rate)} degC/min / 60 + {num(loss)} W/K x {num(top_c - room_c)} degC = "
            f"{num(needed_w)} W; the hob gives {num(gives_w)} W",
            "estimate",
            f"{BALANCE}; hob: {settled.hob_w.source}",
        ),
        fig(
            "kettle.energy",
            energy_wh,
            "Wh",
            "heat into the pot, ramp and hold",
            f"{num(capacity)} J/K x {num(top_c - start_c)} degC and {num(loss)} W/K for {num(ramp_min)} + "
            f"{num(hold)} min = {num(energy_wh)} Wh",
            "estimate",
            BALANCE,
        ),
        fig(
            "kettle.evaporation",
            evaporation,
            "mL",
            "goes off as vapour in the hold",
            f"{num(open_ml_min)} mL/min from the open bath x {num(hold)} min x {num(lets_out)} = "
            f"{num(evaporation)} mL",
            "estimate",
            "heat and mass transfer (Lewis), IAPWS R7-97(2012), eq. 30; share past the lid: estimate",
            low=0.0,
            high=open_ml_min * hold,
        ),
    )
    if math.isfinite(fastest):
        figures = (*figures[:5], _heat_up(settled, capacity, gives_w, fastest), *figures[5:])
    return HeatWork(
        start_c=start_c,
        top_c=top_c,
        wanted_top_c=wanted_c,
        boil_c=boil_c,
        rate_c_min=rate,
        ramp_min=ramp_min,
        fastest_min=fastest,
        hold_min=hold,
        least_hold_min=least,
        evaporation_ml=evaporation,
        ramp_j=ramp_j,
        hold_w=hold_w,
        figures=figures,
    )


def _heat_up(settled: Settled, capacity: float, gives_w: float, fastest: float) -> Figure:
    return fig(
        "kettle.heat-up",
        fastest,
        "min",
        "this hob can do it in",
        f"{num(capacity)} J/K with {num(gives_w)} W = {num(fastest)} min at least",
        "estimate",
        f"{BALANCE}; hob: {settled.hob_w.source}, share that reaches the pot "
        f"{num(settled.plan.hob_efficiency)}",
    )


def _start(settled: Settled) -> tuple[float, Figure]:
    written, soak = settled.kettle.start, settled.plan.presoak.temperature
    soaked_c = soak.value if soak else DEFAULT_C
    value = written.value if written else soaked_c
    figure = fig(
        "kettle.start",
        value,
        "degC",
        "bath when the fibre goes in",
        f"{written.typed} as written" if written else f"{num(value)} degC, as warm as the wetted fibre",
        "plan" if written else "house rule",
        "the plan" if written else f"{HOUSE}; dyers start just above blood heat (J. Cowern, undated)",
    )
    figure = node(settled, figure)
    return figure.value, figure


def _top(settled: Settled) -> tuple[float, str, str]:
    """What the bath is held at: as written, else the least of the classes and the tender fibres."""
    written = settled.kettle.top
    if written is not None:
        return written.value, f"{written.typed} as written", "the plan"
    gentle = min(settled.classes, key=lambda c: c.bath_top_c)
    found = [(gentle.bath_top_c, f"{gentle.name} at {num(gentle.bath_top_c)} degC", gentle.bath_source)]
    if any("superwash" in f.row.name for f in settled.blend):
        middle = sum(SUPERWASH_C) / 2.0
        found.append((middle, f"superwash wool at {SUPERWASH_C[0]:g} to {SUPERWASH_C[1]:g} degC", COOKSON))
    if any(f.row.family == "silk" for f in settled.blend):
        found.append((SILK_C, f"silk at {SILK_C:g} degC", SILK))
    return min(found, key=lambda row: row[0])


def _slowest_source(settled: Settled) -> str:
    return min(settled.classes, key=lambda c: c.bath_ramp_c_min).bath_source


def _longest_source(settled: Settled) -> str:
    return max(settled.classes, key=lambda c: c.bath_hold_max_min).bath_source


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
    plan, room_c = settled.kettle, settled.room.value
    capacity = bath_heat.bath_heat_j_k(bath.bath_ml, settled.dry_g, plan.pot.value if plan.pot else POT_G)
    k = bath_heat.cooling_k_per_min(capacity, bath_heat.loss_w_k(bath.bath_ml))
    minutes = heat.newton_minutes(top_c, room_c, k, UNWRAP_C)
    figure = fig(
        "cool.time",
        minutes,
        "min",
        "cooling in the bath, lid on",
        f"ln(({num(top_c)} - {num(room_c)}) / ({UNWRAP_C:g} - {num(room_c)})) / {num(k)} per min = "
        f"{num(minutes)} min; faster with the lid off",
        "estimate",
        f"Newton's law of cooling; {BALANCE}; room: {settled.room.source}; measure before lifting out",
        low=minutes / 2.0,
        high=minutes,
    )
    return CoolWork(
        minutes=minutes, unwrap_c=UNWRAP_C, rinse_c=UNWRAP_C, figures=(figure, rinse_figure("bath"))
    )
