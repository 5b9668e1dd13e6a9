"""Events as sentences, for printing and for the line mode."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from studio.plaintext import clean
from studio.plan.shapes import Step
from studio.quantity.showing import show
from studio.session import events as e
from studio.session.joining import parts
from studio.session.live.given import colour_of
from studio.session.live.painting import BandNow
from studio.session.path import LEFT_OUT
from studio.session.records import StepRecord, TimerRecord
from studio.session.run import Running
from studio.session.state import State
from studio.session.taking_back import TakingBack
from studio.session.timers import minutes_text


def tell(event: e.Event, state: State) -> str:
    """One sentence for an event and what lies in it, as `told_apart` has them."""
    return "; ".join(told_apart(event, state))


def told_apart(event: e.Event, state: State) -> tuple[str, ...]:
    """A sentence for an event, then one for each step, clock and alarm in it.

    `state` is the state after the event. Text from the file is cleaned.
    """
    within = sorted(parts(event), key=lambda part: part is not event)
    first, *others = (
        _TELLERS[part.kind](part.data, state)
        if part.kind in _TELLERS
        else f"{clean(part.kind)} (not known to this version)"
        for part in within
    )
    late = event.data.get("happened")
    return (first if late is None else f"{first}, at {clean(late['time'], limit=5)}, told later", *others)


def not_saved(session: Running) -> str:
    """What is said for as long as a save fails; empty while every entry is on disk."""
    if not session.waiting:
        return ""
    waits = "1 entry waits" if session.waiting == 1 else f"{session.waiting} entries wait"
    return clean(f"NOT SAVED: {session.trouble}. {waits} to be saved.", limit=600)


def value_text(value: float | None, unit: str) -> str:
    """A recorded value with its unit: grams as they were weighed, litres to the mL, the rest as all is shown."""
    if value is None:
        return "no value"
    as_read = {"g": 5, "mL": 4 if value >= 1000 else 3}
    return show(value, clean(unit), as_read.get(unit))


def value_tail(record: StepRecord) -> str:
    """`, 41.5 g`, or the reason where there is no value."""
    if record.state == "measured":
        return f", {value_text(record.value, record.unit)}" + (" (marked)" if record.flagged else "")
    marked = " (marked)" if record.flagged else ""
    return (f", {clean(record.why, limit=200)}" if record.why else "") + marked


def outcome(record: StepRecord) -> str:
    """How a closed step ended where that is more than done: `41.5 g`, `overridden: the bus leaves`, `(marked)`."""
    marked = "(marked)" if record.flagged else ""
    if record.state == "measured":
        return f"{value_text(record.value, record.unit)} {marked}".rstrip()
    return f"{record.state}: {clean(record.why, limit=40)}" if record.state in LEFT_OUT else marked


def last_done(step: Step, record: StepRecord, time: str) -> str:
    """` Last done: Unwrapped cool, overridden: the bus leaves, at 21:57.`, for after an interruption."""
    ended = ", ".join(part for part in (clean(step.done), outcome(record)) if part)
    return f" Last done: {ended}, at {time}."


def correcting(step: Step, record: StepRecord) -> str:
    """`Rust powder weighed, 0.43 g: the right value in g`, to ask for a better one."""
    wanted = {
        "ph": "the right pH",
        "rating": "the right number from 1 to 5",
        "look": "the right number from 1 to 5",
        "count": f"the right number of {step.unit}",
    }.get(step.quantity, f"the right value in {step.unit}")
    return f"{clean(step.done, limit=60)}{value_tail(record)}: {wanted}"


def by_version(state: State, program: str) -> str:
    """` by potside 0.3, begun with 0.2: its figures are worked out anew`; empty where that is the same version."""
    if program == state.program:
        return ""
    by, begun = clean(program, limit=40), clean(state.program, limit=40)
    return f" by potside {by}, begun with {begun}: what is not closed is worked out anew"


def colour_name(state: State, slug: str) -> str:
    """The colour's name as the plan has it."""
    facts = state.worksheet.facts
    colour = colour_of(facts, slug) if facts is not None else None
    return clean(colour.name if colour is not None else slug)


def _step(data: dict[str, Any], state: State) -> Step | None:
    return state.find_step(str(data.get("step", "")))


def _done(data: dict[str, Any], state: State) -> str:
    step = _step(data, state)
    return clean(step.done) if step else clean(str(data.get("step")))


def _why(data: dict[str, Any]) -> str:
    return clean(str(data.get("why", "")), limit=400)


def _measured(data: dict[str, Any], state: State) -> str:
    marked = " (outside the expected range, said to be meant)" if data.get("flagged") else ""
    return f"{_done(data, state)}: {value_text(data.get('value'), data.get('unit', ''))}{marked}"


def _closed(data: dict[str, Any], state: State) -> str:
    read = data.get("read_c")
    ended = f": ended by the reading of {show(read, 'degC', 5)}" if read is not None else ""
    return f"{_done(data, state)}{ended}{_doubted(data)}"


def _doubted(data: dict[str, Any]) -> str:
    return " (doubted, said to be so)" if data.get("flagged") else ""


def _overridden(data: dict[str, Any], state: State) -> str:
    hot = ""
    if data.get("read_c") is not None and data.get("limit_c") is not None:
        hot = f" at {show(data['read_c'], 'degC', 5)}, above the limit of {show(data['limit_c'], 'degC', 5)},"
    return f"{_done(data, state)}: passed{hot} with a reason{_doubted(data)} - {_why(data)}"


def _accepted(data: dict[str, Any], state: State) -> str:
    caution = state.worksheet.caution(str(data.get("caution")))
    return f"warning taken on: {clean(caution.text if caution else '', limit=300)} - {_why(data)}"


def _alarm(data: dict[str, Any], state: State) -> str:
    late = float(data.get("late_s", 0))
    told = f", {minutes_text(late)} late" if late >= 2 and data.get("level") not in ("60 s", "10 s") else ""
    return f"alarm{told}: {clean(str(data.get('text')), limit=200)}"


def coat_words(state: State, band: int, jar: str, planned: str, coat: int, instead_of: str = "") -> str:
    """`band 7 painted, rust`; where another jar than planned was used, that is said."""
    more = f", coat {coat}" if coat > 1 else ""
    before = f"; {colour_name(state, instead_of)} was said before" if instead_of else ""
    if jar == planned and not before:
        return f"band {band} painted, {colour_name(state, jar)}{more}"
    other = "" if jar == planned else f" (planned {colour_name(state, planned)})"
    return f"band {band} painted from the {colour_name(state, jar)} jar{other}{more}{before}"


def band_words(state: State, band: BandNow) -> str:
    """`bare`, `1 coat`, `2 coats`, and the jars where they are not the planned one."""
    if band.bare:
        return "bare"
    coats = "1 coat" if len(band.coats) == 1 else f"{len(band.coats)} coats"
    jars = " and ".join(dict.fromkeys(colour_name(state, jar) for jar in band.jars))
    return f"{coats} from {jars}" if band.strange else coats


def _answered(data: dict[str, Any], state: State) -> str:
    after = minutes_text(float(data.get("latency_s", 0)))
    by = str(data.get("by", ""))
    if not by:
        return f"alarm answered after {after}"
    step, timer = state.find_step(by), state.timers.get(by)
    ended = {
        "refill": "water went in",
        "more time": "more time given",
        "true time": "its clock had run less",
        "dry pot": "the pot should have boiled dry",
    }
    named = (
        step.done if step is not None else f"{timer.label} over" if timer is not None else ended.get(by, by)
    )
    return f"alarm ended after {after}: {clean(named, limit=80)}"


def _undone(data: dict[str, Any], state: State) -> str:
    """`taken back: band 7 painted, rust`; of an undo that was taken back, what it had taken back is brought back."""
    undone = state.log.find(data["ref"])
    if undone is None or undone.kind != e.UNDONE:
        return "taken back" if undone is None else f"taken back: {told_apart(undone, state)[0]}"
    before = state.log.find(undone.data["ref"])
    back = before is not None and before.kind != e.UNDONE
    return f"brought back: {told_apart(before, state)[0]}" if before is not None and back else "brought back"


def _finished(data: dict[str, Any], state: State) -> str:
    why = _why(data)
    return f"session {clean(str(data.get('outcome', 'finished')))}" + (f": {why}" if why else "")


def _batch(data: dict[str, Any], state: State) -> str:
    all_of_it, stock, water = (show(data[key], "mL") for key in ("ml", "stock_ml", "water_ml"))
    told = f"{all_of_it} more of {colour_name(state, str(data.get('colour')))}: {stock} of stock and {water} of water"
    off = data.get("lot_difference_percent")
    lot = "" if off is None else f"; ANOTHER LOT, {off:g} % off the first jar"
    return f"{told}{lot}{_doubted(data)}"


def _clock_told(data: dict[str, Any], state: State) -> str:
    if "happened" in data:
        return f"clock {clean(str(data.get('timer')))} began"
    return f"clock {clean(str(data.get('timer')))} confirmed at {minutes_text(data['elapsed_s'])}"


def _given_time(data: dict[str, Any], state: State) -> str:
    minutes = float(data.get("minutes", 0))
    given = f"{abs(minutes):g} min {'less' if minutes < 0 else 'more'}"
    return f"clock {clean(str(data.get('timer')))}: {given} - {_why(data)}"


def _steam_lost(data: dict[str, Any], state: State) -> str:
    again = data.get("again")
    if again is None:
        return "steam lost; what needs it stands still"
    return f"steam lost, and back at {clean(again['time'], limit=5)}"


def _saved_late(data: dict[str, Any], state: State) -> str:
    entries = "1 entry was" if data.get("entries") == 1 else f"{data.get('entries')} entries were"
    waited = minutes_text(float(data.get("waited_s", 0)))
    return f"{entries} saved late, after {waited}: {clean(str(data.get('why')), limit=300)}"


def _late(data: dict[str, Any], state: State) -> str:
    return (
        f"late entry, for {clean(str(data.get('happened_at')))}: {clean(str(data.get('text')), limit=1000)}"
    )


def _mixed(each_side: float | None) -> str:
    return "" if each_side is None else f", {each_side:g} mixed on each side"


def _planned_test(data: dict[str, Any], state: State) -> str:
    note = f" - {clean(str(data['note']), limit=400)}" if data.get("note") else ""
    return f"{_test(data)} test planned, due {clean(str(data.get('due')), limit=12)}{note}"


def _graded_test(data: dict[str, Any], state: State) -> str:
    given = [
        f"{scale} {clean(str(data[scale]), limit=12)}" for scale in ("change", "staining") if data.get(scale)
    ]
    told = f"{_test(data)} test graded: {', '.join(given)}, grey scale, by eye"
    more = [clean(str(data[key]), limit=400) for key in ("note", "why") if data.get(key)]
    return " - ".join([told, *more])


def _test(data: dict[str, Any]) -> str:
    return clean(str(data.get("test")), limit=20)


def _leftover(data: dict[str, Any], state: State) -> str:
    told = f"left of {colour_name(state, str(data.get('colour')))}: {show(data['ml'], 'mL')}"
    if data.get("to") == "jar":
        return f"{told}, into a jar, use by {clean(str(data.get('use_by', '')))}"
    return f"{told}, disposed of" if data["ml"] else f"{told}"


_TELLERS: dict[str, Callable[[dict[str, Any], State], str]] = {
    e.OPENED: lambda d, s: f"session opened: {clean(s.title, limit=100)}",
    e.RESUMED: lambda d, s: f"session taken up again{by_version(s, d['program'])}",
    e.LEFT: lambda d, s: "bench left; the session stays open",
    e.FINISHED: _finished,
    e.CONTINUED: lambda d, s: "continued from another file",
    e.SAVED_LATE: _saved_late,
    e.RECOVERED: lambda d, s: "an incomplete last line was set aside",
    e.ADDENDUM: lambda d, s: f"added later: {clean(str(d.get('text')), limit=1000)}",
    e.STEP_DONE: _closed,
    e.STEP_MEASURED: _measured,
    e.STEP_NOT_MEASURED: lambda d, s: f"{_done(d, s)}: not measured - {_why(d)}",
    e.STEP_SKIPPED: lambda d, s: f"{_done(d, s)}: left out - {_why(d)}",
    e.GATE_PASSED: lambda d, s: _done(d, s),
    e.OVERRIDDEN: _overridden,
    e.CAUTION_ACCEPTED: _accepted,
    e.CORRECTED: lambda d, s: f"corrected: {_measured(d, s)} - {_why(d)}",
    e.UNDONE: _undone,
    e.NOTED: lambda d, s: f"note: {clean(str(d.get('text')), limit=1000)}",
    e.TIMER_STARTED: lambda d, s: f"clock started: {clean(str(d.get('label')))}, {d.get('minutes', 0):g} min",
    e.TIMER_STOPPED: lambda d, s: (
        f"clock stopped: {clean(str(d.get('timer')))} after {minutes_text(d['elapsed_s'])}"
    ),
    e.TIMER_EXTENDED: _given_time,
    e.TIMER_CONFIRMED: _clock_told,
    e.ALARM_RAISED: _alarm,
    e.ALARM_ACKNOWLEDGED: _answered,
    e.ALARM_SNOOZED: lambda d, s: "alarm put off",
    e.READING_TAKEN: lambda d, s: f"read at the {clean(str(d.get('where')))}: {show(d['value'], 'degC')}",
    e.STEAM_STOPPED: _steam_lost,
    e.STEAM_AGAIN: lambda d, s: "steam rolls again",
    e.POT_REFILLED: lambda d, s: f"pot filled up with {show(d['ml'], 'mL')}",
    e.BATCH_MIXED: _batch,
    e.PAINT_LEFT: lambda d, s: (
        f"{colour_name(s, str(d.get('colour')))}: {show(d['ml'], 'mL')} left in the jar"
    ),
    e.BAND_PAINTED: lambda d, s: coat_words(
        s, d["band"], d["jar"], d["colour"], d["coat"], str(d.get("instead_of", ""))
    ),
    e.RINSE_ROUND: lambda d, s: f"rinse {d.get('round')}: water graded {d.get('staining')} of 5",
    e.BATH_LOOKED: lambda d, s: (
        f"white spoon: {d.get('grade')} of 5, {'clear' if d.get('clear') else 'not clear, held on'}"
    ),
    e.ACID_DOSED: lambda d, s: f"more acid: {show(d['amount'], str(d.get('unit')), 4)}",
    e.SET_ADDED: lambda d, s: f"a second set was added - {_why(d)}",
    e.LEFTOVER_KEPT: _leftover,
    e.PHOTO_ADDED: lambda d, s: (
        f"picture {clean(str(d.get('path')))}  {clean(str(d.get('text', '')))}".rstrip()
    ),
    e.SWATCH_COUNTED: lambda d, s: (
        f"swatch of {clean(str(d.get('colour')), limit=40)}: {d['solid']:g} rounds solid from {d['rows']:g} rows"
        f"{_mixed(d.get('mixed_each_side'))}, edges spread by {d['spread']:.2g} rows"
    ),
    e.DROPS_COUNTED: lambda d, s: f"dropper: {d['drops']:g} drops in {show(d['ml'], 'mL', 4)}",
    e.POT_READ: lambda d, s: f"pot: {show(d['ml'], 'mL', 4)} of water left",
    e.NOTED_LATE: _late,
    e.FOLLOW_UP_PLANNED: _planned_test,
    e.FOLLOW_UP_GRADED: _graded_test,
    e.FOLLOW_UP_CANCELLED: lambda d, s: f"{_test(d)} test called off - {_why(d)}",
    e.CLOCK_STEPPED: lambda d, s: (
        f"the wall clock was set by {d.get('seconds', 0):+g} s; timers were not moved"
    ),
    e.CLOCK_SUSPENDED: lambda d, s: (
        f"the computer slept {minutes_text(float(d.get('seconds', 0)))}; timers went on"
    ),
}


# What undo would take back or bring back, in words: asked before it is done, told once it is.


def named(state: State, event: e.Event) -> str:
    """What is taken back, as the record tells it: `Dry fibre weighed: 101 g`."""
    return clean(told_apart(event, state)[0], limit=120)


def offer(state: State, event: e.Event) -> str:
    """One row of the list: `band 7 painted, rust`, or `bring back Steam is rolling`."""
    undone = state.log.find(event.data["ref"]) if event.kind == e.UNDONE else None
    return f"bring back {named(state, undone)}" if undone is not None else named(state, event)


def question(state: State, back: TakingBack) -> str:
    """What would happen, clocks and all; ends in a full stop."""
    undone = state.log.find(back.event.data["ref"]) if back.brings_back else None
    what = f"'{named(state, undone or back.event)}'"
    parts = [f"brings back {what}" if back.brings_back else f"takes back {what}"]
    for verb, after, timers in (
        ("stops", "", back.stopped),
        ("loses", "", back.lost),
        ("sets", " going again", back.going_again),
        ("gives", " its former time", back.moved),
    ):
        if timers:
            parts.append(f"{verb} {_clocks(timers)}{after}")
    told = f"{', '.join(parts[:-1])} and {parts[-1]}" if len(parts) > 1 else parts[0]
    return f"This {told}."


def done(state: State, back: TakingBack) -> str:
    """What was done, in a sentence."""
    undone = state.log.find(back.event.data["ref"]) if back.brings_back else None
    if undone is not None:
        return f"Brought back: '{named(state, undone)}'."
    return f"Taken back: '{named(state, back.event)}'. It stays in the record."


def _clocks(timers: Sequence[TimerRecord]) -> str:
    told = [f"'{clean(timer.label, limit=40)}' of {minutes_text(timer.minutes * 60)}" for timer in timers]
    if len(told) == 1:
        return f"the clock {told[0]}"
    return f"the clocks {', '.join(told[:-1])} and {told[-1]}"
