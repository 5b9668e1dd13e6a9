"""What a session's page opens with: title, when and how it stands, what it is remembered by, its ratings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from textwrap import wrap

from studio.plaintext import clean, counted
from studio.quantity.kinds import money_text
from studio.quantity.reading_in import told
from studio.quantity.showing import show, show_day
from studio.report.logbook import STANDING_ROLE
from studio.report.printing import Section, Span, marks, row
from studio.report.timeline import span_told
from studio.session.after import review
from studio.session.after.observing import hands_on_min
from studio.session.after.real_cost import HELD, heated_min, real_cost
from studio.session.after.review import ratings, stage_times
from studio.session.clock import local
from studio.session.kinds.heat import PotRefilled
from studio.session.kinds.notes import PhotoAdded, SwatchCounted
from studio.session.path import last_closed, stage_of
from studio.session.sheet import weight_now
from studio.session.state import State
from studio.session.timers import minutes_text

FACTS = "facts"
LABEL, RATINGS_AT, LEAST_PAIRED = 10, 46, 72
"""Cells of what a fact is called, before the ratings beside the facts, and of a line with room for both."""


def head_section(state: State, remarks: Sequence[str], width: int) -> Section:
    """Title, when, and how it stands; below it why it was abandoned and what is wrong with the file."""
    outcome = state.outcome or "open"
    title: Span = (clean(state.title, limit=min(70, width)), "strong")
    speed = f", rehearsal, clock x{state.rehearsal_speed:g}" if state.rehearsal_speed else ""
    when: Span = (f"{when_told(state)}{speed}", "quiet")
    standing: Span = (outcome, STANDING_ROLE.get(outcome, "quiet"))
    whole: Span = ("" if remarks else "   file whole", "quiet")
    room = width - sum(len(text) for text, _ in (title, when, standing, whole)) - 3
    rows = (
        [row(title, ("   ", "quiet"), when, (" " * room, "quiet"), standing, whole)]
        if room >= 2
        else [row(title), row(when, ("   ", "quiet"), standing, whole)]
    )
    more: list[Span] = [(f"why: {clean(state.outcome_why, limit=300)}", "plain")] if state.outcome_why else []
    last = last_closed(state) if outcome == "abandoned" else None
    if last is not None:
        more.append((f"left after: {clean(last[0].done)}", "plain"))
    if state.unknown_kinds:
        kinds = clean(", ".join(dict.fromkeys(state.unknown_kinds)), limit=200)
        more.append((f"Kept, but not known to this version, and not counted: {kinds}.", "due"))
    more.extend((clean(remark, limit=400), "danger") for remark in remarks)
    rows.extend(row((line, role)) for text, role in more for line in wrap(text, width))
    return Section("", tuple(rows))


def when_told(state: State) -> str:
    """`26 Nov 2026, 17:11 to 21:48`, to the end of its last stage; the day again where that is another one."""
    first = local(state.opened.wall_ns, state.utc_offset_min)
    last = local(_last_ns(state), state.utc_offset_min)
    begun = f"{show_day(first)} {first:%Y, %H:%M}"
    if last <= first:
        return begun
    return (
        f"{begun} to {last:%H:%M}"
        if last.date() == first.date()
        else f"{begun} to {show_day(last)}, {last:%H:%M}"
    )


def _last_ns(state: State) -> int:
    return int(max((stage.last_ns for stage in stage_times(state)), default=state.opened.wall_ns))


def facts(state: State) -> dict[str, str]:
    """Fibre, depth of each colour, heat, cost and time, by their names; what is not known is left out."""
    heat = _heat(state)
    found = {
        "fibre": _fibre(state),
        "depth": _depths(state),
        **heat,
        "cost": _cost(state),
        "time": _time(state),
    }
    return {name: text for name, text in found.items() if text}


def _fibre(state: State) -> str:
    goods = state.choices.plan.fibre.base or state.choices.form
    return f"{told(weight_now(state), 'g', kitchen=True)} {clean(goods, limit=40)}"


def _depths(state: State) -> str:
    """Of each colour that was put on, as it came, where the plan asked for a depth."""
    told = review.depths(state).values()
    return ", ".join(f"{clean(name, limit=30)} {show(depth, '%')}" for name, depth in told)


def _heat(state: State) -> dict[str, str]:
    """How long the heat was held, by the name of the stage it was held in; what was topped up and lost."""
    clock = next((t for t in state.timers.values() if t.needs_steam or t.role in HELD), None)
    step = state.find_step(clock.by) if clock is not None else None
    minutes = heated_min(state)
    if step is None or minutes <= 0:
        return {}
    parts, filled = [minutes_text(minutes * 60)], len(state.kept(PotRefilled))
    if filled:
        parts.append("one top-up" if filled == 1 else f"{filled} top-ups")
    if state.steam_off:
        parts.append(
            "steam lost once" if len(state.steam_off) == 1 else f"steam lost {len(state.steam_off)} times"
        )
    return {clean(stage_of(state, step).stage, limit=LABEL - 1): ", ".join(parts)}


def _cost(state: State) -> str:
    cost = real_cost(state)
    lot = cost.row("total") if cost is not None else None
    return money_text(lot.real, clean(cost.currency, limit=8)) if cost is not None and lot is not None else ""


def _time(state: State) -> str:
    hands_min = hands_on_min(state)
    whole_min = (_last_ns(state) - state.opened.wall_ns) / 60e9
    return f"{span_told(whole_min)}, by hand {span_told(hands_min)}" if hands_min > 0 else ""


def facts_section(state: State, width: int) -> Section:
    """The facts, the ratings beside them, or below them where there is no room, then its picture or swatch."""
    paired = width >= LEAST_PAIRED
    lines = [*_lines(facts(state), (RATINGS_AT if paired else width) - LABEL - 2)]
    kept = [row(name, (text, "plain")) for name, text in _lines(_kept(state), width - LABEL)]
    given = [f"{what:<20} {marks(value)}" for what, value in ratings(state).items()]
    if not paired:
        pairs = (given[n : n + 2] for n in range(0, len(given), 2))
        below = [row(("  ".join(f"{one:<26}" for one in pair).rstrip(), "plain")) for pair in pairs]
        return Section(FACTS, (*(row(name, (text, "plain")) for name, text in lines), *below, *kept))
    lines.extend([(("", "quiet"), "")] * (len(given) - len(lines)))
    given.extend([""] * (len(lines) - len(given)))
    beside = (
        row(name, (f"{text:<{RATINGS_AT - len(name[0])}}{rating}".rstrip(), "plain"))
        for (name, text), rating in zip(lines, given, strict=True)
    )
    return Section(FACTS, (*beside, *kept))


def _lines(told: Mapping[str, str], room: int) -> Iterator[tuple[Span, str]]:
    """Each fact on as many lines as it needs, what it is called before the first."""
    for name, text in told.items():
        for n, line in enumerate(wrap(text, max(16, room))):
            yield (f"{'' if n else name:<{LABEL}}", "quiet"), line


def _kept(state: State) -> dict[str, str]:
    """The first picture by its name, and what the newest swatch gave."""
    found = {}
    photos, swatches = state.kept(PhotoAdded), state.kept(SwatchCounted)
    if photos:
        more = f", and {len(photos) - 1} more" if len(photos) > 1 else ""
        found["picture"] = f"{clean(photos[0].event.path, limit=200)}{more}"
    if swatches:
        swatch = swatches[-1].event
        found["swatch"] = (
            f"{clean(swatch.colour, limit=30)}, {counted(swatch.rows, 'row')}: "
            f"{counted(swatch.solid, 'solid round')}"
        )
    return found
