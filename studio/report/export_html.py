"""One session as an HTML page or as Markdown, and a forecast drawn, for the page or by itself: always escaped, no
script, nothing loaded from anywhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Literal

import msgspec

from studio import __version__
from studio.plaintext import clean
from studio.plan.shapes import Figure, said_by
from studio.quantity.reading_in import as_read
from studio.report.forecast import BandWords, Dot, band_words, estimates, grid, pair_sentences
from studio.report.printing import ALL_OF_IT, Section, day_and_time, fill
from studio.report.session_head import FACTS, facts, head_section
from studio.report.session_page import COST, PLANNED_AND_ACTUAL, STAGES, session_page
from studio.report.timeline import stage_rows
from studio.report.worksheet import sections, value_words
from studio.session.after import review
from studio.session.after.real_cost import spent
from studio.session.after.review import ReadSession
from studio.session.sheet import sheet_now
from studio.session.state import State

if TYPE_CHECKING:
    from studio.craft.stripe.forecast import Forecast
    from studio.craft.stripe.picture import Picture
    from studio.plan.forecast import Foreseen

# A forecast drawn: three cloths of coloured stretches, the odds, and what it rests on, for a page or by itself.

CLOTH_WIDTH = 720.0
ACROSS = 240
"""Dots along a cloth: fine enough for a band of one row on a blank of 240."""
BLANK_DOWN, YARN_DOWN, FABRIC_DOWN = 16, 1, 24
DOT = 3.0
"""Height of a dot, the same as its width."""
LABEL = 16.0
GAP = 10.0
OVERLAP = 0.2
"""Of a stretch over the next, so that no hairline shows between them."""


class Stretch(msgspec.Struct, frozen=True):
    """One colour from one dot to another."""

    x: float
    y: float
    width: float
    height: float
    hex: str


class DrawnCloth(msgspec.Struct, frozen=True):
    """The blank, the yarn or the fabric, lying."""

    label: str
    label_y: float
    stretches: tuple[Stretch, ...]


class DrawnForecast(msgspec.Struct, frozen=True):
    """All of it, in units of a picture `width` by `height`."""

    cloths: tuple[DrawnCloth, ...]
    bands: tuple[BandWords, ...]
    rests_on: tuple[str, ...]
    """What it is worth, one sentence each."""
    height: float
    width: float = CLOTH_WIDTH

    @property
    def told(self) -> str:
        """The same in words, for those who cannot see it."""
        parts = (f"{b.name} {b.rows} rows: {b.solid} solid, {b.mixed} mixed rounds" for b in self.bands)
        return "Forecast of blank, yarn and fabric; " + "; ".join(parts)


def drawn_forecast(foreseen: Foreseen, paintings: int) -> DrawnForecast:
    """Run and draw a forecast; ValueError, one sentence, where it cannot be run. Loads numpy.

    **Source:** `craft.stripe.forecast`; what the picture leaves out is said in `rests_on`.
    """
    return draw(foreseen, foreseen.forecast(paintings), foreseen.picture())


def draw(foreseen: Foreseen, found: Forecast, picture: Picture) -> DrawnForecast:
    """The same of a forecast that has been run."""
    cloths, height = _cloths(picture, foreseen, found.rounds)
    return DrawnForecast(cloths, band_rows(foreseen, found), rests_on(foreseen, found), height)


def band_rows(foreseen: Foreseen, found: Forecast) -> tuple[BandWords, ...]:
    """The odds, a row for each kind of band."""
    looks = ((kind, foreseen.palette[kind.colour]) for kind in found.kinds)
    return tuple(band_words(kind, look.name, look.hex) for kind, look in looks)


def forecast_svg(foreseen: Foreseen, found: Forecast) -> str:
    """The drawing by itself as SVG text; no script, no font, nothing from outside."""
    how = f"Chance over {found.paintings} simulated paintings; the picture shows one of them."
    return fill(
        "forecast.svg.j2",
        title=clean(foreseen.told.title, limit=60),
        drawn=draw(foreseen, found, foreseen.picture()),
        how="Exact geometry: no spread, no tilt, no wander." if found.exact else how,
    )


def _cloths(picture: Picture, foreseen: Foreseen, rounds: float) -> tuple[tuple[DrawnCloth, ...], float]:
    drawn, y = [], 0.0
    for label, cloth, down, dot in (
        ("the painted blank, first row on the left", picture.blank, BLANK_DOWN, DOT),
        ("the yarn of one strand, from the end that is knitted first", picture.yarn, YARN_DOWN, 4 * DOT),
        (f"the fabric, {rounds:.0f} rounds, first round on the left", picture.fabric, FABRIC_DOWN, DOT),
    ):
        dots = grid(picture, cloth, foreseen.palette, ACROSS, down)
        drawn.append(DrawnCloth(label, y + LABEL - 5, _stretches(dots, y + LABEL, dot)))
        y += LABEL + down * dot + GAP
    return tuple(drawn), y


def _stretches(dots: Sequence[Sequence[Dot]], top: float, dot: float) -> tuple[Stretch, ...]:
    found = []
    for number, line in enumerate(dots):
        start = 0
        for hex_, run in groupby(line, key=lambda point: point.hex):
            end = start + len(list(run))
            wide = (end - start) * DOT + (OVERLAP if end < len(line) else 0.0)
            found.append(Stretch(start * DOT, round(top + number * dot, 1), round(wide, 1), dot, hex_))
            start = end
    return tuple(found)


def rests_on(foreseen: Foreseen, found: Forecast) -> tuple[str, ...]:
    """What the forecast is worth, one sentence each."""
    if found.exact:
        how = "Exact geometry of the plan: no spread, no tilt, no wander."
    else:
        how = (
            f"{found.paintings} simulated paintings of the plan; {clean(foreseen.painted_by(), limit=120)}: "
            f"{estimates(foreseen)}. The picture shows one of them."
        )
    return (
        f"A forecast from the plan as it was written, no record of what came out. {how}",
        "Solid: one colour on 95 % of a round or more (house rule). Rounds: the middle of the paintings, and in "
        "brackets where nine of ten of them lie. Hues are approximations.",
        *(f"{sentence[0].upper()}{sentence[1:]}." for sentence in pair_sentences(foreseen.told, found)),
        *(clean(note, limit=400) for note in foreseen.notes),
    )


# What every page of a session has.

Paper = Literal["A4", "Letter"]
VALUE_HEADS = ("", "planned", "asked", "actual", "off by")
BARS_WIDE = 84
"""Cells of the bars of the stages, as a page has room for. House rule."""


def provenance(read: ReadSession) -> str:
    """Where it comes from, in one sentence."""
    return f"From {clean(read.name)}, SHA-256 {read.sha256}, by potside {__version__}."


def figure_value(figure: Figure) -> str:
    """As a worksheet writes it; a number with its unit, where only a later version knows that unit."""
    try:
        return clean(value_words(figure))
    except ValueError:
        return f"{figure.value:g} {clean(figure.unit)}"


def cells(section: Section) -> tuple[tuple[tuple[str, str], ...], ...]:
    """The rows of a section as cells of (text, role), without the blanks that align them on a screen."""
    rows = tuple(tuple((text.strip(), role) for text, role in row) for row in section.rows)
    return rows[1:] if section.name == PLANNED_AND_ACTUAL else rows


# One session as one HTML page that needs nothing else, to read on a screen or print.


def session_html(read: ReadSession, *, paper: Paper = "A4", forecast: DrawnForecast | None = None) -> str:
    """The page: stages as bars, the sections of `session_page`, figures with reasons, the plan, where it comes from.

    forecast: that of the session's plan, drawn; None where the plan allows none, and nothing is said then.
    """
    state = read.state
    _, *rest = session_page(state, read.name, (), 120)
    known = [((name, "quiet"), (text, "plain")) for name, text in facts(state).items()]
    tables = [{"name": FACTS, "values": False, "rows": known, "columns": 2}] + [
        {
            "name": section.name,
            "values": section.name == PLANNED_AND_ACTUAL,
            "rows": cells(section),
            "columns": max(len(line) for line in section.rows),
        }
        for section in rest
        if section.name not in (FACTS, STAGES)
    ]
    cautions = [(clean(c.level), as_read(c.text, limit=4000)) for c in state.worksheet.cautions]
    return fill(
        "session.html.j2",
        paper=paper,
        title=clean(state.title) or "Untitled session",
        outcome=state.outcome or "open",
        why=clean(state.outcome_why, limit=1000),
        when=day_and_time(state.opened.wall_ns, state.utc_offset_min),
        rehearsal=state.rehearsal_speed,
        ratings=review.ratings(state),
        remarks=[clean(r, limit=1000) for r in read.remarks],
        stages=stage_rows(state, BARS_WIDE),
        forecast=forecast,
        tables=tables,
        value_heads=VALUE_HEADS,
        figures=sections(sheet_now(state, spent(state))),
        figure_value=figure_value,
        cautions=cautions,
        plan=clean(state.plan_text, limit=200_000, multiline=True),
        told=provenance(read),
    )


# One session as Markdown: nothing in it is read as markup that the session's own text brought along.

_MARKUP = re.compile(r"([\\`*_{}\[\]<>#|~&!])|(?<=:)(//)|(?<=www)(\.)")
_AT_START = re.compile(r"^(?:(\d{1,9})(?=[.)](?:\s|$))|([-+=])(?=\s|$|[-=]))")


def escape(text: str) -> str:
    r"""Text that shows as it stands, on one line and wherever on the line it comes.

    >>> escape("# <b>|x|</b>"), escape("- a"), escape("1. b"), escape("-1.4 %")
    ('\\# \\<b\\>\\|x\\|\\</b\\>', '\\- a', '1\\. b', '-1.4 %')
    """
    flat = _MARKUP.sub(lambda m: f"\\{m[0]}", " ".join(text.split()))
    return _AT_START.sub(lambda m: f"{m[1]}\\" if m[1] else f"\\{m[2]}", flat)


def session_markdown(read: ReadSession) -> str:
    """The session's page, its figures with their reasons, and where it comes from."""
    state = read.state
    top, (_, *rest) = head_section(state, read.remarks, ALL_OF_IT), session_page(state, read.name, (), 120)
    parts = [f"# {escape(clean(state.title)) or 'Untitled session'}", *_top(top), *_facts(state)]
    for section in rest:
        if section.name in (FACTS, STAGES):
            continue
        parts.append(f"## {escape(section.name)}")
        parts.append("\n".join(_section(section)))
    for name, figures in sections(sheet_now(state, spent(state))).items():
        parts.append(f"## Figures: {escape(name)}")
        parts.append("\n".join(_table(("figure", "value", "because", "source"), map(_told, figures))))
    parts.append(escape(provenance(read)))
    return "\n\n".join(parts) + "\n"


def _told(figure: Figure) -> tuple[str, ...]:
    by = said_by(figure.origin, figure.source)
    told = (figure.label, figure_value(figure), figure.because, by)
    return tuple(clean(text, limit=ALL_OF_IT) for text in told)


def _top(top: Section) -> list[str]:
    first, *others = cells(top)
    lines = ["  ".join(escape(text) for text, _ in first[1:] if text)]
    lines.extend(" ".join(escape(text) for text, _ in line if text) for line in others)
    return [line for line in lines if line]


def _facts(state: State) -> Iterator[str]:
    """The facts, the ratings and the stages."""
    rated = ((what, f"{value} of 5") for what, value in review.ratings(state).items())
    yield "\n".join(f"- {escape(name)}: {escape(text)}" for name, text in (*facts(state).items(), *rated))
    stages = stage_rows(state, BARS_WIDE)
    if stages:
        yield f"## {STAGES}"
        yield "\n".join(f"    {''.join(text for text, _ in line)}".rstrip() for line in stages)


def _section(section: Section) -> Iterator[str]:
    texts = [[text for text, _ in line] for line in cells(section)]
    if section.name == PLANNED_AND_ACTUAL:
        texts.insert(0, [*VALUE_HEADS])
    if section.name in (PLANNED_AND_ACTUAL, COST):
        tabled, texts = [line for line in texts if len(line) > 2], [line for line in texts if len(line) <= 2]
        width = max(map(len, tabled))
        heads, *lines = ([*line, *[""] * (width - len(line))] for line in tabled)
        yield from _table(heads, lines)
        if texts:
            yield ""
    for line in texts:
        yield "- " + " ".join(escape(text) for text in line if text)


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    yield "| " + " | ".join(heads) + " |"
    yield "|" + " --- |" * len(heads)
    for line in rows:
        yield "| " + " | ".join(escape(text) for text in line) + " |"
