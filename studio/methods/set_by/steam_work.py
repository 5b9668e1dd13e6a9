"""The pot by this studio's own sessions: how much of the hob boils water off, and when the steam rolls."""

from __future__ import annotations

import math

import msgspec

from studio.craft import pot, steam
from studio.craft.limits import liquid_volume
from studio.craft.pot import COLD_TAP_C, minutes_to_steam
from studio.methods.put_on.paint_work import PaintWork
from studio.methods.set_by.steam_packet import (
    ORIGINS,
    hold_because,
    hold_chosen,
    hold_min_of,
    hold_source,
    hold_spread,
    packet_of,
    steamed_packet,
    thickness_figure,
)
from studio.plan.habits import in_use
from studio.plan.settled import Settled, node
from studio.plan.shapes import HOUSE, Figure, Origin, brief, fig, num, weakest
from studio.plan.work.energy import (
    IF97,
    POT_G,
    EnergyUse,
    HobShare,
    Packet,
    every_set,
    held_min,
    hob_share,
)

RETURNED = "a lid returns some of it as water"


def boil_share(settled: Settled) -> HobShare:
    """Of the hob's power that leaves as steam: what the studio's sessions measured, else what heats the water up.

    What heats the water up counts too where the plan writes its share.

    **Source:** precedence: house rule; the upper end of nine in ten sessions for the pot water: house rule.
    """
    own = in_use(settled.shelf.habits, "boil-off")
    if own is None or settled.plan.hob_efficiency is not None:
        return hob_share(settled)
    value, least, most = (min(1.0, percent / 100.0) for percent in (own.value, *own.span))
    return HobShare(
        value=value, least=least, most=most, origin=own.origin, said=f"share of heat: {own.source}"
    )


def to_steam(settled: Settled, pot_ml: float, steam_c: float) -> Figure:
    """set.to_steam: by the hob, but where the studio's sessions say otherwise and the plan does not."""
    own, hob = in_use(settled.shelf.habits, "to-steam"), hob_share(settled)
    least = minutes_to_steam(pot_ml, COLD_TAP_C, steam_c, settled.hob_w.value, 1.0)
    if own is None or settled.plan.hob_efficiency is not None:
        times, said, source = (1 / hob.value, 1 / hob.most, 1 / hob.least), f"/ {num(hob.value)}", hob.said
    else:
        times, said = (own.value / 100.0, own.span[0] / 100.0, own.span[1] / 100.0), f"x {num(own.value)} %"
        source = f"time beside it: {own.source}"
    return fig(
        "set.to_steam",
        least * times[0],
        "min",
        "steam rolls after",
        f"{num(pot_ml)} mL x 4.19 J/gK x ({num(steam_c)} - {COLD_TAP_C:g}) K / ({num(settled.hob_w.value)} W x "
        f"60 s) = {num(least)} min with all heat, {said} = {num(least * times[0])} min",
        "estimate",
        f"heat balance; {source}; tap water at {COLD_TAP_C:g} °C: estimate; hob: {settled.hob_w.source}",
        low=least * times[1],
        high=least * times[2],
    )


DEFAULT_PLACES = 1
"""Packets that a steamer holds where the plan does not say. House rule."""
TARGET_C = 85.0
"""Where the centre counts as hot. House rule."""
MARGIN_MIN = 10.0
POT_RESERVE = 20.0
"""% more pot water than the hold boils off. House rule."""
MOST_BETWEEN_LOOKS_MIN = 15.0
CONDUCTION = (
    "Carslaw & Jaeger, Conduction of Heat in Solids, series 3.4 and 7.6 (from memory), surface at steam "
    "temperature; that heat spreads at 1.0e-7 to 1.6e-7 m2/s is an estimate from mixture bounds, the k of the "
    "cooling among them. An upper estimate: steam also goes into wool"
)


class SetWork(msgspec.Struct, frozen=True, kw_only=True):
    packet: Packet
    steam_c: float
    fast_min: float
    slow_min: float
    least_min: float
    """The longest of the minima of the plan's dye classes and fibres."""
    earliest_min: float
    """The set by the fast end of heat-through: enough where all goes well."""
    advised_min: float
    """The set by its slow end, which is what is held."""
    hold_min: float
    """The dyer's own, or the advised."""
    boil_off_ml_min: float
    most_ml_min: float
    """Boil-off that the pot water is reckoned with."""
    needed_ml: float
    """Pot water for the hold, with its reserve."""
    pot_ml: float
    """The plan's pot water, or the needed."""
    lasts_min: float
    look_min: float
    places: int
    """Packets the steamer holds at once."""
    rounds: int
    """How often it is filled, each piece being one packet."""
    figures: tuple[Figure, ...]


def work_set(settled: Settled, pick_up: float) -> SetWork:
    """set.boiling_point, .thickness, .heat_through, .hold, .hold.spread, .to_steam, .boil_off, .pot_water, .pot_lasts.

    `pick_up`: g of liquid in a g of fibre as it is wrapped.
    """
    plan, steam_c = packet_of(settled), settled.boil_c
    packet = steamed_packet(settled, pick_up)
    length_m = (packet.length_cm or math.inf) / 100.0
    heats = [
        steam.heat_through(
            packet.shape, each.thickness_cm / 100.0, length_m, settled.room.value, steam_c, target_c=TARGET_C
        )
        for each in packet.ends
    ]
    heating = steam.Heating(heats[0].fast_min, heats[-1].slow_min)
    least, least_said, least_source = _least(settled)
    earliest, advised = (_whole_hold(least, end) for end in (heating.fast_min, heating.slow_min))
    practice = hold_chosen(settled.plan.file, plan.practice)
    hold = plan.hold.value if plan.hold else hold_min_of(practice) if practice else advised
    share, places = boil_share(settled), plan.places or DEFAULT_PLACES
    rate = steam.boil_off_ml_min(settled.hob_w.value, steam_c, share.value)
    most = steam.boil_off_ml_min(settled.hob_w.value, steam_c, share.most)
    needed = steam.pot_water_ml(hold, most, POT_RESERVE)
    planned_ml = plan.pot_water.value if plan.pot_water else needed
    pot_ml = liquid_volume("pot water", settled.measured.get("set.pot_water", planned_ml))
    lasts = steam.pot_minutes(pot_ml, most)
    work = SetWork(
        packet=packet,
        steam_c=steam_c,
        fast_min=heating.fast_min,
        slow_min=heating.slow_min,
        least_min=least,
        earliest_min=earliest,
        advised_min=advised,
        hold_min=hold,
        boil_off_ml_min=rate,
        most_ml_min=most,
        needed_ml=needed,
        pot_ml=pot_ml,
        lasts_min=lasts,
        look_min=max(1.0, min(MOST_BETWEEN_LOOKS_MIN, lasts / 2.0, hold / 2.0)),
        places=places,
        rounds=math.ceil(settled.pieces / places),
        figures=(),
    )
    figures = (
        _boiling(settled, work),
        *thickness_figure(settled, packet, pick_up),
        _heat(settled, work),
        _hold(settled, work, least_said, least_source),
        hold_spread(settled.blend, hold),
    )
    pot = (to_steam(settled, pot_ml, steam_c), *_pot(settled, work, share, figures[2]))
    return msgspec.structs.replace(work, figures=(*figures, *pot, *_rounds_figure(settled, work)))


def _whole_hold(least_min: float, heat_min: float) -> float:
    """In whole minutes, so that the clock, the pot, the energy and what is read say one number. House rule."""
    return float(round(steam.hold_min(least_min, heat_min, margin_min=MARGIN_MIN)))


def _least(settled: Settled) -> tuple[float, str, str]:
    """The longest minimum among dye classes and fibres, who asks for it, and its source."""
    found = [(c.set_min_min, c.name, c.set_source) for c in settled.classes]
    found.extend((f.row.set_min_min, f.row.name, f.row.source) for f in settled.blend if f.row.set_min_min)
    return max(found, key=lambda row: row[0])


def _boiling(settled: Settled, work: SetWork) -> Figure:
    high = settled.altitude.value
    pascals = steam.pressure_pa(high)
    return fig(
        "set.boiling_point",
        work.steam_c,
        "degC",
        "water boils at",
        f"{num(high)} m: 101325 Pa x (1 - 0.0065 x {num(high)} / 288.15)^5.25588 = {num(pascals)} Pa; "
        f"water boils there at {work.steam_c:.2f} °C",
        weakest("published", settled.altitude.origin),
        f"{IF97}; altitude: {settled.altitude.source}",
    )


def _heat(settled: Settled, work: SetWork) -> Figure:
    body = work.packet.words()
    if work.packet.thick_cm:
        body += f" ({brief(work.packet.thin_cm or 0.0)} to {brief(work.packet.thick_cm)} cm)"
    missing = (TARGET_C - work.steam_c) / (settled.room.value - work.steam_c)
    return fig(
        "set.heat_through",
        work.slow_min,
        "min",
        "middle at 85 °C after",
        f"{body}, {num(settled.room.value)} to {TARGET_C:g} °C in steam of {num(work.steam_c)} °C, "
        f"share of heat missing ({TARGET_C:g} - {num(work.steam_c)}) / ({num(settled.room.value)} - "
        f"{num(work.steam_c)}) = {num(missing)}: "
        f"{num(work.slow_min)} min at 1.0e-7 m2/s, {num(work.fast_min)} min at 1.6e-7 m2/s",
        "estimate",
        CONDUCTION,
        low=work.fast_min,
        high=work.slow_min,
    )


def _hold(settled: Settled, work: SetWork, least_said: str, least_source: str) -> Figure:
    rule = (
        f"larger of {num(work.least_min)} min ({least_said}) and {num(work.slow_min)} + {MARGIN_MIN:g} = "
        f"{num(work.slow_min + MARGIN_MIN)} min, in whole minutes {num(work.advised_min)} min; at the earliest "
        f"{num(work.earliest_min)} min, by {num(work.fast_min)} + {MARGIN_MIN:g} = "
        f"{num(work.fast_min + MARGIN_MIN)} min"
    )
    plan = packet_of(settled)
    own, practice = plan.hold, hold_chosen(settled.plan.file, plan.practice)
    chosen = own is not None or practice is not None
    origin: Origin = "plan" if own else "house rule"
    because = f"{own.typed} as written; advised is the {rule}" if own else rule
    source = "the plan" if own else f"85 °C at the centre and ten minutes; minimum: {least_source}"
    if not own and work.hold_min > work.least_min:
        source += f"; middle at 85 °C: {CONDUCTION}"
    if practice is not None:
        origin, because = ORIGINS[practice.standing], f"{hold_because(practice)}; advised is the {rule}"
        source = hold_source(practice)
    return fig(
        "set.hold",
        work.hold_min,
        "min",
        "steam set, from rolling steam",
        because,
        origin,
        source,
        low=None if chosen else work.earliest_min,
        high=None if chosen else work.advised_min,
    )


def _pot(settled: Settled, work: SetWork, share: HobShare, held: Figure) -> tuple[Figure, ...]:
    power, most = settled.hob_w.value, num(work.most_ml_min)
    of = weakest(share.origin, settled.hob_w.origin, settled.altitude.origin)
    latent = steam.latent_heat_j_g(work.steam_c)
    # A mL of the cold water poured in weighs a gram to within what a jug shows.
    because = (
        f"{num(power)} W x {num(share.value)} x 60 s / {num(latent)} J/g = {num(work.boil_off_ml_min)} mL/min"
    )
    lasts = f"{num(work.pot_ml)} mL / {most} mL/min = {num(work.lasts_min)} min"
    hob = f"hob: {settled.hob_w.source}"
    upper = (
        ""
        if share.most == share.value
        else f"; at {num(share.most)} of the hob's heat, so that it does not run dry"
    )
    water = _pot_water(settled, work, upper, weakest(of, held.origin))
    return (
        fig(
            "set.boil_off",
            work.boil_off_ml_min,
            "mL/min",
            "boil-off of the pot",
            because,
            of,
            f"latent heat: IAPWS R7-97(2012); {share.said}; {RETURNED}; {hob}",
            low=work.boil_off_ml_min * share.least / share.value,
            high=work.most_ml_min,
        ),
        *water,
        fig(
            "set.pot_lasts",
            work.lasts_min,
            "min",
            "pot water lasts",
            lasts,
            weakest(of, water[0].origin),
            f"boil-off as above{upper}; {hob}",
            low=work.lasts_min,
            high=work.lasts_min * share.most / share.least,
        ),
    )


def _pot_water(settled: Settled, work: SetWork, upper: str, of: Origin) -> tuple[Figure, ...]:
    """set.pot_water, what is poured; and set.pot_needed beside it where the plan's is less."""
    written = packet_of(settled).pot_water
    because = f"{num(work.most_ml_min)} mL/min x {num(work.hold_min)} min x 1.2 = {num(work.needed_ml)} mL"
    source = f"{HOUSE}: a fifth more than boils off{upper}"
    needed = fig("set.pot_needed", work.needed_ml, "mL", "pot water the set needs", because, of, source)
    if written is None:
        asked = msgspec.structs.replace(needed, id="set.pot_water", label="pot water for the set")
        return (node(settled, asked),)
    told = f"{written.typed} as written; the set needs {because}"
    asked = fig("set.pot_water", written.value, "mL", "pot water for the set", told, "plan")
    poured = node(settled, asked)
    return (poured, needed) if poured.value < work.needed_ml else (poured,)


def _rounds_figure(settled: Settled, work: SetWork) -> tuple[Figure, ...]:
    """set.rounds; nothing for a single piece."""
    if settled.pieces == 1:
        return ()
    places, written = work.places, packet_of(settled).places is not None
    told = f"places = {places}" if written else f"{places} place, as nothing else is written"
    because = (
        f"{settled.pieces} packets / {told}, rounded up = {work.rounds}; {num(work.hold_min)} min and "
        f"{num(work.needed_ml)} mL of pot water for each"
    )
    origin: Origin = "plan" if written else "house rule"
    return (fig("set.rounds", work.rounds, "1", "fillings of the steamer", because, origin),)


def steam_energy(settled: Settled, steam: SetWork, paint: PaintWork) -> EnergyUse:
    """Pot water, wet goods and pot from room to boiling, then the hob at full power for the hold (estimate)."""
    hob = hob_share(settled)
    start, end = settled.room.value, steam.steam_c
    held_ml = paint.held_ml(settled)
    pots_ml = steam.pot_ml * steam.rounds
    once_j = pot.sensible_j(pots_ml, start, end, settled.dry_g, held_ml, POT_G)
    heat_j, again = every_set(settled, once_j, end)
    hold_min = held_min(settled, steam.hold_min * steam.rounds)
    heat_up, held = pot.kwh(heat_j, hob.value), pot.held_kwh(settled.hob_w.value, hold_min)
    because = (
        f"({num(pots_ml)} mL in the pot x 4.19 + {num(held_ml)} mL in the goods x 4.19 + "
        f"{num(settled.dry_g)} g of fibre x 1.36 + {num(POT_G)} g of pot x 0.5 J/gK) x ({num(end)} - {num(start)}) K"
        f"{again} = {num(heat_j / 1000)} kJ, / {num(hob.value)} = {num(heat_up)} kWh; {num(settled.hob_w.value)} W x "
        f"{num(hold_min)} min = {num(held)} kWh"
    )
    return EnergyUse(
        kwh=heat_up + held,
        because=because,
        source=f"heat balance; {hob.said}; the hob at full power throughout, an upper estimate; warm water "
        f"from the tap is not in it; hob: {settled.hob_w.source}",
    )
