"""What is seen and done at the bench beside the steps, and the events it gives."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from functools import wraps
from typing import Any

import msgspec

from studio.craft.rinse import is_clear
from studio.craft.shade import is_another_lot, lot_difference_percent, use_by_days
from studio.plan.settled import SettledColour
from studio.plan.steps.lay import paint_path, stock_path
from studio.quantity.showing import show
from studio.session import commands as c
from studio.session import doubts
from studio.session.asked import Refused, reason, value_of
from studio.session.clock import Elapsed, Reading, elapsed_since
from studio.session.events import Event
from studio.session.follow_up_rules import day_of
from studio.session.kinds.clocks import TimerExtended
from studio.session.kinds.paint import BandPainted, BatchMixed, JarRead, LeftoverKept
from studio.session.kinds.rinsing import RinseRound, SetAdded
from studio.session.kinds.steam import PotRefilled, SteamAgain, SteamStopped
from studio.session.kinds.steps import StepMeasured
from studio.session.live import painting, rinsing, steam
from studio.session.live.given import allowed, clock_of, colour_of, onto_the_heat
from studio.session.live.pot_watch import POT_LEVELS
from studio.session.sheet import sheet_now, value_now, worked_now
from studio.session.state import State
from studio.session.step_rules import open_step
from studio.session.time_rules import end_alarms, next_round, sure_s
from studio.session.timers import ran_out

MOST_SETS = 3
"""Heat felts and yellows wool; the first set and two repeats. House rule."""
JAR_READING_SLACK = 1.05
"""A jar may read so many times what was mixed in it: a wet scale at the wall. House rule."""
_LEFT = re.compile(r"^(.*?)(?:\s+(?:(out)(?: to dispose of)?|into a jar))?$", re.DOTALL | re.IGNORECASE)

Rule = Callable[[State, Any, Reading], list[Event]]


def _in_words(rule: Rule) -> Rule:
    """What the sums refuse is refused with their own sentence."""

    @wraps(rule)
    def refusing(state: State, command: Any, now: Reading) -> list[Event]:
        try:
            return rule(state, command, now)
        except Refused:
            raise
        except ValueError as problem:
            raise Refused(str(problem)) from problem

    return refusing


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
        return [SteamAgain(), *reheating(state, lost, now)]
    return [SteamStopped()]


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
    told = f"for {lost.seconds / 60:.0f} min" if lost.sure else "for nobody knows how long"
    why = f"steam was lost {told}: reheating (house rule)"
    return [
        TimerExtended(timer, REHEATING_MIN, why)
        for timer in _steaming(state)
        if not ran_out(state, timer, now)
    ]


def refill(state: State, command: c.Refill, now: Reading) -> list[Event]:
    """Boiling water into the pot; hot water into a dye bath."""
    if not allowed(state, "top up"):
        raise Refused("No water stands on the heat in this session, so none is filled up.")
    if not onto_the_heat(state).closed:
        raise Refused("It is filled up once it is hot; before that, correct the first filling (K).")
    ml = value_of(command.text, "volume")
    if not 0 < ml <= 20_000:
        raise Refused("Write how much boiling water went in, 20 L at most, for example 500 mL.")
    poured = PotRefilled(ml, command.text.strip())
    return [poured, *_looked_after(state, ml, now)]


def _looked_after(state: State, ml: float, now: Reading) -> list[Event]:
    """Who pours has looked: the pot's alarms end, and its clock begins anew."""
    pot = clock_of(state, "pot look")
    if pot is None:
        return []
    again = [next_round(state, pot, now, ml)] if pot.running else []
    return [*again, *end_alarms(state, {pot.id}, "refill", now, ("due", *POT_LEVELS))]


def _colour(state: State, named: str) -> SettledColour:
    found = colour_of(state, named)
    if found is None:
        raise Refused(f"There is no colour {named} in this session; there are {_names(state)}.")
    return found


def _names(state: State) -> str:
    return ", ".join(colour.plan.name for colour in state.choices.colours)


@_in_words
def mix_more(state: State, command: c.MixMore, now: Reading) -> list[Event]:
    """More of a colour in its jar's real proportions, as a batch of its own; `20 mL at 2 %` from a stock of its own."""
    colour = _colour(state, command.colour)
    amount, _, own = command.text.partition("at")
    wanted = value_of(amount.strip(), "volume")
    if not 0 < wanted <= 5_000:
        raise Refused("Write how much more is needed, for example 20 mL.")
    slug, worked = colour.plan.slug, worked_now(state)
    liquids = worked.liquids if worked is not None else ()
    stock_ml = wanted * sum(
        q.stock_ml / q.mixed_ml for q in liquids if q.colour.plan.slug == slug and q.mixed_ml
    )
    batch = BatchMixed(
        colour=slug,
        ml=round(wanted, 4),
        stock_ml=round(stock_ml, 4),
        water_ml=round(wanted - stock_ml, 4),
        typed=command.text.strip(),
    )
    if not own:
        flagged = doubts.taken(doubts.batch(state, colour, stock_ml), meant=command.meant)
        return [msgspec.structs.replace(batch, flagged=flagged)]
    first = value_now(state, stock_path(colour.stocks[0].slug, "strength"))
    strength = value_of(own.strip(), "strength")
    batch = msgspec.structs.replace(batch, strength_percent=round(strength, 5))
    if first is not None and first > 0 and is_another_lot(first, strength):
        off = round(lot_difference_percent(first, strength), 2)
        batch = msgspec.structs.replace(batch, lot_difference_percent=off)
    return [batch]


def paint_left(state: State, command: c.PaintLeft, now: Reading) -> list[Event]:
    """What a jar holds now; not more than was ever mixed."""
    colour = _colour(state, command.colour)
    mixed = painting.in_jar_ml(state, colour.plan.slug)
    if mixed is None:
        raise Refused(f"The paint for {colour.plan.name} has not been mixed yet.")
    ml = value_of(command.text, "volume")
    if ml > mixed * JAR_READING_SLACK:
        raise Refused(
            f"Only {show(mixed, 'mL')} of {colour.plan.name} were mixed; write what is left of them."
        )
    return [JarRead(colour.plan.slug, ml, command.text.strip())]


def paint_band(state: State, command: c.PaintBand, now: Reading) -> list[Event]:
    """A coat on any band, in any order; or, of a band that has one, the jar its newest coat was from."""
    bands = painting.bands_of(state)
    band = next((b for b in bands if b.number == command.band), None)
    if band is None:
        raise Refused(
            f"There is no band {command.band}; they are numbered 1 to {len(bands)}."
            if bands
            else "This session has no bands to paint."
        )
    jar = _jar_to_paint_from(state, command.jar or band.jar)
    if band.bare or command.again:
        return [BandPainted(band.number, band.jar, jar.plan.slug, len(band.coats) + 1)]
    if not command.jar or jar.plan.slug == band.jars[-1]:
        named = painting.jar_called(state, band.jars[-1])
        raise Refused(
            f"Band {band.number} has a coat from the {named.plan.name if named else band.jars[-1]} jar already; "
            "give it another (+), or name another jar."
        )
    return [BandPainted(band.number, band.jar, jar.plan.slug, len(band.coats), band.jars[-1])]


def _jar_to_paint_from(state: State, text: str) -> SettledColour:
    """The colour of that slug, name or number, once its paint is mixed or its mixing was left out."""
    jar = painting.jar_called(state, text)
    if jar is None:
        raise Refused(f"There is no jar of {text.strip()[:40]}; there are {_names(state)}.")
    mixing = state.worksheet.step_for("mix", jar.plan.slug)
    if mixing is not None and not state.step(mixing.id).closed:
        raise Refused(f"The paint for {jar.plan.name} has not been mixed yet.")
    return jar


def rinsed(state: State, command: c.Rinsed, now: Reading) -> list[Event]:
    """One round; the clear one closes the step with the number of rounds."""
    step = open_step(state, command.step)
    grade = command.text.strip()
    if step.role != "rinse rounds" or grade not in ("1", "2", "3", "4", "5"):
        raise Refused("Grade the rinse water from 1, dark as the bath, to 5, clear.")
    clear = is_clear(int(grade))
    rounds = len(rinsing.rounds_now(state)) + 1
    told = RinseRound(int(grade), clear, state.sets, rounds)
    if not clear:
        return [told]
    flagged = rounds > (step.high or rounds)
    return [told, StepMeasured(step.id, float(rounds), step.unit, str(rounds), flagged)]


def set_again(state: State, command: c.SetAgain, now: Reading) -> list[Event]:
    """A second set when the rinse will not clear; its stages come before the record."""
    rounds = rinsing.rounds_now(state)
    if not rounds:
        raise Refused("A second set is for goods that bleed: rinse first and grade the water.")
    if state.sets >= MOST_SETS:
        raise Refused(
            "A third repeat harms wool more than it helps; finish the record and note what happened."
        )
    why = reason(command.why)
    added, step = SetAdded(state.sets + 1, why), state.worksheet.step_for("rinse rounds")
    if step is None or state.step(step.id).closed:
        return [added]
    return [added, StepMeasured(step.id, float(len(rounds)), "rounds", str(len(rounds)), True)]


@_in_words
def keep_leftover(state: State, command: c.KeepLeftover, now: Reading) -> list[Event]:
    """`12 mL` into a labelled jar with a use-by date, `12 mL out` to disposal, `0` for nothing left."""
    colour = _colour(state, command.colour)
    text = command.text.strip()
    amount, out = _LEFT.findall(text)[0]
    ml = value_of(amount, "volume")
    if ml > 20_000:
        raise Refused(
            "Write how much is left, 20 L at most, for example 12 mL, or 12 mL out to dispose of it."
        )
    slug = colour.plan.slug
    kept = LeftoverKept(slug, ml, "disposed" if out or ml == 0 else "jar", text)
    sheet = sheet_now(state, {paint_path(slug, "left"): ml})
    strength = sheet.figure(paint_path(slug, "left.strength"))
    if strength is not None and len(colour.stocks) == 1:
        kept = msgspec.structs.replace(kept, strength_percent=round(strength.value, 5))
    if kept.to == "jar":
        limit = use_by_days("paint")
        last_day = day_of(now.wall_ns, state.utc_offset_min) + timedelta(days=limit.days)
        use_by = f"{last_day:%Y-%m-%d}"
        kept = msgspec.structs.replace(kept, use_by=use_by, use_by_source=limit.source)
    return [kept]
