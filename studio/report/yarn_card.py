"""The card that goes with the yarn: what it is, its lot, its care, and what was and was not tested."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from studio.plaintext import clean
from studio.plan.facts import ColourFacts
from studio.quantity import show
from studio.report.follow_up_rows import grade_words, name_of
from studio.report.label_facts import TO_FILL_IN, lot_of
from studio.session import review
from studio.session.follow_up_days import day_of
from studio.session.follow_up_records import FollowUp
from studio.session.live.given import dry_g
from studio.session.state import State
from studio.tables import find_fibre

MOST_COLOURS = 12
"""Named on a card; what is more is counted, so that the card stays a card. House rule."""
HAND_WASH = (
    "Wash by hand, cool, with a little mild soap; do not rub or wring.",
    "Press out in a towel and dry flat, out of the sun.",
    "Wash alone the first times: some colour may still come out.",
)
"""**Source:** common practice for hand-dyed wool."""
SUPERWASH = "Superwash names the wool: this dye was not tried in a machine."
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


@dataclass(frozen=True, slots=True)
class YarnFacts:
    """What the plan and the shelf know of the yarn, where they know it."""

    blend: tuple[tuple[str, float], ...] = ()
    length: str = ""
    """`420 m on 100 g`."""
    from_shelf: bool = False
    """Whether any of it is what the shelf says now, and not what the session's own plan says."""


@dataclass(frozen=True, slots=True)
class YarnCard:
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
    facts = state.worksheet.facts
    colours = facts.colours if facts is not None else ()
    weight = show(dry_g(state, facts), "g") if facts is not None else TO_FILL_IN
    blend = ", ".join(f"{share:g} % {clean(fibre, limit=40)}" for fibre, share in yarn.blend)
    return YarnCard(
        title=clean(state.title, limit=60) or "Untitled session",
        fibre=blend or TO_FILL_IN,
        weight=f"{weight} dry, before dyeing" if facts is not None else weight,
        length=clean(yarn.length, limit=60) or TO_FILL_IN,
        lot=lot_of(name),
        dyed=f"{day_of(_worked_last(state), state.utc_offset_min)}",
        colours=_colours(colours),
        care=_care(yarn, any(s.food for c in colours for s in c.stocks)),
        tested=_tested(state),
        not_tested=_not_tested(state),
        note="Fibre and length as the shelf has them now." if yarn.from_shelf else "",
    )


def _worked_last(state: State) -> int:
    """When the last step was closed: what is added weeks later does not make the yarn younger."""
    return max(
        [state.step(s.id).at_ns for s in state.all_steps() if state.step(s.id).closed]
        or [state.opened.wall_ns]
    )


def _colours(colours: Sequence[ColourFacts]) -> tuple[str, ...]:
    told = [
        clean(f"{c.name} ({', '.join(dict.fromkeys(s.dye for s in c.stocks))})", limit=90)
        for c in colours[:MOST_COLOURS]
    ]
    more = len(colours) - MOST_COLOURS
    return (*told, *([f"and {more} more"] if more > 0 else []))


def _care(yarn: YarnFacts, food: bool) -> tuple[str, ...]:
    superwash = any("superwash" in fibre.casefold() for fibre, _ in yarn.blend)
    silk = any((row := find_fibre(fibre)) is not None and row.family == "silk" for fibre, _ in yarn.blend)
    more = [*([SUPERWASH] if superwash else []), *(["Silk: do not leave it wet."] if silk else [])]
    return (*HAND_WASH, *more, *([FOOD] if food else []))


def _tested(state: State) -> tuple[str, ...]:
    """Only what the session really holds."""
    told = []
    if state.rounds:
        last = state.rounds[-1]
        rounds = "1 round" if len(state.rounds) == 1 else f"{len(state.rounds)} rounds"
        end = (
            "until the water stayed clear"
            if last.clear
            else f"the water still at {last.staining} of 5 (5 is clear)"
        )
        told.append(f"rinsed {rounds}, {end}")
    told.extend(f"{what}, by eye: {value} of 5" for what, value in review.ratings(state).items())
    told.extend(
        f"swatch of {clean(s.colour, limit=30)}: {s.solid:g} rounds solid from {s.rows:g} rows"
        for s in state.swatches
    )
    told.extend(
        f"{name_of(f)} test at home, by eye on the grey scale, {day_of(f.grade.at_ns, state.utc_offset_min)}: "
        f"{grade_words(f.grade)} (5 is best)"
        for f in _graded(state).values()
        if f.grade is not None
    )
    return tuple(told)


def _graded(state: State) -> dict[str, FollowUp]:
    """The newest graded follow-up of each test."""
    return {f.test: f for f in state.follow_ups if f.standing == "graded"}


def _not_tested(state: State) -> tuple[str, ...]:
    rinse = () if state.rounds else ("whether the rinse water runs clear",)
    graded = _graded(state)
    return (
        *rinse,
        *(STILL_UNTESTED[test] if test in graded else told for test, told in NEVER_TESTED.items()),
    )
