"""The energy a plan draws, how long the packet cools, and how warm the rinse is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from operator import itemgetter

import msgspec

from studio.craft import packet as wrapped
from studio.craft import pot
from studio.plan.habits import Habit, in_use, rough
from studio.plan.model import Shape
from studio.plan.settled import Settled
from studio.plan.shapes import Figure, Origin, brief, fig, num, weakest

# After the steam: how long the packet cools, and how warm the rinse is.

UNWRAP_C = 40.0
IF97 = "ISO 2533 standard atmosphere; IAPWS R7-97(2012), equations 30 and 31"
HSE = (
    "HSE (UK), Scalding and burning, Health Services Information Sheet 6: 43 °C surface, 44 °C water for "
    "vulnerable people; 40 °C stays below both"
)
COOLING = (
    "h W/m2K to the air, k W/mK and rho c MJ/m3K inside; the outside is cool long before the middle; Carslaw & Jaeger, "
    "Conduction of Heat in Solids, chs. 3 and 7 (from memory), film and conductivity in one series; "
    "film by Churchill & Chu (from memory); conductivity from mixture bounds, for nobody has measured it"
)


class Packet(msgspec.Struct, frozen=True, kw_only=True):
    """What heats through and cools, as far as its plan says."""

    shape: Shape
    thickness_cm: float
    length_cm: float | None = None
    width_cm: float | None = None
    layers: int = 1
    """Of a sheet; length and width are then the sheet's, laid open."""
    thin_cm: float | None = None
    thick_cm: float | None = None
    """The ends of a thickness that was worked out; None where it is written."""

    @property
    def ends(self) -> tuple[Packet, ...]:
        """As thin and as thick as it may be; itself where that is known."""
        if self.thin_cm is None or self.thick_cm is None:
            return (self,)
        return tuple(
            msgspec.structs.replace(self, thickness_cm=each, thin_cm=None, thick_cm=None)
            for each in (self.thin_cm, self.thick_cm)
        )

    def volume_ml(self) -> float | None:
        """Room it takes up; None where a side of it is not known."""
        if self.length_cm is None:
            return None
        if self.shape == "roll":
            return math.pi * self.thickness_cm**2 / 4.0 * self.length_cm
        return (
            None
            if self.width_cm is None
            else self.thickness_cm * self.length_cm * self.width_cm / self.layers
        )

    def words(self) -> str:
        """`roll 5 cm by 14 cm`, `flat packet 2 cm, 8 layers of 50 cm by 50 cm`."""
        sides = [side for side in (self.length_cm, self.width_cm) if side is not None]
        told = " by ".join(f"{brief(side)} cm" for side in sides[: 1 if self.shape == "roll" else 2])
        between = " by " if self.layers == 1 else f", {self.layers} layers of "
        return f"{self.shape} {brief(self.thickness_cm)} cm" + (between + told if told else "")


class CoolWork(msgspec.Struct, frozen=True, kw_only=True):
    hot_c: float
    """What it cools from."""
    minutes: float
    figures: tuple[Figure, ...]
    packet: Packet | None = None
    """None where the goods cool in their bath."""
    body: wrapped.HotBody | None = None
    """As it cools by itself, without a habit of this studio; None in a bath."""


def bulk_g_ml(settled: Settled, packet: Packet, pick_up: float) -> float | None:
    """Weight of the wet packet by the room it takes up; None where a side of it is not known."""
    volume_ml = packet.volume_ml()
    return None if volume_ml is None else settled.piece_g * (1.0 + pick_up) / volume_ml


def believable(g_ml: float, pick_up: float) -> bool:
    """Whether wet fibre with its air can weigh that."""
    return wrapped.LOOSEST_G_ML <= g_ml <= wrapped.densest_g_ml(pick_up)


def work_cool(settled: Settled, packet: Packet, hot_c: float, pick_up: float) -> CoolWork:
    """cool.time and rinse.temperature of a wrapped packet: when its middle is cool.

    `pick_up`: g of liquid in a g of fibre as it is wrapped. Heat is counted by the weight in its sides; where these
    are not known, or cannot be, with no air for the careful ends and with the usual air for the quick one.
    """
    room = settled.room.value
    bulk = bulk_g_ml(settled, packet, pick_up)
    dense = wrapped.densest_g_ml(pick_up)
    known = bulk is not None and believable(bulk, pick_up)
    full, loose = (bulk, bulk) if known and bulk is not None else (dense, min(dense, wrapped.USUAL_G_ML))
    ends = [(packet, full), (packet, loose)]
    if packet.thin_cm is not None:
        ends = [(each, bulk_g_ml(settled, each, pick_up) or full) for each in packet.ends]
    body = _body(packet, wrapped.heat_j_m3k(pick_up, full), wrapped.USUAL)
    lead = wrapped.centre_cool_min(body, hot_c, room, UNWRAP_C)
    (low, quick), (high, slow) = (
        end(_cools(ends, pick_up, film, hot_c, room), key=itemgetter(0))
        for end, film in ((min, wrapped.FAST), (max, wrapped.SLOW))
    )
    because = (
        f"probe in the middle of a {packet.words()}, {brief(hot_c)} to {UNWRAP_C:g} °C in {brief(room)} °C: "
        f"{_told(body)}, rho c {brief(body.heat_j_m3k / 1e6)}: {brief(lead)} min; {_told(slow)}: {brief(high)} min; "
        f"{_told(quick)}, rho c {brief(quick.heat_j_m3k / 1e6)}: {brief(low)} min"
    )
    own = in_use(settled.shelf.habits, "cooling")
    if own is not None:
        lead, low, high, because = _as_yours(own, lead, low, high, because)
    return CoolWork(
        hot_c=hot_c,
        minutes=lead,
        packet=packet,
        body=body,
        figures=(
            fig(
                "cool.time",
                lead,
                "min",
                "cooling in the wrap",
                because,
                weakest(settled.room.origin, own.origin if own else "estimate"),
                f"{COOLING}{f'; {own.source}' if own else ''}; room: {settled.room.source}; measure before opening",
                low=low,
                high=high,
            ),
            rinse_figure("packet"),
        ),
    )


def _cools(
    ends: Sequence[tuple[Packet, float]], pick_up: float, film: wrapped.Film, hot_c: float, room_c: float
) -> list[tuple[float, wrapped.HotBody]]:
    """Minutes of each packet of so many g/mL in that air, and the body that takes them."""
    bodies = [_body(packet, wrapped.heat_j_m3k(pick_up, g_ml), film) for packet, g_ml in ends]
    return [(wrapped.centre_cool_min(body, hot_c, room_c, UNWRAP_C), body) for body in bodies]


def _body(packet: Packet, heat_j_m3k: float, film: wrapped.Film) -> wrapped.HotBody:
    sides = (packet.length_cm, packet.width_cm) if packet.layers == 1 else (None, None)
    length_m, width_m = ((side or math.inf) / 100.0 for side in sides)
    return wrapped.HotBody(packet.shape, packet.thickness_cm / 100.0, heat_j_m3k, length_m, width_m, film)


def _told(body: wrapped.HotBody) -> str:
    return f"h {brief(body.film.h_w_m2k)}, k {brief(body.film.k_w_mk)}"


def _as_yours(
    own: Habit, lead: float, low: float, high: float, because: str
) -> tuple[float, float, float, str]:
    """Minutes at this studio's own rate; its spread widens the interval, and never narrows it."""
    (least, most), yours = own.span, 100.0 / own.value
    widened = min(low * yours, lead * 100.0 / most), max(high * yours, lead * 100.0 / least)
    ranging = f" ({rough(least)} to {rough(most)} %)" if most > least else ""
    minutes = f"{brief(lead * yours)} min ({brief(widened[0])} to {brief(widened[1])})"
    return (
        lead * yours,
        *widened,
        f"{because}; your packets at {brief(own.value)} % of that rate{ranging}: {minutes}",
    )


def rinse_figure(what: str) -> Figure:
    """rinse.temperature: how warm the packet or the bath may be when hands go in."""
    return fig(
        "rinse.temperature",
        UNWRAP_C,
        "degC",
        "cool enough to open and rinse" if what == "packet" else "cool enough to lift out and rinse",
        f"{what} down to {UNWRAP_C:g} °C; rinse water within 10 °C of it, so that wool does not felt",
        "house rule",
        HSE,
    )


# The energy a plan draws: pot and goods brought to the boil, and the hob while the steam is held.

POT_G = 1_500.0
"""A steel pot with its rack and lid. Estimate."""


class HobShare(msgspec.Struct, frozen=True, kw_only=True):
    """Shares of the hob's power that reach the water, 0 to 1."""

    value: float
    least: float
    most: float
    origin: Origin
    said: str


def hob_share(settled: Settled) -> HobShare:
    """For heating up as for boiling: the plan's, else that of an electric ring; other hobs in its ends."""
    written = settled.plan.hob_efficiency
    if written is not None:
        return HobShare(
            value=written, least=written, most=written, origin="plan", said="efficiency as written"
        )
    usual, least, most = pot.HOB_EFFICIENCY, pot.LEAST_HOB_EFFICIENCY, pot.MOST_HOB_EFFICIENCY
    said = f"efficiency {num(usual)} of an electric ring, {num(least)} of gas to {num(most)} of induction: from memory"
    return HobShare(value=usual, least=least, most=most, origin="from memory", said=said)


def hob_gives_w(settled: Settled) -> float:
    """What of the hob reaches the water."""
    return settled.hob_w.value * hob_share(settled).value


class EnergyUse(msgspec.Struct, frozen=True, kw_only=True):
    """What heating up and holding draw, and why."""

    kwh: float
    because: str
    source: str


COLD_C = 20.0
"""Water that is filled up, before it was heated; from a cold tap it takes a little more. Estimate."""


def every_set(settled: Settled, heat_j: float, end_c: float) -> tuple[float, str]:
    """J for every set and for the water filled up, and how that is told: both known of a session alone."""
    sets, filled_ml = settled.measured.get("energy.sets", 1.0), settled.measured.get("energy.filled", 0.0)
    told = f" x {num(sets)} sets" if sets != 1 else ""
    if filled_ml > 0:
        told += f" + {num(filled_ml)} mL filled up x 4.19 x {num(end_c - COLD_C)} K"
    return heat_j * sets + pot.sensible_j(filled_ml, COLD_C, end_c), told


def held_min(settled: Settled, planned_min: float) -> float:
    """As the clocks ran; no more than a week, which is what `pot.held_kwh` takes."""
    return min(10_000.0, settled.measured.get("energy.held", planned_min))
