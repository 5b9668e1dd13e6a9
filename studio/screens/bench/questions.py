"""The questions the bench asks, each with the command its answer becomes."""

from __future__ import annotations

from collections.abc import Callable

from studio.plaintext import clean
from studio.plan.settled import SettledColour
from studio.plan.shapes import Step
from studio.report.telling import correcting
from studio.screens.bench.entry import Question
from studio.session import commands as c
from studio.session.asked import Refused, colour_first, colour_names, minutes_first, minutes_only
from studio.session.live.given import leftovers_untold
from studio.session.live.rinsing import staining_words
from studio.session.state import State, StepRecord, TimerRecord
from studio.session.step_rules import open_warnings

GRADE = "A number from 1 to 5"
TAKES = {
    "mass": "Grams", "volume": "Millilitres", "temperature": "Degrees C", "duration": "Minutes",
    "ph": "pH", "rating": GRADE,
}  # fmt: skip
"""What a field takes for each kind of quantity; a count is a number of its unit."""
SPOON = "On the white spoon: 1 as dark as at first   2   3 half gone   4   5 clear"


def value_question(step: Step) -> Question:
    """Ask for the value of a `measure` step."""
    if step.role == "rinse rounds":
        return rinse_question(step)
    if step.quantity == "look":
        return Question(SPOON, lambda text: c.LookAtBath(step.id, text), takes=GRADE)
    unit = {"count": step.unit, "rating": "1 to 5", "ph": "pH"}.get(step.quantity, f"in {step.unit}")
    label = f"{clean(step.done, limit=60)}: value {unit}"
    return Question(label, lambda text: c.Measure(step.id, text), takes=_taken(step))


def _taken(step: Step) -> str:
    return TAKES.get(step.quantity, f"Number of {clean(step.unit, limit=20)}")


def gate_question(step: Step, state: State) -> Question:
    """Ask for the reason of the next warning, or for what is left of the next colour."""
    if step.role == "accept cautions":
        waiting = open_warnings(state)
        if not waiting:
            raise Refused("Every warning has been taken on.")
        first = waiting[0]
        label = f"WARN {clean(first.text, limit=400)}  Why do you go on?"
        return Question(label, lambda why: c.AcceptCaution(first.id, why))
    return leftover_question(leftovers_untold(state)[0])


def note_question() -> Question:
    """Ask for a remark."""
    return Question("Note", lambda text: c.AddNote(text))


def earlier_question() -> Question:
    """Ask for what happened some time ago, and when."""
    return Question(
        "When was it, and what happened? 14:05 lid lifted, 14:00 started, 14:20 steam lost",
        lambda text: c.NoteLate(text),
        takes="Time and words",
    )


def photo_question() -> Question:
    """Ask for the path of a picture, then for words about it, which may be none."""

    def then_what(path: str) -> Question:
        return Question("What is on it? Enter alone says nothing", lambda text: c.AddPhoto(path, text))

    label = "Picture, its path in the studio folder: photos/edge.jpg"
    return Question(label, then_what, takes="A path")


def swatch_question() -> Question:
    """Ask for the rounds that were counted on a knitted swatch."""
    return Question(
        "Swatch: colour, and rounds counted; mixed on each side: rust 3 solid 2 mixed",
        lambda text: c.CountSwatch(text),
        takes="Colour and counts",
    )


def dropper_question() -> Question:
    """Ask for drops counted into a measure."""
    return Question(
        "Drops of your dropper, and what they came to: 40 in 2 mL",
        lambda text: c.CountDrops(text),
        takes="Drops and an amount",
    )


def pot_question() -> Question:
    """Ask for the water left in the pot."""
    return Question(
        "How much water is left in the pot, in mL", lambda text: c.ReadPot(text), takes="Millilitres"
    )


SAMPLES = {"packet": 92, "bath": 88, "lid": 97, "room": 19}
PLACES = {"p": "packet", "l": "lid", "b": "bath", "r": "room"}


def reading_question(place: str) -> Question:
    """Ask for a temperature: `92` is that of `place`, `lid 97` and `room 19` say where."""

    def answer(text: str) -> c.Command:
        first, _, rest = text.strip().partition(" ")
        if first[:1].isalpha() and rest:
            return c.TakeReading(PLACES.get(first[:1].casefold(), first), rest)
        return c.TakeReading(place, text)

    others = ", ".join(f"{name} {c}" for name, c in SAMPLES.items() if name != place)
    return Question(
        f"Temperature in degC: {SAMPLES[place]} for the {place}, or {others}", answer, takes="Degrees C"
    )


def refill_question() -> Question:
    """Ask how much went into the pot."""
    return Question(
        "How much hot water went into the pot, in mL", lambda text: c.Refill(text), takes="Millilitres"
    )


def acid_question() -> Question:
    """Ask how much more acid goes into the bath."""
    return Question(
        "More acid into the bath, clear of the fibre: how much",
        lambda text: c.DoseAcid(text),
        takes="An amount",
    )


def again_question() -> Question:
    """Ask why it is set again."""
    return reason_question("Why set it again", lambda why: c.SetAgain(why))


def rinse_question(step: Step) -> Question:
    """Ask how the rinse water looks."""
    return Question(f"Rinse water: {staining_words()}", lambda text: c.Rinsed(step.id, text), takes=GRADE)


def more_question(state: State) -> Question:
    """Ask which colour ran short and by how much."""

    def answer(text: str) -> c.Command:
        return c.MixMore(*colour_first(state, text))

    return Question(
        f"More of which colour, and how much? {colour_names(state)}: 1 20 mL",
        answer,
        takes="Colour and amount",
    )


def left_question(state: State) -> Question:
    """Ask what a jar still holds."""

    def answer(text: str) -> c.Command:
        return c.PaintLeft(*colour_first(state, text))

    return Question(
        f"Which jar, and what is left in it? {colour_names(state)}: 1 12 mL",
        answer,
        takes="Colour and amount",
    )


def jar_question(state: State, band: int) -> Question:
    """Ask which jar a band was painted from."""

    def answer(text: str) -> c.Command:
        if not text.strip():
            raise Refused("Type the colour of the jar or its number, or press Esc to go back.")
        return c.PaintBand(band, text.strip())

    return Question(
        f"Band {band} was painted from which jar? {colour_names(state)}", answer, takes="A colour"
    )


def leftover_question(colour: SettledColour) -> Question:
    """Ask what is left of a colour."""
    label = f"{clean(colour.plan.name, limit=30)} left over: 12 mL into a jar, 12 mL out to dispose of, 0 for none"
    return Question(label, lambda text: c.KeepLeftover(colour.plan.slug, text), takes="Millilitres")


def reason_question(label: str, command: Callable[[str], c.Command]) -> Question:
    """Ask for a reason."""
    return Question(f"{label}? It is kept in the record.", command, takes="A reason")


def abandon_question() -> Question:
    """Ask why the session is given up."""
    return reason_question("Why give this session up for good", lambda why: c.Abandon(why))


def unsure_question(timer: TimerRecord) -> Question:
    """Ask how long a timer has really run."""
    return Question(
        f"The computer lost count. How many minutes has {timer.label} run in all?",
        lambda text: c.ConfirmElapsed(timer.id, minutes_only(text)),
        takes="Minutes",
    )


def other_time_question(timer: str, label: str) -> Question:
    """Ask for more time for a clock, or less, and why."""
    return Question(
        f"How many minutes more for {label}, or less with a minus, and why? 5 steam was late",
        lambda text: c.ExtendTimer(timer, *minutes_first(text)),
        takes="Minutes and a reason",
    )


def correction_question(step: Step, record: StepRecord) -> Question:
    """Ask for the better value, then for the reason."""

    def then_why(text: str) -> Question:
        return reason_question("Why was it wrong", lambda why: c.Correct(step.id, text, why))

    return Question(correcting(step, record), then_why, takes=_taken(step))
