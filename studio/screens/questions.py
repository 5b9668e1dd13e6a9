"""The questions the bench asks, each with the command its answer becomes."""

from __future__ import annotations

from collections.abc import Callable

from studio.plaintext import clean
from studio.plan.shapes import Step
from studio.quantity import QuantityError, parse, parse_number
from studio.screens.entry import Question
from studio.session import commands as c
from studio.session.records import TimerRecord
from studio.session.refusals import Refused
from studio.session.state import State
from studio.session.step_rules import CAUTIONS_STEP, open_warnings


def value_question(step: Step) -> Question:
    """Ask for the value of a `measure` step."""
    unit = {"count": step.unit, "rating": "1 to 5", "ph": "pH"}.get(step.quantity, f"in {step.unit}")
    return Question(f"{clean(step.done, limit=60)}: value {unit}", lambda text: c.Measure(step.id, text))


def gate_question(step: Step, state: State) -> Question:
    """Ask for the word of a gate, or for the reason of the next warning."""
    if step.id == CAUTIONS_STEP:
        waiting = open_warnings(state)
        if not waiting:
            raise Refused("Every warning has been taken on.")
        first = waiting[0]
        label = f"WARN {clean(first.text, limit=400)}  Why do you go on?"
        return Question(label, lambda why: c.AcceptCaution(first.id, why))
    return Question(f'Type the word "{step.word}" when it is so', lambda word: c.PassGate(step.id, word))


def note_question() -> Question:
    """Ask for a remark."""
    return Question("Note", lambda text: c.AddNote(text))


def reason_question(label: str, command: Callable[[str], c.Command]) -> Question:
    """Ask for a reason."""
    return Question(f"{label}? It is kept in the record.", command)


def abandon_question() -> Question:
    """Ask why the session is given up."""
    return reason_question("Why give this session up for good", lambda why: c.Abandon(why))


def unsure_question(timer: TimerRecord) -> Question:
    """Ask how long a timer has really run."""

    def answer(text: str) -> c.Command:
        try:
            try:
                minutes = parse_number(text)
            except QuantityError:
                minutes = parse(text, "duration").value
        except QuantityError as problem:
            raise Refused(str(problem)) from problem
        return c.ConfirmElapsed(timer.id, minutes)

    return Question(f"The computer was restarted. How many minutes has {timer.label} run in all?", answer)


def correction_question(step: Step) -> Question:
    """Ask for the better value, then for the reason."""

    def then_why(text: str) -> Question:
        return Question(
            "Why was it wrong? It is kept in the record.", lambda why: c.Correct(step.id, text, why)
        )

    return Question(f"{clean(step.done, limit=60)}: the right value", then_why)
