"""The questions an action of the bench asks, whatever the front end, each with the command its answer becomes."""

from __future__ import annotations

from collections.abc import Callable

from studio.plaintext import clean
from studio.plan.settled import SettledColour
from studio.plan.shapes import Step
from studio.quantity.showing import show
from studio.report.telling import correcting
from studio.session import commands as c
from studio.session.asked import (
    UNIT_NAMES,
    Refused,
    asked_in,
    colour_first,
    colour_names,
    minutes_first,
    minutes_only,
    temperature_asked,
    unit_asked,
)
from studio.session.clock import Reading
from studio.session.kinds.paint import Face
from studio.session.live.given import acid_poured, allowed, leftovers_untold
from studio.session.live.painting import left_example, stock_left_ml
from studio.session.live.thinking import effective
from studio.session.path import current_step
from studio.session.state import State, TimerRecord
from studio.session.step_rules import correction_doubt, never_left_out, open_warnings
from studio.words.actions import REASON, WORDS, Question

GRADE = "A number from 1 to 5"
WATER = {
    "rinse rounds": "Rinse water, 1 dark to 5 clear",
    "look": "On the white spoon, 1 as dark as at first to 5 clear",
}
"""How it is graded, by the role of the step."""
JARS = "Colour and amount"


def reason_question(label: str, command: Callable[[str], c.Command]) -> Question:
    """Ask for a reason."""
    return Question(f"{label}? It is kept in the record.", command, REASON)


BESIDE: dict[str, Callable[[State], Question]] = {
    "note": lambda state: Question("Note", c.AddNote, WORDS),
    "earlier": lambda state: Question(
        "When was it, and what happened? 14:05 lid lifted, 14:00 started"
        + (", 14:20 steam lost" if allowed(state, "lose steam") else ""),
        c.NoteLate,
        takes="Time and words",
    ),
    "photo": lambda state: Question(
        "Picture, its path in the studio folder: photos/edge.jpg",
        lambda path: Question(
            "What is on it? Enter alone says nothing", lambda text: c.AddPhoto(path, text), WORDS
        ),
        takes="A path",
    ),
    "swatch": lambda state: Question(
        "Swatch: colour, and rounds counted; mixed on each side: rust 3 solid 2 mixed",
        c.CountSwatch,
        takes="Colour and counts",
    ),
    "dropper": lambda state: Question(
        "Drops of your dropper, and what they came to: 40 in 2 mL", c.CountDrops, takes="Drops and an amount"
    ),
    "pot": lambda state: _water("How much water is left in the pot", c.ReadPot),
    "reading": lambda state: _reading(state),
    "refill": lambda state: _water("How much hot water went into the pot", c.Refill),
    "acid": lambda state: _acid(state),
    "again": lambda state: reason_question("Why set it again", c.SetAgain),
    "more": lambda state: _more(state),
    "left": lambda state: Question(
        f"Which jar, and what is left in it? {colour_names(state)}, "
        f"for example 1 {left_example(state, state.choices.colours[0])}",
        lambda text: c.PaintLeft(*colour_first(state, text)),
        takes=JARS,
    ),
    "packet_in": lambda state: Question("Which packet goes in? A few words for its label", c.PacketIn, WORDS),
    "abandon": lambda state: reason_question("Why abandon this session for good", c.Abandon),
}
"""Beside the steps: by the name of the action that asks."""
OF_STEP: dict[str, Callable[[Step], Question]] = {
    "value": lambda step: value_question(step),
    "override": lambda step: reason_question("Why pass it", lambda why: c.Override(step.id, why)),
    "skip": lambda step: _leave_out(step),
    "not_measured": lambda step: reason_question(
        "Why is it not measured", lambda why: c.NotMeasured(step.id, why)
    ),
    "not_judged": lambda step: Question("Why not judged?", lambda why: c.NotMeasured(step.id, why), REASON),
}
"""Of the step of now."""


def _leave_out(step: Step) -> Question:
    if never_left_out(step):
        raise Refused(never_left_out(step))
    why = "Why is it not heard" if step.role == "sound" else "Why leave this step out"
    return reason_question(why, lambda why: c.Skip(step.id, why))


def asked(what: str, state: State, now: Reading) -> Question:
    """The question of an action."""
    if what in BESIDE:
        return BESIDE[what](state)
    step = current_step(state, now)
    if step is None:
        raise Refused("All steps are closed.")
    return OF_STEP[what](effective(state, step))


def _water(label: str, command: Callable[[str], c.Command]) -> Question:
    unit = unit_asked("volume", kitchen=True)
    return Question(f"{label}, in {unit}", command, takes=UNIT_NAMES[unit])


def _more(state: State) -> Question:
    """With the stock that is left of each, by the sheet."""
    left = ((colour.plan.name, stock_left_ml(state, colour)) for colour in state.choices.colours)
    told = ", ".join(f"{clean(name, limit=20)} {show(ml, 'mL')}" for name, ml in left if ml is not None)
    return Question(
        f"More of which colour, and how much? {colour_names(state)}, for example 1 20 mL"
        f"{f'; stock left: {told}' if told else ''}",
        lambda text: c.MixMore(*colour_first(state, text)),
        takes=JARS,
    )


def _acid(state: State) -> Question:
    unit = asked_in(effective(state, acid_poured(state)))
    label = f"More acid into the bath, clear of the fibre: how much, in {unit}"
    return Question(label, c.DoseAcid, takes=UNIT_NAMES[unit])


def value_question(step: Step) -> Question:
    """Ask for the value of a `measure` step."""
    unit = {"count": "", "ph": "", "rating": ", 1 to 5"}.get(step.quantity, f", in {asked_in(step)}")
    label = WATER.get(step.role, f"{clean(step.done, limit=60)}{unit}")
    takes = GRADE if step.role in WATER else _taken(step)
    return Question(label, lambda text: c.Measure(step.id, text), takes)


def _taken(step: Step) -> str:
    return GRADE if step.quantity in ("rating", "look") else UNIT_NAMES.get(asked_in(step), "A number")


def gate_question(step: Step, state: State) -> Question:
    """Ask for the reason of the next warning, or for what is left of the next colour."""
    if step.role == "accept cautions":
        waiting = open_warnings(state)
        if not waiting:
            raise Refused("All warnings accepted.")
        first = waiting[0]
        label = f"WARN {clean(first.text, limit=400)}  Why do you go on?"
        return Question(label, lambda why: c.AcceptCaution(first.id, why), REASON)
    colour = leftovers_untold(state)[0]
    return Question(
        leftover_label(state, colour),
        lambda text: c.KeepLeftover(colour.plan.slug, text),
        takes=UNIT_NAMES["mL"],
    )


PLACES = {"p": "packet", "l": "lid", "b": "bath", "r": "room"}


def _reading(state: State) -> Question:
    """Ask for a temperature: `92` is that of the goods, `lid 97` and `room 19` say where."""

    def answer(text: str) -> c.Command:
        first, _, rest = text.strip().partition(" ")
        if first[:1].isalpha() and rest:
            return c.TakeReading(PLACES.get(first[:1].casefold(), first), rest)
        return c.TakeReading(state.worksheet.read_at, text)

    return Question(temperature_asked(state), answer, takes=UNIT_NAMES[unit_asked("temperature")])


def jar_question(state: State, band: int, face: Face) -> Question:
    """Ask which jar a band was painted from."""

    def answer(text: str) -> c.Command:
        if not text.strip():
            raise Refused("Type the colour of the jar or its number, or press Esc to go back.")
        return c.PaintBand(band, text.strip(), face=face)

    return Question(
        f"Band {band} was painted from which jar? {colour_names(state)}", answer, takes="A colour"
    )


def leftover_label(state: State, colour: SettledColour) -> str:
    """What became of the rest of a colour, by an example that its jar can hold."""
    ml = left_example(state, colour)
    return (
        f"{clean(colour.plan.name, limit=30)} left over: {ml} into a jar, {ml} out to dispose of, 0 for none"
    )


def unsure_question(timer: TimerRecord) -> Question:
    """Ask how long a timer has really run."""
    return Question(
        f"The computer lost count. How many minutes has {timer.label} run in all?",
        lambda text: c.ConfirmElapsed(timer.id, minutes_only(text)),
        takes=UNIT_NAMES["min"],
    )


def other_time_question(timer: str, label: str) -> Question:
    """Ask for more time for a clock, or less, and why."""
    return Question(
        f"How many minutes more for {label}, or less with a minus, and why? 5 a slow start",
        lambda text: c.ExtendTimer(timer, *minutes_first(text)),
        takes="Minutes and a reason",
    )


def correction_question(state: State, step: Step) -> Question:
    """Ask for the better value, then for the reason: of one that can hardly be with what is odd about it."""

    def then_why(text: str) -> Question:
        odd = correction_doubt(state, step, text)
        label = f"{odd} If it is so, why was the other wrong" if odd else "Why was it wrong"
        return reason_question(label, lambda why: c.Correct(step.id, text, why, meant=bool(odd)))

    return Question(correcting(step, state.step(step.id)), then_why, takes=_taken(step))
