"""Sessions side by side, and a repeat held against the session it comes from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap
from typing import Literal

import msgspec

from studio.plaintext import clean
from studio.plan.repeat.decided import decided
from studio.plan.repeat.repeating import Repeated
from studio.plan.shapes import Figure, Worksheet
from studio.plan.ways import method_of
from studio.quantity.kinds import Quantity
from studio.quantity.reading_in import as_read, in_metric
from studio.quantity.reading_in import told as in_read_units
from studio.quantity.showing import show, unit_text
from studio.report.printing import Row, Section, Span, day_and_time, document, picked, row
from studio.report.session_page import off_by
from studio.report.worksheet import figure_told
from studio.session.after.comparing import Difference, Part
from studio.session.after.review import ReadSession
from studio.session.clock import utc_text
from studio.shaping import shaped

# What differs between sessions.

LETTERS = "ABCD"
VALUE, OFF, OFF_IN_WORDS = 8, 8, 16
"""Cells for a number, for its difference, and for that with its word where only two are held side by side."""
MORE_OR_LESS = {"min": ("longer", "shorter"), "degC": ("warmer", "cooler"), "of 5": ("better", "worse")}
"""By the unit; else more and less."""

NAMES: dict[Part, str] = {
    "plan": "the plan",
    "measured": "measured",
    "depth": "depth, as it came",
    "stage": "stages",
    "timer": "clocks, as they ran",
    "bench": "at the bench",
    "rating": "ratings",
    "override": "left out or passed with a reason",
    "caution": "warnings accepted",
    "asked": "asked for at the bench",
    "planned": "planned figures",
}


def compare_sections(
    sessions: Sequence[ReadSession], differences: Sequence[Difference], width: int
) -> tuple[Section, ...]:
    """The sessions by letter, then each part that differs, for lines of `width` cells (at least 40)."""
    sections = [Section("", tuple(_heads(sessions, width)))]
    for part, name in NAMES.items():
        own = [d for d in differences if d.part == part]
        if not own:
            continue
        told: list[Row] = [] if part in ("plan", "override", "caution") else [_letters(len(sessions), width)]
        for difference in own:
            told.extend((_worded if any(difference.words) else _rows)(difference, width))
        sections.append(Section(name, tuple(told)))
    if not differences:
        sections.append(Section("", (row(("Nothing differs.", "strong")),)))
    return tuple(sections)


def _heads(sessions: Sequence[ReadSession], width: int) -> Iterator[Row]:
    for letter, session in zip(LETTERS, sessions, strict=False):
        state = session.state
        when = day_and_time(state.opened.wall_ns, state.utc_offset_min)
        outcome = "rehearsal" if state.rehearsal_speed else state.outcome or "open"
        title = clean(state.title, limit=max(12, width - 36))
        yield row((f"{letter}  ", "focus"), (f"{when}  {outcome:<10} ", "quiet"), (title, "strong"))
    yield row(("differences are against A", "quiet"))


def _letters(count: int, width: int) -> Row:
    label, off = _label_room(count, width), _off_room(count, width)
    heads = "".join(f"{letter:>{VALUE}}{'':{off}}" for letter in LETTERS[1:count])
    return row((f"{'':{label}}{'A':>{VALUE}}{heads}".rstrip(), "quiet"))


def _label_room(count: int, width: int) -> int:
    return max(14, min(48, width - 2 - VALUE - (count - 1) * (VALUE + _off_room(count, width))))


def _off_room(count: int, width: int) -> int:
    return OFF_IN_WORDS if count == 2 and width >= 60 else OFF


def _rows(difference: Difference, width: int) -> Iterator[Row]:
    room = _label_room(len(difference.values), width)
    unit = "" if difference.unit in ("", "1") else f", {clean(unit_text(difference.unit), limit=8)}"
    label = clean(difference.label, limit=max(20, width - len(unit) - 1)) + unit
    if len(label) >= room:
        # Cut short, `Paint for rust` and `Paint for kelp` would be one: the label has a line of its own.
        yield row((label, "plain"))
        label = ""
    spans: list[Span] = [
        (f"{label:<{room}}", "plain"),
        (f"{number(difference.values[0], difference.unit):>{VALUE}}", "strong"),
    ]
    for value, by in zip(difference.values[1:], difference.by[1:], strict=True):
        with in_metric():
            off = off_by(value, difference.values[0], difference.unit)
        room = _off_room(len(difference.values), width)
        more, less = MORE_OR_LESS.get(difference.unit, ("more", "less"))
        word = "" if not off or room == OFF else f" {more if by is not None and by > 0 else less}"
        spans.append((f"{number(value, difference.unit):>{VALUE}}", "strong"))
        shown = off.lstrip("+-") if word else off
        spans.append((f" {shown:>{OFF - 1}}{word:<{room - OFF}}", "quiet"))
    while not spans[-1][0].strip():
        spans.pop()
    spans[-1] = (spans[-1][0].rstrip(), spans[-1][1])
    yield row(*spans)


def _worded(difference: Difference, width: int) -> Iterator[Row]:
    """Sessions that say the same share a line."""
    yield row((clean(difference.label, limit=max(20, width - 2)), "plain"))
    alike: dict[str, list[str]] = {}
    for letter, words in zip(LETTERS, difference.words, strict=False):
        alike.setdefault(words, []).append(letter)
    room = 2 * len(difference.words) - 1
    for words, letters in alike.items():
        told = clean(words, limit=max(20, width - room - 4)) if words else "-"
        yield row((f"  {' '.join(letters):<{room}}  ", "focus"), (told, "quiet"))


def number(value: float | None, unit: str) -> str:
    """To three digits, minutes no finer than a tenth; a dash where there is none.

    >>> number(0.157, "min"), number(34.25, "g"), number(None, "g")
    ('0.2', '34.3', '-')
    """
    if value is None:
        return "-"
    value = round(value, 1) if unit == "min" else value
    return show(value, "1") if abs(value) < 1e6 else f"{value:.1e}"


def compare_json(sessions: Sequence[ReadSession], differences: Sequence[Difference]) -> str:
    """The contract `potside-compare/1`, keys sorted, indented by two."""
    named = [
        {
            "letter": letter,
            "session": s.name,
            "title": s.state.title,
            "opened": utc_text(s.state.opened.wall_ns),
            "outcome": s.state.outcome or "open",
            "rehearsal_speed": s.state.rehearsal_speed,
        }
        for letter, s in zip(LETTERS, sessions, strict=False)
    ]
    rows = [
        {
            **picked(d, "part", "id", "label", "unit", "values"),
            "words": d.words if any(d.words) else None,
            "differences": d.by,
            "differences_percent": d.by_percent,
        }
        for d in differences
    ]
    return document("potside-compare/1", {"sessions": named, "rows": rows})


# A repeat held against the session it comes from, and what a matching second lot must keep equal.

PROPORTION = 2e-4
"""Relative; figures this near to the factor are in proportion. House rule: plans are written to five digits."""
OTHER_LAWS = ("set", "cool and rinse")
"""Parts of figures that follow other laws than the weight, even where one happens to come out in proportion."""
How = Literal["in proportion", "as before", "worked out anew"]


class Change(msgspec.Struct, frozen=True):
    """One figure of the session's worksheet and of the repeat."""

    figure: Figure
    """Of the repeat."""
    old: float | None
    """As planned for the session; None where it had no such figure."""
    how: How
    """Against what was really done at its own weight."""


def changes(old: Worksheet, repeated: Repeated) -> tuple[Change, ...]:
    """Every figure of the repeat, in order, and whether it follows the weight.

    At the same weight on the same base nothing is in proportion or anew: every figure is as it was done.
    """
    found = []
    for figure in repeated.worksheet.figures:
        before, done = old.figure(figure.id), repeated.at_same_weight.figure(figure.id)
        how = _how(figure, done, repeated.factor)
        found.append(Change(figure, before.value if before is not None else None, how))
    return tuple(found)


def _how(figure: Figure, done: Figure | None, factor: float) -> How:
    if done is None:
        return "worked out anew"
    if _alike(done.value, figure.value):
        return "as before"
    if _alike(done.value * factor, figure.value) and figure.part not in OTHER_LAWS:
        return "in proportion"
    return "worked out anew"


def repeat_sections(old: Worksheet, repeated: Repeated, width: int) -> tuple[Section, ...]:
    """Old -> new: what was worked out anew by name, what is in proportion, what else is as it was done."""
    told = changes(old, repeated)
    sections = []
    if repeated.base is not None:
        sections.append(Section("another base", tuple(_facts(repeated.base, width))))
    if repeated.factor != 1.0 or repeated.base is not None:
        anew = "not in proportion to weight" if repeated.base is None else "for the other base and its weight"
        sections += [
            Section(
                f"worked out anew, {anew}",
                (*_changes(told, "worked out anew", width), *_gone(repeated, width)),
            ),
            Section(
                f"in proportion to weight, x {show(repeated.factor, '1')} of what was done",
                tuple(_changes(told, "in proportion", width)),
            ),
        ]
    as_done = tuple(c for c in told if c.how == "as before" and not _alike(c.old, c.figure.value))
    sections.append(Section("from what you did", tuple(_changes(as_done, "as before", width))))
    notes = Section("mind", _wrapped((*repeated.notes, *_cautions(repeated)), width))
    # On another base the notes say what has become of the layout: that is read before any figure.
    sections.insert(1 if repeated.base is not None else len(sections), notes)
    shown = tuple(s for s in sections if s.rows)
    return shown or (Section("", (row(("Every figure is as it was planned.", "plain")),)),)


def _wrapped(notes: Sequence[str], width: int) -> tuple[Row, ...]:
    """Sentences on as many lines as they need, the later ones set in."""
    room = max(30, width - 4)
    lines = (line for note in notes for line in wrap(note, room, subsequent_indent="  "))
    return tuple(row((line, "due")) for line in lines)


def _cautions(repeated: Repeated) -> tuple[str, ...]:
    """Every stop, and on another base the warnings that the old one did not give."""
    told = [f"STOP: {as_read(c.text, limit=400)}" for c in repeated.worksheet.stops]
    if repeated.base is not None:
        before = {c.text for c in repeated.at_same_weight.cautions}
        warned = (c for c in repeated.worksheet.cautions if c.level == "warn" and c.text not in before)
        told += [f"Warning, new: {as_read(c.text, limit=400)}" for c in warned]
    return tuple(told)


def _facts(facts: Sequence[tuple[str, str, str]], width: int) -> Iterator[Row]:
    """Name, before -> after; on two lines where a blend is long."""
    room = 18
    for label, was, now in facts:
        first: Span = (f"{label:<{room}} ", "plain")
        was, now = clean(was, limit=120), clean(now, limit=120)
        if room + len(was) + len(now) + 5 <= width:
            yield row(first, (f"{was} -> ", "quiet"), (now, "strong"))
        else:
            yield row(first, (was, "quiet"))
            yield row((" " * (room - 2), "plain"), ("-> ", "quiet"), (now, "strong"))


def _gone(repeated: Repeated, width: int) -> Iterator[Row]:
    """Figures that the other base does not give."""
    for figure in repeated.at_same_weight.figures:
        if repeated.worksheet.figure(figure.id) is None:
            yield from _changed(figure, figure.value, "not for this base", width)


def _alike(old: float | None, new: float) -> bool:
    return old is not None and abs(new - old) <= PROPORTION * max(abs(old), 1e-9)


def _changes(told: Sequence[Change], how: How, width: int) -> Iterator[Row]:
    for figure, old in ((change.figure, change.old) for change in told if change.how == how):
        off = off_by(figure.value, old, figure.unit, kitchen=figure.kitchen)
        yield from _changed(figure, old, f"{figure_told(figure, figure.value):<12}", width, off)


def _changed(figure: Figure, old: float | None, new: str, width: int, off: str = "") -> Iterator[Row]:
    """Its label has a line of its own where it would be cut."""
    room = max(20, min(44, width - 40))
    was, label = "-" if old is None else figure_told(figure, old), as_read(figure.label)
    if len(label) > room:
        yield row((label, "plain"))
        label = ""
    yield row((f"{label:<{room}} ", "plain"), (f"{was:>12} -> ", "quiet"), (new, "strong"), (off, "quiet"))


SAME_FIGURES = ("presoak.temperature", "paint.held")
"""What the shade hangs on beside what a key decides, in the order of work."""


def same_lot_section(repeated: Repeated) -> Section:
    """What a second lot must hold equal to match the first: the values are those of the first, as done.

    **Source:** house rule: what the depth and the level of a shade depend on (A. D. Broadbent, Basic
    Principles of Textile Coloration, SDC 2001, p. 193 for the pick-up).
    """
    sheet, done, told = repeated.at_same_weight, repeated.done, list[tuple[str, str]]()
    for line in decided(done.choices, sheet):
        figure, whole, value = sheet.figure(line.path), sheet.figure(line.goes_with), line.value(sheet)
        if figure is None or value is None:
            continue
        each = "" if whole is None else f", for 100 {whole.unit} of {whole.label}"
        told.append((f"{figure.label}{each}", figure_told(figure, value if whole is None else 100 * value)))
    for figure in done.sheet.figures:
        if figure.id in done.amounts and figure.unit == "pH":
            told.append((f"{figure.label}, as it was read", show(figure.value, "pH")))
    others = (sheet.figure(figure_id) for figure_id in (*SAME_FIGURES, *method_of(done.choices).set_by.shade))
    told.extend((f.label, figure_told(f, f.value)) for f in others if f is not None)
    thickness = done.choices.plan.own.get("thickness")
    if thickness and method_of(done.choices).put_on.has_bands:
        told.append(("thickness of the packet", in_read_units(shaped(thickness, Quantity).value, "cm")))
    if repeated.base:
        told.append(("base", "another one: a lot on it will not match"))
    told.append(("water, base, batch of dye and of fibre", "the same as for the first lot"))
    rows = (row((f"{clean(label, limit=60):<60} ", "plain"), (value, "strong")) for label, value in told)
    return Section("a matching second lot: hold equal", tuple(rows))
