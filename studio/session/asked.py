"""What is typed at the bench read as a value, and why a command is not carried out, in one sentence a
person can act on.
"""

from __future__ import annotations

from studio.plaintext import clean
from studio.plan.shapes import Step
from studio.quantity.kinds import KINDS, QuantityError
from studio.quantity.reading import parse, parse_number
from studio.quantity.reading_in import told, told_number, unit_for
from studio.quantity.showing import unit_text
from studio.session.state import State
from studio.trouble import Trouble

# Why a command was not carried out, in one sentence a person can act on.

MAX_TEXT = 2000


class Refused(Trouble, ValueError):
    """The command breaks a rule of the session; nothing was changed."""


class WrongDigit(Refused):
    """At a gate another digit was pressed than the one it showed."""

    def __init__(self, gate: str, digit: int) -> None:
        super().__init__("That was not the digit the gate showed. It shows another one now: type that.")
        self.gate = gate
        self.digit = digit


class ReallyMeant(Refused):
    """What is said can hardly be so: ask once, and send the command again with `meant`."""


def reason(text: str) -> str:
    """A reason worth keeping; Refused when there is none.

    >>> reason("  pot was late ")
    'pot was late'
    """
    kept = text.strip()
    if sum(c.isalpha() for c in kept) < 3:
        raise Refused("Type a reason of a few words; it is kept in the record.")
    return words(kept)


def words(text: str) -> str:
    """Free text within the limit; Refused when it is empty or too long."""
    kept = text.strip()
    if not kept:
        raise Refused("Nothing is written yet; type a few words.")
    if len(kept) > MAX_TEXT:
        raise Refused(f"That is {len(kept)} characters; a note holds {MAX_TEXT}. Split it into two notes.")
    return kept


# Reading what was typed in answer to a question, in the unit that was asked for.

UNITS = {"mass": "g", "volume": "mL", "temperature": "degC", "duration": "min", "strength": "%"}
GRADES = ("1", "2", "3", "4", "5")
PLENTY = 1000.0
"""Where nothing is planned: more than any spoon or small weight."""


UNIT_NAMES = {
    "g": "Grams", "oz": "Ounces", "mL": "Millilitres", "fl oz": "Fluid ounces", "tsp": "Teaspoons",
    "°C": "Degrees Celsius", "°F": "Degrees Fahrenheit", "cm": "Centimetres", "in": "Inches", "min": "Minutes",
    "pH": "pH", "drops": "Drops", "rounds": "Rounds",
}  # fmt: skip
"""What is to be typed, by the unit it is asked for in: at the foot of a screen and in line mode."""


def asked_in(step: Step) -> str:
    """The unit that a value is asked for in, and a number typed alone is taken in."""
    expected = PLENTY if step.expected is None else step.expected
    return unit_text(unit_for(expected, step.unit, kitchen=step.kitchen))


def unit_asked(kind: str, *, kitchen: bool = False) -> str:
    """The same for a kind of quantity that no step plans."""
    return unit_text(unit_for(PLENTY, UNITS[kind], kitchen=kitchen))


def told_of(step: Step, value: float, digits: int | None = None) -> str:
    """A value of a step in the units that are read."""
    return told(value, step.unit, digits, kitchen=step.kitchen)


def value_of(text: str, kind: str, unit: str = "", near: str = "") -> float:
    """The value in the unit of its kind; a bare number is taken in `unit`, else in the one asked for. Refused if odd.

    near: what is planned, as an example of what to write where no number was.

    >>> value_of("12,5", "volume"), value_of("1/2 cup", "volume")
    (12.5, 118.29411825)
    """
    try:
        return parse(with_unit(text, kind, unit), kind, example=near or _example(kind, unit)).value
    except QuantityError as problem:
        if near and not any(sign.isdigit() for sign in text):
            raise Refused(f"Expected {KINDS[kind].a_name}, for example {near}.") from problem
        raise Refused(str(problem)) from problem


def read_value(step: Step, text: str) -> float:
    """The value in the unit of the step; a bare number is taken in that unit."""
    if step.quantity in ("rating", "look"):
        if text.strip() not in GRADES:
            raise Refused("A rating is a whole number from 1 to 5.")
        return float(text)
    near = "" if step.expected is None else told_of(step, step.expected)
    return value_of(text, step.quantity, asked_in(step), near)


def _example(kind: str, unit: str) -> str:
    """What to write, in the unit that is asked for."""
    if kind not in UNITS:
        return KINDS[kind].example
    usual = parse(KINDS[kind].example, kind)
    return told(usual.value, usual.unit, kitchen=unit not in ("", usual.unit))


def with_unit(text: str, kind: str, unit: str) -> str:
    """What was typed with its unit, where it is a number alone."""
    typed = text.strip()
    if kind not in (*UNITS, "ph", "count"):
        return typed
    try:
        parse_number(typed.removeprefix("-"))
    except QuantityError:
        return typed
    return f"pH {typed}" if kind == "ph" else f"{typed} {unit or unit_asked(kind)}"


def minutes_only(text: str) -> float:
    """`12`, `12 min`, `1 h 5 min`, in minutes; Refused otherwise.

    >>> minutes_only("12"), minutes_only("1 h 5 min")
    (12.0, 65.0)
    """
    try:
        try:
            return parse_number(text)
        except QuantityError:
            return parse(text, "duration").value
    except QuantityError as problem:
        raise Refused(str(problem)) from problem


def minutes_first(text: str) -> tuple[float, str]:
    """Minutes and the words after them, below 0 with a minus; the unit may be left out.

    >>> minutes_first("5 steam was late"), minutes_first("1 h pot went cold"), minutes_first("-4 hot before")
    ((5.0, 'steam was late'), (60.0, 'pot went cold'), (-4.0, 'hot before'))
    """
    told = text.strip()
    sign = -1.0 if told.startswith("-") else 1.0
    number, _, rest = told.removeprefix("-").partition(" ")
    unit, _, after = rest.strip().partition(" ")
    try:
        return sign * parse(f"{number} {unit}", "duration").value, after.strip()
    except QuantityError:
        return sign * minutes_only(number), rest.strip()


def colour_names(state: State) -> str:
    """`1 rust, 2 kelp`."""
    colours = enumerate(state.choices.colours, start=1)
    return ", ".join(f"{number} {clean(colour.plan.name, limit=20)}" for number, colour in colours)


def temperature_asked(state: State) -> str:
    """The question for a reading; a number alone is that of the goods, in a packet or in a bath and never in both."""
    unit = unit_asked("temperature")
    bath, packet, lid, room = (told_number(c, "degC", c) for c in (88.0, 92.0, 97.0, 19.0))
    goods = f"{bath} for the bath" if state.worksheet.read_at == "bath" else f"{packet} for the packet"
    return f"Temperature in {unit}: {goods}, or lid {lid}, room {room}"


def colour_first(state: State, text: str) -> tuple[str, str]:
    """Slug of the colour meant by its name or number, and the rest of the text; Refused where none is meant."""
    colours, told = [colour.plan for colour in state.choices.colours], text.strip()
    for number, colour in enumerate(colours, start=1):
        for name in (colour.name, colour.slug, str(number)):
            if told.casefold().startswith(f"{name.casefold()} "):
                return colour.slug, told[len(name) :].strip()
    if len(colours) == 1:
        return colours[0].slug, told
    raise Refused(f"Say which colour first ({colour_names(state)}), for example {colours[0].name} 20 mL.")
