"""What the passing of time gives: alarms, clock jumps; what answers them; and packets with clocks of their
own.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator
from typing import Any

from studio.plan.shapes import Timer
from studio.quantity.showing import show
from studio.session import commands as c
from studio.session.asked import Refused, reason, words
from studio.session.clock import NS, Reading, elapsed_since
from studio.session.doubts import due_text
from studio.session.events import Event
from studio.session.kinds import clocks
from studio.session.live import steam
from studio.session.live.given import allowed, clock_of, record_of
from studio.session.state import AlarmLevel, AlarmRecord, State, TimerRecord, Urgency
from studio.session.timers import elapsed_s, main_is_over, packets_in, whole_s

# What the passing of time gives: alarms, clock jumps; and what answers them.

JUMP_S = 2.0
"""Clocks that part by more than this between two ticks have been set or slept through. House rule."""

PRE_ALERTS: tuple[tuple[float, AlarmLevel], ...] = ((60.0, "60 s"), (10.0, "10 s"))


@c.rule(c.Tick)
def tick(state: State, command: c.Tick, now: Reading) -> Iterator[Event]:
    """Alarms that have come due and clock jumps since the tick before."""
    if command.previous:
        yield from _jumps(command.previous, now)
    pot = steam.pot_alarm(state, now)
    ringing = {a.timer for a in state.alarms if a.standing}
    if pot is not None:
        timer, level = pot
        urgent: Urgency = "high" if level == "dry" else "medium"
        yield _raised(timer, level, urgent, steam.pot_text(state, now, level), 0.0)
        yield from end_alarms(state, {timer.id}, "dry pot", now, ("low",)) if level == "dry" else ()
        ringing.add(timer.id)
    for timer in state.timers.values():
        if timer.running and timer.id not in ringing and not main_is_over(state, timer, now):
            yield from _alarms(state, timer, now)


def next_alarm_in_s(state: State, now: Reading) -> float:
    """Seconds until the next alarm is raised, if nothing is done until then; infinite where none will be."""
    ahead = [steam.pot_alarm_in_s(state, now)]
    for timer in state.timers.values():
        gone, sure = elapsed_s(timer, now)
        if timer.running and sure and timer.paused is None and not main_is_over(state, timer, now):
            left = timer.minutes * 60 - gone
            ahead.extend(left - lead for lead, _ in _levels(timer))
    return min((s for s in ahead if s > 0), default=math.inf)


def _levels(timer: TimerRecord) -> tuple[tuple[float, AlarmLevel], ...]:
    """Seconds before its end at which a clock raises an alarm that it has not raised yet, with the level."""
    levels: tuple[tuple[float, AlarmLevel], ...] = (
        *(ahead for ahead in PRE_ALERTS if timer.minutes * 60 > 2 * ahead[0]),
        (0.0, "due"),
    )
    return tuple(level for level in levels if level[1] not in timer.raised)


def _jumps(before: Reading, now: Reading) -> Iterator[Event]:
    if before.boot != now.boot:
        return
    wall = (now.wall_ns - before.wall_ns) / NS
    boot = (now.boot_ns - before.boot_ns) / NS
    mono = (now.mono_ns - before.mono_ns) / NS
    if boot - mono > JUMP_S:
        yield clocks.ClockSuspended(round(boot - mono, 3))
    if abs(wall - boot) > JUMP_S:
        yield clocks.ClockStepped(round(wall - boot, 3))


def _alarms(state: State, timer: TimerRecord, now: Reading) -> list[Event]:
    gone, sure = elapsed_s(timer, now)
    left = timer.minutes * 60 - gone
    if not sure:
        return []
    if left <= 0:
        return [] if "due" in timer.raised else _due(state, timer, -left, now)
    for lead_s, level in reversed(PRE_ALERTS):
        long_enough = timer.minutes * 60 > 2 * lead_s
        if left <= lead_s and long_enough:
            text = f"{timer.label}: {whole_s(left)} s to go"
            return [] if level in timer.raised else [_raised(timer, level, "low", text, lead_s - left)]
    return []


def _due(state: State, timer: TimerRecord, late_s: float, now: Reading) -> list[Event]:
    """The alarm of a clock that is over; what its companions still ring for is over with it."""
    due = _raised(timer, "due", timer.priority, due_text(state, timer), late_s)
    if timer.needs_steam and packets_in(state):
        return [due]
    beside = {t.id for t in state.timers.values() if t.with_timer == timer.id and t.repeats}
    return [due, *end_alarms(state, beside, timer.id, now, ("due", "low"))]


def _raised(timer: TimerRecord, level: AlarmLevel, priority: Urgency, text: str, late_s: float) -> Event:
    late_s = round(max(0.0, late_s), 3)
    return clocks.AlarmRaised(timer.id, level, priority, text, late_s, timer.round, timer.n)


def _standing(state: State, n: int) -> AlarmRecord:
    alarm = next((a for a in state.alarms if a.n == n), None)
    if alarm is None or not alarm.standing:
        raise Refused("That alarm has already been answered.")
    return alarm


@c.rule(c.Acknowledge)
def acknowledge(state: State, command: c.Acknowledge, now: Reading) -> Iterator[Event]:
    """The dyer has heard it; a repeating timer starts its next round, which stands still while the steam is lost."""
    alarm = _standing(state, command.alarm)
    latency = elapsed_since(alarm.raised, now).seconds
    yield clocks.AlarmAcknowledged(alarm.n, round(latency, 3))
    timer = state.timers.get(alarm.timer)
    if timer is not None and timer.repeats and timer.running:
        yield next_round(state, timer, now)
    if timer is not None:
        yield from _what_follows(state, timer, now)


def end_alarms(
    state: State, timers: Collection[str], by: str, now: Reading, levels: Collection[str] = ("due",)
) -> list[Event]:
    """What those clocks ring for has been done, or has no sense any more: their alarms end with it."""
    return [
        clocks.AlarmAcknowledged(a.n, round(max(0.0, elapsed_since(a.raised, now).seconds), 3), by)
        for a in state.alarms
        if a.standing and a.timer in timers and a.level in levels
    ]


def _what_follows(state: State, timer: TimerRecord, now: Reading) -> Iterator[Event]:
    """The clock that follows by itself on one that has run out: a rest on a burst of the oven."""
    known = {t.id: t for t in state.worksheet.timers}
    own = known.get(timer.id)
    after = known.get(own.then) if own is not None and own.then else None
    if after is None or not timer.running or elapsed_s(timer, now)[0] < timer.minutes * 60:
        return
    yield stop_draft(timer, now)
    following = state.timers.get(after.id)
    if following is None or not following.running:
        yield start_draft(after, after.minutes, timer.by)


def stop_draft(timer: TimerRecord, now: Reading) -> Event:
    """The event that stops a timer."""
    # After a restart of the machine a companion clock may stand below nothing; that is no time it ran.
    return clocks.TimerStopped(timer.id, round(max(0.0, elapsed_s(timer, now)[0]), 3))


def next_round(state: State, timer: TimerRecord, now: Reading, poured_ml: float = 0.0) -> Event:
    """The event that starts a repeating timer anew; `poured_ml` goes into its pot at that moment."""
    planned = next((t.minutes for t in state.worksheet.timers if t.id == timer.id), timer.minutes)
    minutes = steam.watched_min(state, timer, planned, now, poured_ml)
    return start_draft(timer, minutes, timer.by, timer.round + 1)


_OF_A_CLOCK = (
    "role", "set_number", "label", "action", "priority", "repeats", "with_timer", "needs_steam",
)  # fmt: skip
"""What stays of a clock from round to round."""


def start_draft(timer: Timer, minutes: float, by: str, number: int = 1) -> Event:
    """The event that starts a timer, or its round of that number."""
    kept: dict[str, Any] = {name: getattr(timer, name) for name in _OF_A_CLOCK}
    return clocks.TimerStarted(timer=timer.id, minutes=minutes, by=by, round=number, **kept)


@c.rule(c.Snooze)
def snooze(state: State, command: c.Snooze, now: Reading) -> list[Event]:
    """Quiet for a while; the sign stays on screen."""
    alarm = _standing(state, command.alarm)
    if not 0 < command.minutes <= 10:
        raise Refused("An alarm can be put off by up to 10 minutes, for example 1 min.")
    return [clocks.AlarmSnoozed(alarm.n, command.minutes)]


@c.rule(c.ExtendTimer)
def extend(state: State, command: c.ExtendTimer, now: Reading) -> list[Event]:
    """Give a running timer more time, or less; one that is over gets its minutes from now on."""
    timer = state.timers.get(command.timer)
    if timer is None or not timer.running:
        raise Refused("That clock is not running.")
    if not 0 < abs(command.minutes) <= 600:
        raise Refused("A clock can be made 1 min to 10 h longer or shorter, for example 5 min.")
    over = sure_s(timer, now) / 60 - timer.minutes
    if command.minutes < 0 and (over >= 0 or timer.minutes + command.minutes <= 0):
        left = "is over already" if over >= 0 else f"is set for {show(timer.minutes, 'min')}"
        raise Refused(
            f"The clock '{timer.label}' {left}; it cannot be given {-command.minutes:.3g} min less."
        )
    more = command.minutes + max(0.0, over)
    given = clocks.TimerExtended(timer.id, round(more, 4), reason(command.why))
    return [given, *end_alarms(state, {timer.id}, "more time", now)]


@c.rule(c.ConfirmElapsed)
def confirm_elapsed(state: State, command: c.ConfirmElapsed, now: Reading) -> list[Event]:
    """After a restart of the machine the dyer says how long the timer has run."""
    timer = state.timers.get(command.timer)
    if timer is None or not timer.running:
        raise Refused("That clock is not running.")
    if not 0 <= command.minutes <= 24 * 60:
        raise Refused("Write how long it has run, from 0 min to 24 h, for example 12 min.")
    if timer.paused is not None:
        raise Refused(
            "That clock stands still while the steam is lost; say how long it ran once steam rolls again."
        )
    from_clock, _ = elapsed_s(timer, now)
    said = clocks.TimerConfirmed(timer.id, round(command.minutes * 60, 3), round(from_clock, 3))
    over = command.minutes >= timer.minutes
    ended = [] if over else end_alarms(state, {timer.id}, "true time", now)
    return [said, *ended]


def sure_s(timer: TimerRecord, now: Reading) -> float:
    """Seconds a timer has run; Refused where only the dyer can tell."""
    gone, sure = elapsed_s(timer, now)
    if not sure:
        raise Refused(
            f"The computer lost count: say first how long {timer.label} has run ({{bench.true_time}})."
        )
    return gone


def unsure_timers(state: State, now: Reading) -> list[TimerRecord]:
    """Running timers whose time must be confirmed by the dyer before it counts."""
    return [t for t in state.timers.values() if t.running and not elapsed_s(t, now)[1]]


# Several packets in one steam, each with its own clock; the heat stays on for the last of them.

MOST_PACKETS = 8
"""The first one and seven more. House rule."""


def goes_on_for_packets(timer: TimerRecord) -> bool:
    """Whether a clock looks after the pot, and so goes on while any packet is in the steam."""
    return timer.needs_steam and timer.repeats


@c.rule(c.PacketIn)
def packet_in(state: State, command: c.PacketIn, now: Reading) -> list[Event]:
    """Another packet with its own clock, as long as the first one's."""
    label = words(command.label)[:40]
    if not allowed(state, "packets"):
        raise Refused("Packets with clocks of their own are for the steamer.")
    first = clock_of(state, "hold", 1)
    if first is None or steam.rolling_since(state) is None:
        raise Refused("The first packet's clock starts the steam; another packet goes in after that.")
    if steam.steam_is_lost(state):
        raise Refused("The steam is lost; put the packet in when it rolls again ({bench.steam}).")
    if record_of(state, "heat off", number=state.sets).closed:
        raise Refused("The heat is off; another packet needs a steam of its own.")
    number = 2 + sum(t.role == "packet" for t in state.timers.values())
    if number > MOST_PACKETS:
        raise Refused(f"A session keeps {MOST_PACKETS} packets; begin another session for more.")
    packet = Timer(
        id=f"packet-{number}",
        role="packet",
        set_number=state.sets,
        label=label,
        minutes=first.minutes,
        action=f"{label}: its set is over, lift it out with tongs.",
        priority="high",
        needs_steam=True,
    )
    return [start_draft(packet, first.minutes, "")]


@c.rule(c.PacketOut)
def packet_out(state: State, command: c.PacketOut, now: Reading) -> Iterator[Event]:
    """A packet came out: its clock stops where it is."""
    timer = state.timers.get(command.timer)
    if timer is None or not timer.running or timer.role != "packet":
        raise Refused("That packet is not in the steam.")
    sure_s(timer, now)
    yield stop_draft(timer, now)
    if packets_in(state) == (timer,):
        yield from _nothing_left_to_watch(state, now)


def _nothing_left_to_watch(state: State, now: Reading) -> list[Event]:
    """With the last packet end the clocks that went on beside it after the first one's set was over."""
    return [
        stop_draft(t, now)
        for t in state.timers.values()
        if t.running and goes_on_for_packets(t) and not state.timers[t.with_timer].running
    ]
