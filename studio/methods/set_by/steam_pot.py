"""The pot by this studio's own sessions: how much of the hob boils water off, and when the steam rolls."""

from __future__ import annotations

import msgspec

from studio.craft.pot import COLD_TAP_C, minutes_to_steam
from studio.plan.habits import in_use
from studio.plan.settled import Settled
from studio.plan.shapes import Figure, Origin, fig, num

ALL_HEAT = "all heat into steam, an upper bound: a lid returns some"


class HobShare(msgspec.Struct, frozen=True, kw_only=True):
    """Shares of the hob's heat that leave as steam, 0 to 1."""

    value: float
    most: float
    """What the pot water is reckoned with: running dry does harm, water left over does none."""
    origin: Origin
    said: str


def hob_share(settled: Settled) -> HobShare:
    """The plan's share, else the studio's own, else all of it.

    **Source:** precedence: house rule; the upper end of nine in ten sessions for the pot water: house rule.
    """
    written = settled.plan.hob_efficiency
    if written is not None:
        said = ALL_HEAT if written == 1.0 else "share of heat as written"
        return HobShare(value=written, most=written, origin="estimate", said=said)
    own = in_use(settled.shelf.habits, "boil-off")
    if own is None:
        return HobShare(value=1.0, most=1.0, origin="estimate", said=ALL_HEAT)
    value, most = (min(1.0, percent / 100.0) for percent in (own.value, own.upper))
    return HobShare(value=value, most=most, origin=own.origin, said=f"share of heat: {own.source}")


def to_steam(settled: Settled, pot_ml: float, steam_c: float) -> tuple[Figure, ...]:
    """set.to_steam, where the studio's sessions tell how long it takes; nothing where they do not."""
    own = in_use(settled.shelf.habits, "to-steam")
    if own is None:
        return ()
    least = minutes_to_steam(pot_ml, COLD_TAP_C, steam_c, settled.hob_w.value, 1.0)
    minutes = least * own.value / 100.0
    figure = fig(
        "set.to_steam",
        minutes,
        "min",
        "steam rolls after",
        f"{num(pot_ml)} mL x 4.19 J/gK x ({num(steam_c)} - {COLD_TAP_C:g}) K / ({num(settled.hob_w.value)} W x "
        f"60 s) = {num(least)} min with all heat, x {num(own.value)} % = {num(minutes)} min",
        own.origin,
        f"heat balance; time beside it: {own.source}; tap water at {COLD_TAP_C:g} degC: estimate; "
        f"hob: {settled.hob_w.source}",
        low=least * own.low / 100.0 if own.standing == "yours" else None,
        high=least * own.high / 100.0 if own.standing == "yours" else None,
    )
    return (figure,)
