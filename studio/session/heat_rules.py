"""What is done at the heat: steam lost and back, the pot filled and read, temperatures; a bath that will not clear,
rinses, and the goods set again.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import get_args

from studio.craft.rinse import is_clear
from studio.plan.shapes import Step
from studio.quantity.reading_in import told, told_number
from studio.session import commands as c
from studio.session import doubts
from studio.session.asked import GRADES, Refused, asked_in, reason, told_of, unit_asked, value_of
from studio.session.clock import Elapsed, Reading, elapsed_since
from studio.session.events import Event
from studio.session.folding import foreseen
from studio.session.kinds import heat
from studio.session.kinds.clocks import TimerExtended
from studio.session.kinds.heat import AcidDosed
from studio.session.kinds.steps import StepMeasured
from studio.session.live import cooling, steam
from studio.session.live.cooling import ended_by
from studio.session.live.given import acid_poured, allowed, clock_of, onto_the_heat, record_of
from studio.session.live.steam import POT_LEVELS
from studio.session.live.thinking import effective
from studio.session.path import is_free
from studio.session.sheet import value_now
from studio.session.state import State
from studio.session.step_rules import done_drafts
from studio.session.time_rules import end_alarms, next_round, sure_s
from studio.session.timers import elapsed_s, ran_out

MOST_SETS = 3
"""Heat felts and yellows wool; the first set and two repeats. House rule."""


@c.rule(c.ToggleSteam)
def toggle_steam(state: State, command: c.ToggleSteam, now: Reading) -> list[Event]:
    """Steam lost: what needs it stands still. Rolling again: it goes on, longer after a long loss."""
    steam_may_turn(state, now)
    return steam_turned(state, now)


def steam_may_turn(state: State, now: Reading) -> None:
    """Refused where no steam rolls that could be lost, or a clock that needs it is unsure of its time."""
    if not allowed(state, "lose steam"):
        raise Refused("This session is not set in steam, so none can be lost.")
    for timer in state.timers.values():
        if timer.needs_steam and timer.running:
            sure_s(timer, now)
    if not may_lose_steam(state):
        raise Refused("The steam is not rolling yet, so it cannot be lost.")


def steam_turned(state: State, now: Reading) -> list[Event]:
    """Lost where it rolled, rolling again where it was lost."""
    if steam.steam_is_lost(state):
        lost = elapsed_since(state.steam_off[-1][0], now)
        return [heat.SteamAgain(), *reheating(state, lost, now)]
    return [heat.SteamStopped()]


def may_lose_steam(state: State) -> bool:
    """Steam rolls round the goods, or is lost and may roll again."""
    rolls = steam.rolling_since(state) is not None and bool(_steaming(state))
    return allowed(state, "lose steam") and (rolls or steam.steam_is_lost(state))


def _steaming(state: State) -> list[str]:
    return [t.id for t in state.timers.values() if t.needs_steam and t.running and not t.repeats]


def reheating(state: State, lost: Elapsed, now: Reading) -> list[Event]:
    """What a loss of steam adds to the clocks of what is in it, once it was long."""
    from studio.craft.heat import LOSS_WITHOUT_REHEATING_MIN, REHEATING_MIN

    if lost.sure and lost.seconds <= LOSS_WITHOUT_REHEATING_MIN * 60:
        return []
    told = f"for {lost.seconds / 60:.0f} min" if lost.sure else "for an unknown time"
    why = f"steam was lost {told}: reheating (house rule)"
    return [
        TimerExtended(timer, REHEATING_MIN, why)
        for timer in _steaming(state)
        if not ran_out(state, timer, now)
    ]


@c.rule(c.Refill)
def refill(state: State, command: c.Refill, now: Reading) -> list[Event]:
    """Boiling water into the pot; hot water into a dye bath."""
    if not allowed(state, "top up"):
        raise Refused("This session has no pot water to fill up.")
    if not onto_the_heat(state).closed:
        raise Refused(
            "The pot is filled up once it is hot; before that, correct its first filling ({bench.correct})."
        )
    ml = value_of(command.text, "volume", unit_asked("volume", kitchen=True))
    if not 0 < ml <= 20_000:
        raise Refused("Write how much boiling water went in, 20 L at most, for example 500 mL.")
    poured = heat.PotRefilled(ml, command.text.strip())
    return [poured, *_looked_after(state, ml, now)]


def _looked_after(state: State, ml: float, now: Reading) -> list[Event]:
    """Who pours has looked: the pot's alarms end, and its clock begins anew."""
    pot = clock_of(state, "pot look")
    if pot is None:
        return []
    again = [next_round(state, pot, now, ml)] if pot.running else []
    return [*again, *end_alarms(state, {pot.id}, "refill", now, ("due", *POT_LEVELS))]


_LEFT = r"(?i)\s+left$"


@c.rule(c.ReadPot)
def read_pot(state: State, command: c.ReadPot, now: Reading) -> list[Event]:
    """The water that is left in the pot, once it has boiled: `820 mL`, or `820 mL left`."""
    first_ml = value_now(state, "set.pot_water")
    if first_ml is None or not record_of(state, "steam rolling").closed:
        raise Refused(
            "The pot has not steamed yet, so nothing has boiled off; measure what is left afterwards."
        )
    ml = value_of(re.sub(_LEFT, "", command.text.strip()), "volume", unit_asked("volume", kitchen=True))
    poured = first_ml + steam.filled_ml(state)
    if ml > poured:
        raise Refused(
            f"Only {told(poured, 'mL', kitchen=True)} went into the pot; write what is left of them."
        )
    return [heat.PotRead(ml, command.text.strip())]


# A temperature that is read beside the steps, and what it ends.

PLACES: tuple[heat.ReadAt, ...] = get_args(heat.ReadAt)


@c.rule(c.TakeReading)
def take_reading(state: State, command: c.TakeReading, now: Reading) -> list[Event]:
    """A temperature at one of the known places; at or below its limit it ends the wait for cooling."""
    where = next((place for place in PLACES if place == command.where), None)
    if where is None:
        raise Refused(f"Write where it was read: {', '.join(PLACES)}; for example lid 97.")
    value, typed = value_of(command.text, "temperature"), command.text.strip()
    if not -30 <= value <= 130:
        raise Refused(
            f"A temperature lies between {told_number(-30.0, 'degC', 0.0)} and {told(130.0, 'degC')}, "
            f"for example {told(92.0, 'degC')}."
        )
    flagged = doubts.taken(doubts.reading(state, where, value, now), meant=command.meant)
    read = heat.ReadingTaken(where, value, "degC", typed, flagged)
    known = foreseen(state, read, now)
    return [read, *(_ended(known, now) or _retimed(known, now))]


LEAST_RETIMED_MIN = 1.0
"""A clock that is nearer than this to what the readings say is let be. House rule."""


def _retimed(state: State, now: Reading) -> list[Event]:
    """The clock of the cooling, made to end when the readings say that the goods are safe: not two times for one.

    Where they say nothing together, what they moved is taken back, but never so that the clock is over by it.
    """
    clock, foretold = clock_of(state, "cool"), cooling.foretold(state, now)
    gone_s, sure = elapsed_s(clock, now) if clock is not None else (0.0, False)
    if clock is None or not clock.running or not sure:
        return []
    over = gone_s / 60 - clock.minutes
    more, why = -cooling.moved_min(state, clock.id), "the readings do not agree"
    if foretold is not None:
        more, why = foretold.value + over, "by the readings"
    if abs(more) < LEAST_RETIMED_MIN or (foretold is None and more <= over):
        return []
    ended = end_alarms(state, {clock.id}, "more time", now) if over >= 0 else []
    return [TimerExtended(clock.id, round(more, 4), why), *ended]


def _ended(state: State, now: Reading) -> list[Event]:
    return [
        draft
        for stage in state.worksheet.procedure
        for step in stage.steps
        if not state.step(step.id).closed
        and ended_by(state, step) is not None
        and is_free(state, stage, step)
        for draft in done_drafts(state, step, now)
    ]


# What is seen and done at a dye bath: the white spoon, more acid; and the same look at a packet's
# liquid.

MOST_DOSES = 2.0
"""All acid that is added later, as a multiple of the plan's. House rule, catches a slipped unit."""


@c.answers("look")
def look_at_bath(state: State, step: Step, text: str) -> Iterator[Event]:
    """A look: clear closes the step; not clear is kept, and it is held on."""
    if text not in GRADES:
        raise Refused("Grade what is on the spoon from 1, as dark as at first, to 5, clear.")
    grade = int(text)
    clear = grade >= (step.low or 0.0)
    yield heat.BathLooked(step.id, grade, clear, state.sets)
    if clear:
        yield StepMeasured(step.id, float(grade), step.unit, text, False)


@c.rule(c.DoseAcid)
def dose_acid(state: State, command: c.DoseAcid, now: Reading) -> list[Event]:
    """More acid into a bath that will not clear."""
    poured = effective(state, acid_poured(state))
    if not record_of(state, "heat on").closed or record_of(state, "heat off").closed:
        raise Refused(
            "More acid goes in only while the bath is on the heat; the first dose has a step of its own."
        )
    near = "" if poured.expected is None else told_of(poured, poured.expected)
    amount = value_of(command.text, poured.quantity, asked_in(poured), near)
    planned = {step.sets for step in state.all_steps() if step.role == "acid"}
    most = MOST_DOSES * sum(value_now(state, path) or 0.0 for path in planned) - sum(
        d.event.amount for d in state.kept(AcidDosed)
    )
    if not 0 < amount <= most:
        if most <= 0:
            raise Refused(
                "The bath has had all the acid it may get; note what happened instead ({bench.note})."
            )
        raise Refused(
            f"Write how much acid goes in, at most {told_of(poured, most)}; half of the plan's is a usual dose."
        )
    return [heat.AcidDosed(amount, "mL" if poured.quantity == "volume" else "g", command.text.strip())]


@c.answers("rinse rounds")
def rinsed(state: State, step: Step, grade: str) -> list[Event]:
    """One round; the clear one closes the step with the number of rounds."""
    if grade not in GRADES:
        raise Refused("Grade the rinse water from 1, dark as the bath, to 5, clear.")
    clear = is_clear(int(grade))
    rounds = len(cooling.rounds_now(state)) + 1
    told = heat.RinseRound(int(grade), clear, state.sets, rounds)
    if not clear:
        return [told]
    flagged = rounds > (step.high or rounds)
    return [told, StepMeasured(step.id, float(rounds), step.unit, str(rounds), flagged)]


@c.rule(c.SetAgain)
def set_again(state: State, command: c.SetAgain, now: Reading) -> list[Event]:
    """A second set when the rinse will not clear; its stages come before the record."""
    rounds = cooling.rounds_now(state)
    if not rounds:
        raise Refused("A second set is for fibre that bleeds: rinse first and grade the water.")
    if state.sets >= MOST_SETS:
        raise Refused(
            "A third repeat harms wool more than it helps; finish the record and note what happened."
        )
    why = reason(command.why)
    added, step = heat.SetAdded(state.sets + 1, why), state.worksheet.step_for("rinse rounds")
    if step is None or state.step(step.id).closed:
        return [added]
    return [added, StepMeasured(step.id, float(len(rounds)), "rounds", str(len(rounds)), True)]
