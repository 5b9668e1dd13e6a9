"""Jar labels, and the card that goes with the yarn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from typing import Literal

import msgspec

from studio.craft.shade import use_by_days
from studio.plaintext import clean, counted
from studio.plan.jars import StockPlan
from studio.plan.settled import SettledColour, Sharing
from studio.plan.steps.lay import stock_path
from studio.plan.work.stocks import colours_of
from studio.quantity.reading_in import told
from studio.report.export_html import Paper, provenance
from studio.report.logbook import grade_words
from studio.report.printing import fill
from studio.session.after import review
from studio.session.after.review import ReadSession
from studio.session.clock import day_of, local
from studio.session.kinds.fastness import FollowUp
from studio.session.kinds.heat import RinseRound
from studio.session.kinds.notes import SwatchCounted
from studio.session.kinds.paint import LeftoverKept, colour_name
from studio.session.live.given import colour_of, record_of
from studio.session.sheet import value_now
from studio.session.state import State
from studio.tables.finding import find_fibre

# What goes on a jar's label and on the card that goes with the yarn.

NOT_FOR_FOOD = "NOT FOR FOOD"
KEEP = "Keep shut, out of food storage and away from children and animals."
SHEET = "The maker's safety data sheet comes first."
TO_FILL_IN = "____________"


class JarLabel(msgspec.Struct, frozen=True):
    """One jar. Texts are safe to show; a blank line stands where there is something to fill in by hand.

    **Source:** what a label names and the words to keep it shut: common practice; the use-by, `craft.shade`.
    """

    kind: Literal["stock", "paint"]
    contents: str
    what: str
    """`stock of studio rust`, `paint`."""
    strength: str
    volume: str
    made: str
    use_by: str
    use_by_source: str
    lot: str
    hazard: str


def jar_labels(state: State, name: str) -> tuple[JarLabel, ...]:
    """A label for each stock that is made up in the session, then for each leftover that went into a jar."""
    stocks = [
        _stock_label(state, name, jar)
        for jar in state.choices.jars
        for colour, stock in jar[:1]
        if stock.dye.jar is None and colour.plan.drops is None
    ]
    kept = (left.event for left in state.kept(LeftoverKept) if left.event.to == "jar" and left.event.ml > 0)
    return (*stocks, *(_leftover_label(state, name, left) for left in kept))


def lot_of(name: str) -> str:
    """The lot of a session: its date and the last letters of its file name.

    >>> lot_of("20260912-0704-tidewrack-stripes-63ea.jsonl")
    '20260912-63ea'
    """
    stem = name.removesuffix(".jsonl")
    parts = stem.split("-")
    return clean(f"{parts[0]}-{parts[-1]}" if len(parts) > 2 else stem, limit=40)


def _stock_label(state: State, name: str, jar: Sharing) -> JarLabel:
    stock = jar[0][1]
    made = record_of(state, "make up", stock.slug)
    limit = use_by_days("stock")
    made_on = use_by = TO_FILL_IN
    if made.closed and made.at_ns:
        day = local(made.at_ns, state.utc_offset_min)
        made_on, use_by = f"{day:%Y-%m-%d}", f"{day + timedelta(days=limit.days):%Y-%m-%d}"
    return JarLabel(
        kind="stock",
        contents=clean(stock.dye.name, limit=60),
        what=f"stock for {clean(colours_of(jar), limit=60)}",
        strength=_strength(value_now(state, stock_path(stock.slug, "strength"))),
        volume=told(value_now(state, stock_path(stock.slug, "volume")) or 0.0, "mL"),
        made=made_on,
        use_by=use_by,
        use_by_source=f"{limit.days:g} days from made; {limit.source}",
        lot=lot_of(name),
        hazard=hazard_words(stock.dye.food),
    )


def _leftover_label(state: State, name: str, left: LeftoverKept) -> JarLabel:
    colour = colour_of(state, left.colour)
    stocks = colour.stocks if colour is not None else ()
    dyes = ", ".join(stock.dye.name for stock in stocks)
    return JarLabel(
        kind="paint",
        contents=clean(colour_name(state, left.colour), limit=60),
        what=clean(f"paint left over{f', of {dyes}' if dyes else ''}", limit=120),
        strength=_strength(left.strength_percent),
        volume=told(left.ml, "mL"),
        made=_paint_mixed(state, stocks),
        use_by=clean(left.use_by, limit=10) or TO_FILL_IN,
        use_by_source=use_by_days(colour.plan.kept_as if colour is not None else "paint").source,
        lot=lot_of(name),
        hazard=hazard_words(bool(stocks) and all(stock.dye.food for stock in stocks)),
    )


def _strength(value: float | None) -> str:
    return "strength not known" if value is None else told(value, "%")


def _paint_mixed(state: State, stocks: Sequence[StockPlan]) -> str:
    """The day its oldest stock was made: paint is no younger than what it is made of."""
    closed = [record_of(state, "make up", stock.slug).at_ns for stock in stocks]
    day = min([ns for ns in closed if ns] or [state.opened.wall_ns])
    return f"{local(day, state.utc_offset_min):%Y-%m-%d}"


def hazard_words(food: bool) -> str:
    """The words below NOT FOR FOOD.

    >>> hazard_words(food=True)[:36]
    'Food colour that has met dye kit and'
    """
    first = "Food colour that has met dye kit and wool." if food else "Textile dye."
    return f"{first} {KEEP} {SHEET}"


# The card that goes with the yarn: what it is, its lot, its care, and what was and was not tested.

MOST_COLOURS = 12
"""Named on a card; what is more is counted, so that the card stays a card. House rule."""
HAND_WASH = (
    "Wash by hand, cool, with a little mild soap; do not rub or wring.",
    "Press out in a towel and dry flat, out of the sun.",
    "Wash separately at first: some colour may still come out.",
)
"""**Source:** common practice for hand-dyed wool."""
SUPERWASH = "Superwash describes the wool; this dye has not been machine-washed."
FOOD = "Dyed with food colour, which fades faster in light and washing than dye made for textiles."
NEVER_TESTED = {
    "light": "fastness to light",
    "wash": "fastness to washing, by machine or by hand",
    "wet rub": "fastness to rubbing, wet or dry",
    "": "fastness to sweat and saliva; nothing here says it is fit for babies' things",
}
"""What no step of a session tests, by the home test that does. House rule: it is said, not left out."""
STILL_UNTESTED = {
    "light": "fastness to light by the standard's lamp",
    "wash": "fastness to washing by machine",
    "wet rub": "fastness to rubbing, dry",
}
"""What stays untested where the home test was graded."""


class YarnFacts(msgspec.Struct, frozen=True):
    """What the plan and the shelf know of the yarn, where they know it."""

    blend: tuple[tuple[str, float], ...] = ()
    length: str = ""
    """`420 m on 100 g`."""
    from_shelf: bool = False
    """Whether any of it is what the shelf says now, and not what the session's own plan says."""


class YarnCard(msgspec.Struct, frozen=True):
    """Texts of the card, safe to show."""

    title: str
    fibre: str
    weight: str
    length: str
    lot: str
    dyed: str
    colours: tuple[str, ...]
    care: tuple[str, ...]
    tested: tuple[str, ...]
    not_tested: tuple[str, ...]
    note: str


def yarn_card(state: State, name: str, yarn: YarnFacts) -> YarnCard:
    """The card of a session; a blank line stands for what nobody wrote down."""
    colours, dry_g = state.choices.colours, value_now(state, "fibre.weight")
    blend = ", ".join(f"{share:g} % {clean(fibre, limit=40)}" for fibre, share in yarn.blend)
    return YarnCard(
        title=clean(state.title, limit=60) or "Untitled session",
        fibre=blend or TO_FILL_IN,
        weight=TO_FILL_IN if dry_g is None else f"{told(dry_g, 'g', kitchen=True)} dry, before dyeing",
        length=clean(yarn.length, limit=60) or TO_FILL_IN,
        lot=lot_of(name),
        dyed=f"{day_of(_worked_last(state), state.utc_offset_min)}",
        colours=_colours(colours),
        care=_care(yarn, any(s.dye.food for c in colours for s in c.stocks)),
        tested=tuple(_tested(state)),
        not_tested=_not_tested(state),
        note="Fibre and length as the shelf has them now." if yarn.from_shelf else "",
    )


def _worked_last(state: State) -> int:
    """When the last step was closed: what is added weeks later does not make the yarn younger."""
    records = (state.step(step.id) for step in state.all_steps())
    return max((record.at_ns for record in records if record.closed), default=state.opened.wall_ns)


def _colours(colours: Sequence[SettledColour]) -> tuple[str, ...]:
    told = [
        clean(f"{c.plan.name} ({', '.join(dict.fromkeys(s.dye.name for s in c.stocks))})", limit=90)
        for c in colours[:MOST_COLOURS]
    ]
    more = len(colours) - MOST_COLOURS
    return (*told, *([f"and {more} more"] if more > 0 else []))


def _care(yarn: YarnFacts, food: bool) -> tuple[str, ...]:
    superwash = any("superwash" in fibre.casefold() for fibre, _ in yarn.blend)
    silk = any((row := find_fibre(fibre)) is not None and row.family == "silk" for fibre, _ in yarn.blend)
    more = [*([SUPERWASH] if superwash else []), *(["Silk: do not leave it wet."] if silk else [])]
    return (*HAND_WASH, *more, *([FOOD] if food else []))


def _tested(state: State) -> Iterator[str]:
    """Only what the session really holds."""
    rounds = state.kept(RinseRound)
    if rounds:
        last = rounds[-1]
        end = (
            "until the water stayed clear"
            if last.event.clear
            else f"the water still at {last.event.staining} of 5 (5 is clear)"
        )
        yield f"rinsed {counted(len(rounds), 'round')}, {end}"
    for what, value in review.ratings(state).items():
        yield f"{what}, by eye: {value} of 5"
    for swatch in (kept.event for kept in state.kept(SwatchCounted)):
        colour = clean(swatch.colour, limit=30)
        yield f"swatch of {colour}: {swatch.solid:g} rounds solid from {swatch.rows:g} rows"
    for test, grade in ((f.test, f.grade) for f in _graded(state).values()):
        if grade is not None:
            day = day_of(grade.at_ns, state.utc_offset_min)
            yield f"{test} test at home, by eye on the grey scale, {day}: {grade_words(grade)} (5 is best)"


def _graded(state: State) -> dict[str, FollowUp]:
    """The newest graded follow-up of each test."""
    return {f.test: f for f in state.follow_ups if f.standing == "graded"}


def _not_tested(state: State) -> tuple[str, ...]:
    rinse = () if state.kept(RinseRound) else ("whether the rinse water runs clear",)
    graded = _graded(state)
    return (
        *rinse,
        *(STILL_UNTESTED[test] if test in graded else told for test, told in NEVER_TESTED.items()),
    )


# Jar labels in two sizes and a card for the yarn, as one HTML sheet to print and cut.


class Grid(msgspec.Struct, frozen=True):
    """Labels of one size on a page, mm."""

    columns: int
    rows: int
    width: float
    height: float
    gap: float
    top: float
    left: float


PAGE_MM: dict[Paper, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}


def grid(paper: Paper, width: float, height: float, gap: float = 2.5, least_margin: float = 8.0) -> Grid:
    """As many as fit between margins a printer can print to, in the middle of the page. House rule.

    >>> found = grid("A4", 63.5, 38.1)
    >>> found.columns, found.rows, round(found.left, 2), round(found.top, 2)
    (3, 7, 7.25, 15.15)
    """
    page_width, page_height = PAGE_MM[paper]
    columns = int((page_width - 2 * (least_margin - 1) + gap) // (width + gap))
    rows = int((page_height - 2 * least_margin) // height)
    left = (page_width - columns * width - (columns - 1) * gap) / 2
    return Grid(columns, rows, width, height, gap, (page_height - rows * height) / 2, left)


def label_sheet(read: ReadSession, yarn: YarnFacts, *, paper: Paper = "A4") -> str:
    """The sheet: small jar labels (63.5 x 38.1 mm), large ones (96 x 67.7 mm), the yarn's card twice."""
    labels = jar_labels(read.state, read.name)
    page_width, page_height = PAGE_MM[paper]
    return fill(
        "labels.html.j2",
        paper=paper,
        page_width=page_width,
        page_height=page_height,
        title=clean(read.state.title) or "Untitled session",
        sizes=(("small", grid(paper, 63.5, 38.1)), ("large", grid(paper, 96.0, 67.7, gap=2.0))),
        jars=labels,
        card=yarn_card(read.state, read.name, yarn),
        not_for_food=NOT_FOR_FOOD,
        sources=sorted({f"{label.kind}: {label.use_by_source}" for label in labels}),
        told=provenance(read),
        rehearsal=read.state.rehearsal_speed is not None,
    )
