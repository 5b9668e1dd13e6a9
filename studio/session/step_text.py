"""What the one line of the bench says: a step's sentence as its clock, the steam and the pot stand now.

It never says the opposite of an alarm: once the clock of a wait is over, the line says what the alarm says.
"""

from __future__ import annotations

from studio.plan.shapes import Step
from studio.session.clock import Reading
from studio.session.live.pot_watch import pot_is_dry, pot_text
from studio.session.records import TimerRecord
from studio.session.state import State
from studio.session.timers import packets_in, ran_out

STEAM_LOST = "Bring the steam back to a roll; the set stands still until then."


def text_now(state: State, step: Step, now: Reading) -> str:
    """The sentence of the step to do now."""
    if step.role == "hold" and pot_is_dry(state, now):
        return pot_text(state, now, "dry")
    if step.role == "heat off" and packets_in(state):
        return f"Keep the heat on. {still_in_the_steam(state)}"
    if step.waiting and clock_is_ahead(state, step, now):
        return step.waiting
    timer = state.timers.get(step.timer)
    if step.kind != "wait" or step.waiting or timer is None:
        return step.text
    if timer.running and timer.paused is not None:
        return STEAM_LOST
    return due_text(state, timer) if ran_out(state, timer.id, now) else step.text


def due_text(state: State, timer: TimerRecord) -> str:
    """What is to be done when a clock runs out; a set that is over leaves the heat on for other packets."""
    inside = packets_in(state)
    if timer.role == "hold" and inside:
        named = ", ".join(t.label for t in inside)
        return f"The first packet's set is over: lift it out with tongs. The heat stays on for {named}."
    return timer.action


def still_in_the_steam(state: State) -> str:
    """Why the heat must stay on, or nothing."""
    inside = packets_in(state)
    if not inside:
        return ""
    named = ", ".join(t.label for t in inside)
    return f"Still in the steam: {named}. Lift it out first and stop its clock (P, then O)."


def clock_is_ahead(state: State, step: Step, now: Reading) -> bool:
    """Whether what the step waits for is still to come: its own clock, or the one a look at the bath began."""
    if step.kind == "wait":
        return not ran_out(state, step.timer, now)
    follows = {t.then for t in state.worksheet.timers if t.id == step.stops}
    clocks = [t for t in state.timers.values() if t.id in {step.stops, *follows} and t.running]
    return any(not ran_out(state, t.id, now) for t in clocks)
