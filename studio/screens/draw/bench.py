"""The bench as content: what the hands need now stands largest, the clocks beside it, the checks below.

A page is put together from parts, and where there is no room for all of them they give way in the order of
`ECONOMIES`; the sentence of the step, its value and what Enter does stay.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

import msgspec
from rich.cells import cell_len
from textual.content import Content

from studio.plaintext import clean, first_sentence
from studio.plan.shapes import Step
from studio.quantity.reading_in import as_read
from studio.screens.draw.cloth import five_cups, luminance, patch, stage_words, strip
from studio.screens.draw.digits import big, can_draw, width_of
from studio.screens.draw.goods import blank as goods_drawn
from studio.screens.draw.keys import MARGIN, SENTENCE, Glyphs, beside, with_keys
from studio.screens.draw.panel import caution_lines, check_lines, check_row, figure_row
from studio.session.path import share_done
from studio.session.step_rules import range_told
from studio.session.timers import TimerView, clock_text, left_words
from studio.words.table import spoken

if TYPE_CHECKING:
    from studio.screens.bench.view import BenchView, Large, Shown
    from studio.screens.draw.panel import Check

Part = tuple[str, str]
Curve = Callable[[int, int], list[Content]]
"""Draws so many lines, so many cells wide, and one line of minutes below; nothing where there is no room."""

WIDE, WIDEST, SIDE = 120, 156, 41
"""Cells from which the checks stand at the side; from which the next stage stands beside them, so many cells on."""


class Size(msgspec.Struct, frozen=True):
    """How much of each part is shown."""

    digits: int
    strip: int
    facts: int
    checks: int
    """The least that is shown of them."""
    blanks: int = 2
    """Rows between the parts: all, only about what is largest, or none."""
    words: bool = True
    """The names of the stages."""
    notes: str = "whole"


ALL_CHECKS = 4
"""As many as there is room for, and no fewer than these."""
ECONOMIES: tuple[dict[str, object], ...] = (
    {"checks": 2}, {"blanks": 1}, {"checks": 1}, {"blanks": 0}, {"facts": 2}, {"facts": 1}, {"notes": "short"},
    {"digits": 5}, {"strip": 1}, {"notes": "none"}, {"words": False}, {"digits": 3}, {"checks": 0}, {"facts": 0},
    {"strip": 0}, {"digits": 0},
)  # fmt: skip
"""What gives way, one after the other, where the rows do not suffice."""


class Frame(msgspec.Struct, frozen=True):
    """What a page is drawn with."""

    width: int
    hues: Mapping[str, str]
    """Of each colour by its name; none as long as they are not worked out."""
    glyphs: Glyphs
    asking: bool = False
    """A question stands below: what Enter does is told there."""
    typed: str = ""
    """What stands in the field so far, if a value is asked for."""
    cloth: Curve | None = None
    """The piece as it may come out, knitted: so many cells wide, so many rows and one."""
    signs: tuple[str, ...] = ()
    """What must be known of sound and sleep."""


def page(view: BenchView, frame: Frame, height: int, curve: Curve | None = None) -> Content:
    """All of it within so many rows."""
    tall = height >= TALL
    strip_rows = 4 if height >= TALLER else 3 if tall else 2
    digits = 7 if tall else 5 if curve is None else 3
    size = Size(digits=digits, strip=strip_rows, facts=6 if tall else 3, checks=ALL_CHECKS)
    drawn = Bench(view, frame)
    lines = drawn.lines(size, height, curve)
    for economy in ECONOMIES:
        if len(lines) <= height:
            break
        size = msgspec.structs.replace(size, **economy)
        lines = drawn.lines(size, height, curve)
    return Content("\n").join(lines[:height])


TALL, TALLER = 32, 44
"""Rows from which the digits are seven high; from which the strip is four."""
LEAST_CLOTH, TALLEST_CLOTH = 7, 9
"""Rows that must be free for the cloth; rows it takes at most."""


class Bench:
    """The parts of one page, each as lines."""

    def __init__(self, view: BenchView, frame: Frame) -> None:
        self.view, self.hues, self.typed, self.means = view, frame.hues, frame.typed, frame.signs
        self.asking = frame.asking
        self.bands = [msgspec.structs.replace(b, hex=frame.hues.get(b.name, "")) for b in view.bands]
        self.width, self.glyphs, self.cloth = frame.width, frame.glyphs, frame.cloth
        self._cautions: dict[str, list[Content]] = {}

    def lines(self, size: Size, height: int, curve: Curve | None) -> list[Content]:
        """The page at that size, or longer where it does not fit."""
        view, blank = self.view, [Content("")] if size.blanks > 1 else []
        about = [Content("")] if size.blanks else []
        top = [header(view.title, view.about, view.time, view.saved, self.width), *blank, *self.strip(size)]
        if view.shown is None:
            main = [line.pad_left(MARGIN) for line in self._main(size, 0)[0]]
            lines = [*top, *blank, view.ended, *blank, *main]
            return [*lines, *self._knitted(height - len(lines))]
        now = [*about, *self.sentence, *self.middle(view.shown, size, about)]
        if view.shown.step.kind == "gate":
            bar = Content.styled(self.glyphs.bar, "$danger")
            now = [Content.assemble(bar, line[1:]) if line.plain else bar for line in now]
        hint = [] if self.asking else self._hint(view.shown.hint)
        foot = [*blank, *self.told_of_means(), *hint]
        rest = height - len(top) - len(now) - len(foot)
        below: list[Content] = []
        if curve is not None:
            drawn = curve(self.width - 2 * MARGIN, min(TALLEST_CURVE, rest - 2))
            below = [line.pad_left(MARGIN) for line in drawn]
        if not below and size.checks and not self.wide:
            listed = self.checks(view.shown, size, rest - len(blank))
            below = [*blank, *(line.pad_left(MARGIN) for line in listed)]
        below = [*below, *self._knitted(rest - len(below))]
        return [*top, *now, *below, *[Content("")] * (rest - len(below)), *foot]

    def _hint(self, hint: str) -> list[Content]:
        """What the keys do at this step, whole."""
        lines = with_keys(hint, "$focus").wrap(self.width - 2 * MARGIN)
        return [line.pad_left(MARGIN) for line in lines]

    def _knitted(self, room: int) -> list[Content]:
        """The piece as it may come out, where there is room for it."""
        if self.cloth is None or room < LEAST_CLOTH:
            return []
        return [Content(""), *self.cloth(self.width - 2 * MARGIN, min(TALLEST_CLOTH, room - 3))]

    @property
    def wide(self) -> bool:
        """Whether the checks have a column of their own."""
        return self.width >= WIDE

    def middle(self, shown: Shown, size: Size, blank: list[Content]) -> list[Content]:
        """What is largest and the facts below it; at the side the clocks, and the checks where it is wide."""
        column = 80 if self.wide else 54 if self.width >= 76 else 46
        drawn, rows = self._main(size, column)
        main, facts = [line.pad_left(MARGIN) for line in drawn], self.facts(shown, size)
        if self.width < 76 and main:
            column = min(column, max(line.cell_length for line in main) + 3)
        side = self._side(size, rows, self.width - column - MARGIN)
        goods = [*blank, *self.goods(size)]
        if not self.wide:
            if not main:
                main, side = [line.pad_left(MARGIN) for line in side], []
            large = beside(main, side, column)
            start = goods if len(goods) > len(blank) or large else []
            return [*start, *large, *facts]
        left, room = [*main, *facts], (SIDE if self.width >= WIDEST else self.width - column) - MARGIN
        here = self._checked(shown.checks, room, size)
        lines = beside(left, [*side, *(blank if side else ()), *here], column)
        if self.width >= WIDEST and shown.then:
            then = self._checked(shown.then, self.width - column - SIDE - MARGIN, size)
            lines = beside(
                lines, [*[Content("")] * (len(side) + len(blank) * bool(side)), *then], column + SIDE
            )
        return [*goods, *(blank if len(goods) > len(blank) else ()), *lines]

    def _checked(self, checks: Sequence[Check], room: int, size: Size) -> list[Content]:
        """A column of steps; whole as long as nothing has to give way."""
        if size.checks < ALL_CHECKS:
            return [check_row(check, room, self.glyphs) for check in checks]
        return [line for check in checks for line in check_lines(check, room, self.glyphs)]

    def goods(self, size: Size) -> list[Content]:
        """The blank while bands are painted, in the rows of strip and digits; the cups while water is judged."""
        wide, rows = self.width - 2 * MARGIN, {7: 9, 5: 5, 3: 3}.get(size.digits, 1)
        if self.view.cups is not None:
            deepest, chosen = min(self.hues.values(), key=luminance, default=""), self.typed.strip()
            grade = int(chosen) if chosen in tuple("12345") else 0
            drawn = five_cups(self.view.cups, deepest, grade, wide, (rows + 1) // 2, self.glyphs)
        elif self.view.painting is not None:
            drawn = goods_drawn(self.bands, self.view.painting, wide, rows, self.glyphs, self.view.unit)
        else:
            return []
        return [line.pad_left(MARGIN) for line in drawn]

    def told_of_means(self) -> list[Content]:
        """What must be known of sound and sleep, whole."""
        told = Content.styled(", ".join(self.means), "$quiet")
        wide = self.width - 2 * MARGIN
        return [line.pad_left(MARGIN) for line in told.wrap(wide)] if self.means else []

    def strip(self, size: Size) -> list[Content]:
        """The plan's own strip, full as far as the session is, and the stages below it."""
        wide = self.width - 2 * MARGIN
        lines = (
            strip(self.bands, wide, size.strip, self.glyphs, done=share_done(self.view.stages))
            if size.strip and self.view.painting is None
            else []
        )
        words = [stage_words(self.view.stages, wide, self.glyphs)] if size.words else []
        return [line.pad_left(MARGIN) for line in (*lines, *words)]

    @cached_property
    def sentence(self) -> list[Content]:
        """What to do: verb, thing, amount, place."""
        shown = self.view.shown
        if shown is None:
            return []
        text = as_read(shown.step.text, limit=400)
        parts: list[Part] = [("STOP  ", "bold $danger")] if shown.step.kind == "gate" else []
        told = Content.assemble(*parts, (text, "bold $text"))
        return [line.pad_left(MARGIN) for line in told.wrap(min(SENTENCE, self.width - 2 * MARGIN))]

    def _main(self, size: Size, column: int) -> tuple[list[Content], int]:
        """What is largest, left of a column, and how many rows high it came out."""
        large = self.view.large
        if large is None or not large.text:
            return [], 0
        room = (column or self.width) - MARGIN - (3 if self.width >= 76 else 2)
        typed = self.typed if not large.clock else ""
        sign = next((band.sign for band in self.bands if band.name == large.colour), "")
        return large_lines(
            large, typed, self.hues.get(large.colour, ""), sign, size.digits, room, self.glyphs
        )

    def _side(self, size: Size, high: int, room: int) -> list[Content]:
        """The clocks that are not the largest, and of the one that is, what it counts."""
        large, lines = self.view.large, list[Content]()
        main = large.clock if large is not None else None
        if large is not None and large.label:
            lines.extend(Content.styled(large.label, "$quiet").wrap(room))
        if main is not None:
            for text, style in said_of(main, self.view):
                lines.extend(Content.styled(text, style).wrap(room))
            if main.sure and not main.due and not main.paused:
                lines.append(self._gone(main, room))
        others = [clock for clock in self.view.timers if main is None or clock.id != main.id]
        drawn = main is None and self.width >= 76 and high >= 5
        for number, clock in enumerate(others):
            style = "bold $due" if clock.sure and clock.due else "bold $text"
            label = as_read(clock.label, limit=60)
            if drawn and number < (2 if size.digits > 5 else 1):
                lines.extend(Content.styled(label, "$quiet").wrap(room))
                rows = big(left_text(clock), 3, ascii_only=self.glyphs.ascii_only)
                lines.extend(Content.styled(row, style) for row in rows)
                lines.append(Content.styled(self.view.end_of(clock), "$quiet"))
            else:
                still = f"  {self.view.end_of(clock)}" if clock.paused or not clock.sure else ""
                told = Content.assemble((f"{left_text(clock)} ", style), (f"{label}{still}", "$quiet"))
                lines.extend(told.wrap(room))
        return lines

    def _gone(self, clock: TimerView, wide: int) -> Content:
        """The time gone, as a bar of half height."""
        share = clock.elapsed_s / max(1.0, clock.elapsed_s + clock.left_s)
        full = round(wide * min(1.0, share))
        return Content.assemble(
            (self.glyphs.gone * full, "$focus"), (self.glyphs.gone * (wide - full), "$panel")
        )

    def facts(self, shown: Shown, size: Size) -> list[Content]:
        """Near what the value lies, the figures below the largest, and what is serious."""
        wide = min(SENTENCE, self.width - 2 * MARGIN)
        figures = [f for f in shown.figures if self.view.large is None or f.id != self.view.large.figure]
        lines = [figure_row(f, wide) for f in figures[: size.facts]]
        near = near_enough(shown.step)
        if near and size.facts:
            lines.insert(0, Content.styled(f"  {near}", "bold $text"))
        if shown.record.earlier:
            last = clean(shown.record.earlier[-1].what, limit=60)
            lines.append(Content.styled(f"  taken back before: {last}", "$quiet"))
        lines.extend(self.cautions(shown, size.notes))
        return [*([Content("")] if size.blanks and lines else []), *lines]

    def cautions(self, shown: Shown, notes: str) -> list[Content]:
        """Two that are serious, else one note: whole, by its first sentence, or none."""
        if notes not in self._cautions:
            serious = [caution for caution in shown.cautions if caution.level != "note"]
            told = serious[:2] or ([] if notes == "none" else list(shown.cautions[:1]))
            if notes == "short" and not serious:
                told = [msgspec.structs.replace(one, text=first_sentence(one.text)) for one in told]
            wide = min(SENTENCE, self.width - 2 * MARGIN)
            self._cautions[notes] = [line.pad_left(1) for one in told for line in caution_lines(one, wide)]
        return self._cautions[notes]

    def checks(self, shown: Shown, size: Size, room: int) -> list[Content]:
        """The stage's steps with their marks, as many as there is room for, with the one in hand among them."""
        wide = min(SENTENCE, self.width - 2 * MARGIN)
        here = next((n for n, check in enumerate(shown.checks) if check.current), len(shown.checks) - 1)
        most = max(size.checks, room) if size.checks == ALL_CHECKS else size.checks
        first = max(0, min(here - 1, len(shown.checks) - most)) if most > 1 else here
        seen = shown.checks[first : first + most]
        lines = self._checked(seen, wide, size)
        return lines if len(lines) <= room else [check_row(check, wide, self.glyphs) for check in seen]


TALLEST_CURVE = 8


def header(title: str, about: str, time: str, saved: Part, width: int) -> Content:
    """Title and what is dyed on the left; time of day and the state of the file on the right."""
    right = f"{time}   {saved[0]}"
    room = max(8, width - len(right) - 7)
    name = clean(title, limit=room)
    taken = cell_len(name)
    rest = room - taken - 3
    parts: list[Part] = [(f"  {name}", "bold $text")]
    if rest > 12:
        about = clean(about, limit=rest)
        parts.append((f"   {about}", "$quiet"))
        taken += 3 + cell_len(about)
    parts.append((" " * max(1, width - taken - len(right) - 4), ""))
    parts.append((f"{time}   ", "$quiet"))
    return Content.assemble(*parts, saved, "  ")


def left_text(view: TimerView) -> str:
    """What a clock has left; dashes where only the dyer can tell, so that no guess is read as the time.

    **Source:** house rule.
    """
    return clock_text(view.left_s) if view.sure else "--:--"


def large_lines(
    large: Large, typed: str, hue: str, sign: str, rows: int, room: int, glyphs: Glyphs
) -> tuple[list[Content], int]:
    """The patch of its colour and the digits, at most so high and in so many cells; and how high they came out.

    A narrower patch comes before the unit in words, and that before smaller digits.
    """
    text, style = typed or large.text, "bold $focus" if typed else f"bold {large.style}"
    patches = {7: (12, 4), 5: (8, 4)} if large.colour else {}
    heights = [10] if rows == 7 and large.clock else []
    for high in (*heights, *(n for n in (7, 5, 3) if n <= rows)):
        for unit in (large.unit, "") if can_draw(large.unit) else ("",):
            words = 0 if unit == large.unit else len(large.unit) + 2
            for wide in patches.get(high, (4,) if large.colour else (0,)):
                if width_of(text, high, unit) + words + (wide + 3 if wide else 0) <= room:
                    drawn = big(text, high, unit, ascii_only=glyphs.ascii_only)
                    lines = [Content.styled(row, style) for row in drawn]
                    if words:
                        lines[-1] = Content.assemble(lines[-1], f"  {large.unit}")
                    return beside(
                        patch(hue, sign, wide, high, glyphs), lines, wide + 3
                    ) if wide else lines, high
    return [Content.styled(f"{text} {large.unit}".rstrip(), style)], 0


def said_of(clock: TimerView, view: BenchView) -> Iterator[Part]:
    """What the largest clock counts, when it ends, and what is the matter with it."""
    label, end = as_read(clock.label, limit=40), view.end_of(clock)
    if not clock.sure:
        yield label, "bold $danger"
        yield end, "$danger"
        yield spoken("{bench.true_time}: say how long it ran"), "$text"
    elif clock.paused:
        yield label, "bold $due"
        yield end, "$due"
        yield spoken("{bench.steam_back} when it rolls again"), "$text"
    elif clock.due:
        yield f"DUE  {label} is over", "bold $due"
        yield end, "$quiet"
    else:
        yield label, "bold $text"
        yield end, "$quiet"
        yield f"{left_words(-clock.elapsed_s)} gone", "$quiet"


RANGED = ("mass", "volume", "ph", "temperature")


def near_enough(step: Step) -> str:
    """Between what a value is taken without a question."""
    if step.kind != "measure" or step.expected is None or step.low is None or step.high is None:
        return ""
    if step.limit_c is not None or step.quantity not in RANGED or step.low == step.high:
        return ""
    return f"near enough: {range_told(step)}"
