"""What a step says as things stand, and what can hardly be so: taken all the same where it is meant."""

from __future__ import annotations

from studio.methods.put_on.bath_work import BathWork
from studio.methods.set_by.bath import part_c
from studio.methods.set_by.steam_work import SetWork
from studio.plan.settled import SettledColour
from studio.plan.shapes import Place, Step, Worksheet
from studio.plan.steps.lay import in_set, paint_path
from studio.plan.work.stocks import LEAST_ML
from studio.quantity.reading_in import told
from studio.quantity.showing import show
from studio.session.asked import ReallyMeant
from studio.session.bands import bands_of, still_bare
from studio.session.clock import Reading, elapsed_since
from studio.session.live.bath import ramp_of
from studio.session.live.cooling import foretold
from studio.session.live.given import off_the_heat, record_of
from studio.session.live.painting import stock_left_ml
from studio.session.live.steam import pot_is_dry, pot_text, rolling_since, steam_is_lost, water_ml
from studio.session.sheet import fixes, heat_now, sheet_now, tried, value_now, worked_now
from studio.session.state import State, TimerRecord
from studio.session.timers import elapsed_s, minutes_text, packets_in, ran_out

# What the one line of the bench says: a step's sentence as its clock, the steam and the pot stand now.
# It never says the opposite of an alarm: once the clock of a wait is over, the line says what the alarm
# says.

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
    return f"Still in the steam: {named}. Lift it out first and stop its clock ({{bench.packets}})."


def clock_is_ahead(state: State, step: Step, now: Reading) -> bool:
    """Whether what the step waits for is still to come: its own clock, or the one a look at the bath began."""
    if step.kind == "wait":
        return not ran_out(state, step.timer, now)
    follows = {t.then for t in state.worksheet.timers if t.id == step.stops}
    clocks = [t for t in state.timers.values() if t.id in {step.stops, *follows} and t.running]
    return any(not ran_out(state, t.id, now) for t in clocks)


# What can hardly be so: one sentence that says what is odd, or nothing. It is taken all the same where
# it is meant.

SOON_SHARE = 0.1
"""Of the time expected from cold water to steam: a pot put on hot takes longer than this. House rule."""
AS_SHOWN = 0.995
"""Of an amount: no less than this reads like it where three figures are shown. House rule."""
EARLY_SHARE = 0.5
"""A set ended before this much of its time was hardly one. House rule."""


def taken(odd: str, *, meant: bool) -> bool:
    """Whether there is a doubt, as an event keeps it; ReallyMeant where nobody has said yet that it is so."""
    if odd and not meant:
        raise ReallyMeant(odd)
    return bool(odd)


def closing(state: State, step: Step, now: Reading) -> str:
    """What is odd about a step that is said to be done."""
    if step.role == "steam rolling":
        return _steam_too_soon(state, now)
    if step.role == "paint" and any(not band.bare for band in bands_of(state)):
        bare = still_bare(state, "back" if step.of else "front")
        return f"All painted, with {bare} still to paint?" if bare else ""
    return ""


def _steam_too_soon(state: State, now: Reading) -> str:
    steam, on, poured_ml = heat_now(state, SetWork), record_of(state, "heat on").moment, water_ml(state)
    if steam is None or on is None or poured_ml is None:
        return ""
    took = elapsed_since(on, now)
    expected_min = value_now(state, in_set("set.to_steam", state.sets)) or 0.0
    if not took.sure or took.seconds >= 60 * expected_min * SOON_SHARE:
        return ""
    return (
        f"Steam {minutes_text(took.seconds)} after the pot went on, where {told(poured_ml, 'mL', kitchen=True)} "
        f"from cold take {show(expected_min, 'min', 2)}?"
    )


COOL_LID_C = 20.0
"""So far below its steam a lid is not one that steam rolls under. House rule."""


def reading(state: State, where: Place, value_c: float, now: Reading) -> str:
    """What is odd about a temperature read beside the steps: goods cool too soon, a lid far below its steam."""
    if where == "lid":
        return _cool_lid(state, value_c)
    return _cool_too_soon(state, value_c, now) if where == state.worksheet.read_at else ""


def _cool_lid(state: State, value_c: float) -> str:
    steam = heat_now(state, SetWork)
    rolls = rolling_since(state) is not None and not record_of(state, "heat off", number=state.sets).closed
    if steam is None or not rolls or steam_is_lost(state) or value_c > steam.steam_c - COOL_LID_C:
        return ""
    return (
        f"Really {told(value_c, 'degC')} at the lid, where the steam has {told(steam.steam_c, 'degC')}? "
        "If the steam is lost, say that first ({bench.steam})."
    )


def _cool_too_soon(state: State, value_c: float, now: Reading) -> str:
    waits, off = state.worksheet.step_for("cooling", number=state.sets), off_the_heat(state).moment
    least_min = _cool_at_earliest(state, now)
    if waits is None or state.step(waits.id).closed or off is None or least_min is None:
        return ""
    gone = elapsed_since(off, now)
    if not gone.sure or gone.seconds >= 60 * least_min or value_c > (waits.limit_c or 0.0):
        return ""
    of = "bath" if state.worksheet.read_at == "bath" else "middle"
    return (
        f"{told(value_c, 'degC')} after {minutes_text(gone.seconds)}, where the {of} takes "
        f"{show(least_min, 'min')} at the earliest?"
    )


def _cool_at_earliest(state: State, now: Reading) -> float | None:
    """Minutes from the heat, by the readings so far where they tell it, else by the sheet."""
    off, read = off_the_heat(state).moment, foretold(state, now)
    if off is not None and read is not None and read.low is not None:
        return read.low + elapsed_since(off, now).seconds / 60 if read.low > 0 else 0.0
    figure = sheet_now(state).figure(in_set("cool.time", state.sets))
    return None if figure is None else figure.low


def ending(state: State, step: Step, now: Reading) -> str:
    """What is odd about a wait that is ended against its clock."""
    timer = state.timers.get(step.timer)
    if timer is None or step.kind != "wait" or timer.role != "hold":
        return ""
    gone, sure = elapsed_s(timer, now)
    if not sure or gone >= EARLY_SHARE * 60 * timer.minutes:
        return ""
    return f"End it after {minutes_text(gone)} of {show(timer.minutes, 'min')}, with the middle hardly warm?"


LEAST_PH = 0.01
"""Less is no other pH: it is not shown."""


def follows(state: State, step: Step, value: float) -> str:
    """What an odd value of a step would lead to, for the sentence that doubts it; empty where nothing is worked out."""
    if not step.sets:
        return ""
    then = tried(state, fixes(state, step, value))
    if step.role in ("acid", "pH"):
        ph = _ph_after(step, then)
        as_asked = _ph_after(step, tried(state, fixes(state, step, step.expected)))
        bath = "soak" if state.choices.plan.sour.table == "presoak" else "bath"
        # A strip that cannot be moves nothing, nor does acid that a strip has told of since; what was asked for is
        # a pH of two digits, and not quite the figure behind it.
        if ph is None or as_asked is None or abs(ph - as_asked) < LEAST_PH:
            return ""
        return f"it brings the {bath} to {show(ph, 'pH')}"
    depth = then.figure(paint_path(step.of, "depth")) if step.role == "mix" else None
    planned = sheet_now(state).figure(depth.id) if depth is not None else None
    if depth is None or planned is None or abs(depth.value - planned.value) < 0.005 * planned.value:
        return ""
    return f"the depth comes to {show(depth.value, '%')}, not {show(planned.value, '%')}"


def _ph_after(step: Step, sheet: Worksheet) -> float | None:
    figures = (sheet.figure(one) for one in step.figures if one != step.sets)
    return next((figure.value for figure in figures if figure is not None and figure.unit == "pH"), None)


def mixed(state: State, step: Step, value: float) -> str:
    """What is odd about paint read as less than the stock that went into it."""
    poured_ml = value_now(state, paint_path(step.of, "stock")) if step.role == "mix" else None
    if poured_ml is None or value >= AS_SHOWN * poured_ml:
        return ""
    return f"Only {show(value, 'mL')}, where {show(poured_ml, 'mL')} of stock went in?"


PART_TOO_COLD_C = 8.0
"""So far below its place on the ramp a later part of the dye is poured too early. House rule."""


def part_too_soon(state: State, step: Step, now: Reading) -> str:
    """What is odd about a later part of the dye: its clock is not due, and the bath nowhere near its warmth."""
    timer, worked, seen = state.timers.get(step.stops), worked_now(state), ramp_of(state, now)
    if step.role != "dye in" or timer is None or not timer.running or ran_out(state, timer.id, now):
        return ""
    if worked is None or seen is None or not isinstance(worked.put, BathWork):
        return ""
    wanted_c = part_c(worked.put, seen.heat, int(step.of))
    bath_c = seen.planned_c(seen.now_min) + (seen.off_c or 0.0)
    if bath_c >= wanted_c - PART_TOO_COLD_C:
        return ""
    what = "ramp" if seen.off_c is None else "bath"
    bath, wanted = told(bath_c, "degC", 2), told(wanted_c, "degC", 2)
    return f"Really now? The {what} is at about {bath}; part {step.of} goes in at about {wanted}."


def batch(state: State, colour: SettledColour, stock_ml: float) -> str:
    """What is odd about a later batch from the jar of stock."""
    left_ml = stock_left_ml(state, colour)
    if left_ml is None or left_ml >= AS_SHOWN * stock_ml:
        return ""
    left = f"{show(left_ml, 'mL')} are" if left_ml >= LEAST_ML else "none is"
    return f"That takes {show(stock_ml, 'mL')} of stock, and {left} left: was it made up anew?"
