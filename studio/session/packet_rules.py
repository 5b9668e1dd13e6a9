"""Several packets in one steam, each with its own clock; the heat stays on for the last of them."""

from __future__ import annotations

from studio.plan.steps.lay import clock_id
from studio.session import commands as c
from studio.session.clock import Reading
from studio.session.events import Event
from studio.session.kinds.clocks import TimerStarted
from studio.session.live import steam
from studio.session.live.given import allowed, clock_of, record_of
from studio.session.records import TimerRecord
from studio.session.refusals import Refused, words
from studio.session.state import State
from studio.session.time_rules import stop_draft, sure_s
from studio.session.timers import elapsed_s, packets_in

MOST_PACKETS = 8
"""The first one and seven more. House rule."""


def goes_on_for_packets(timer: TimerRecord) -> bool:
    """Whether a clock looks after the pot, and so goes on while any packet is in the steam."""
    return timer.needs_steam and timer.repeats


def packet_in(state: State, command: c.PacketIn, now: Reading) -> list[Event]:
    """Another packet with its own clock, as long as the first one's."""
    label = words(command.label)[:40]
    if not allowed(state, "packets"):
        raise Refused("Packets with clocks of their own are for the steamer.")
    first = clock_of(state, "hold", 1)
    if first is None or steam.rolling_since(state) is None:
        raise Refused("The first packet's clock starts the steam; another packet goes in after that.")
    if steam.steam_is_lost(state):
        raise Refused("The steam is lost; put the packet in when it rolls again (G).")
    if record_of(state, "heat off", number=state.sets).closed:
        raise Refused("The heat is off; another packet needs a steam of its own.")
    number = 2 + sum(t.role == "packet" for t in state.timers.values())
    if number > MOST_PACKETS:
        raise Refused(f"A session keeps {MOST_PACKETS} packets; begin another session for more.")
    started = TimerStarted(
        timer=clock_id("packet", str(number)),
        role="packet",
        set_number=state.sets,
        label=label,
        minutes=first.minutes,
        action=f"{label}: its set is over, lift it out with tongs.",
        priority="high",
        repeats=False,
        with_timer="",
        needs_steam=True,
        by="",
        round=1,
    )
    return [started]


def packet_out(state: State, command: c.PacketOut, now: Reading) -> list[Event]:
    """A packet came out: its clock stops where it is."""
    timer = state.timers.get(command.timer)
    if timer is None or not timer.running or timer.role != "packet":
        raise Refused("That packet is not in the steam.")
    drafts = [stop_draft(timer.id, sure_s(timer, now))]
    if packets_in(state) == (timer,):
        drafts.extend(_nothing_left_to_watch(state, now))
    return drafts


def _nothing_left_to_watch(state: State, now: Reading) -> list[Event]:
    """With the last packet end the clocks that went on beside it after the first one's set was over."""
    return [
        stop_draft(t.id, elapsed_s(t, now)[0])
        for t in state.timers.values()
        if t.running and goes_on_for_packets(t) and not state.timers[t.with_timer].running
    ]
