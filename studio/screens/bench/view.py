"""What the bench shows at one instant, worked out from the session; no widget in sight."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
from textual.content import Content

from studio.craft.rinse import STAINING
from studio.plaintext import clean
from studio.plan.preview import StripBand, strip_bands
from studio.plan.shapes import Caution, Figure, Stage, Step
from studio.quantity.reading_in import as_read, told, told_number, unit_for
from studio.quantity.showing import HOURS_FROM, unit_text
from studio.report.telling import end_words, not_saved
from studio.screens.draw.bench import Part, left_text
from studio.screens.draw.cloth import Cups
from studio.screens.draw.goods import Painted
from studio.screens.draw.panel import Check
from studio.session import alarms as ringing
from studio.session import time_rules
from studio.session.alarms import over_s, quiet_for_s
from studio.session.asked import told_of
from studio.session.bands import bands_of, face_up, next_band, painted_with, still_bare
from studio.session.clock import Reading, time_of_day
from studio.session.doubts import text_now
from studio.session.kinds.paint import Face
from studio.session.live.bath import Ramp, ramp_of
from studio.session.live.cooling import newest_reading, rounds_now, too_hot
from studio.session.live.painting import band_ml
from studio.session.live.thinking import behind, effective
from studio.session.path import StageProgress, current_step, last_closed, progress, stage_of
from studio.session.run import Running
from studio.session.sheet import weight_now
from studio.session.state import AlarmRecord, State, StepRecord
from studio.session.step_rules import digit_asked
from studio.session.timers import TimerView, clock_text, left_words, ran_out, running, view
from studio.words.table import spoken


class AlarmLine(msgspec.Struct, frozen=True):
    """One standing alarm."""

    text: str
    late: str
    quiet_s: float
    priority: str


class Shown(msgspec.Struct, frozen=True):
    """What is to be done now."""

    step: Step
    record: StepRecord
    figures: tuple[Figure, ...]
    cautions: tuple[Caution, ...]
    hint: str
    checks: tuple[Check, ...]
    """The steps of its stage; before them what was closed last, where that was in another."""
    then: tuple[Check, ...]
    """Those of the next stage."""


class Large(msgspec.Struct, frozen=True):
    """What the hands or the eyes need most, to be drawn largest."""

    text: str
    unit: str = ""
    colour: str = ""
    """Name of the colour it is about."""
    figure: str = ""
    """Id of the figure whose value it is."""
    label: str = ""
    """What it is, where the step's sentence does not say it."""
    clock: TimerView | None = None
    style: str = "$text"


class BenchView(msgspec.Struct, frozen=True):
    """Everything the bench draws."""

    title: str
    about: str
    time: str
    saved: Part
    trouble: str
    """Why entries wait to be saved; empty when none does."""
    moved: str
    """Where the session goes on, if it had to leave its own file."""
    stages: tuple[StageProgress, ...]
    bands: tuple[StripBand, ...]
    timer: TimerView | None
    timers: tuple[TimerView, ...]
    large: Large | None
    alarms: tuple[AlarmLine, ...]
    shown: Shown | None
    ended: Content
    window_title: str
    stage: str
    """The stage that is worked in; empty when all are closed."""
    utc_offset_min: int
    painting: Painted | None = None
    """How far it is, while bands are painted."""
    unit: str = ""
    """Of the bands: rows, or per cent."""
    cups: Cups | None = None
    """While water is judged by eye."""
    ramp: Ramp | None = None
    """The bath on its ramp, while a kettle is on the heat."""

    def end_of(self, clock: TimerView) -> str:
        """When it ends, in words."""
        return end_words(clock, self.utc_offset_min)


def look(session: Running) -> BenchView:
    """The session as the bench shows it now."""
    state, now = session.state, session.clock.now()
    step = current_step(state, now)
    timers = running(state, now)
    timer = main_timer(state, step, timers, now)
    stage = stage_of(state, step) if step is not None else None
    unsaved = session.unsaved_steps
    stages = progress(state, now, unsaved)
    lines = tuple(alarm_line(a, state, now) for a in ringing.standing(session.state))
    shown = _shown(session, step, now, unsaved) if step else None
    seen = (face_up(state),) if step is not None and step.role == "paint" else ()
    return BenchView(
        title=state.title,
        about=_about(state),
        time=time_of_day(now.wall_ns, state.utc_offset_min),
        saved=("NOT SAVED", "bold $danger") if session.waiting else ("saved", "$done"),
        trouble=not_saved(session),
        moved=session.moved,
        stages=stages,
        bands=strip_bands(state.choices, painted=painted_with(session.saved, *seen)),
        timer=timer,
        timers=timers,
        large=_large(session, shown, timer),
        alarms=lines,
        shown=shown,
        ended=Content.styled(
            spoken("  All steps are closed. {bench.end} goes back; {bench.logbook} opens the logbook."),
            "$done",
        ),
        window_title=_window_title(state, timer, lines),
        stage=next((s.stage for s in stages if s.standing == "now"), ""),
        utc_offset_min=state.utc_offset_min,
        painting=painted(session, next_band(state) or 0, face_up(state))
        if step is not None and step.role == "paint"
        else None,
        unit=band_unit(state),
        cups=_cups(state, step) if step is not None else None,
        ramp=ramp_of(state, now) if stage is not None and stage.kind == "heat" else None,
    )


def painted(session: Running, chosen: int, face: Face) -> Painted:
    """The bands with a coat on that face that is saved, and the one in hand."""
    return Painted(frozenset(b.number for b in bands_of(session.saved) if b.on(face)), chosen, face)


def _cups(state: State, step: Step) -> Cups | None:
    """Where the step asks how dark water is."""
    if step.role == "rinse rounds":
        rounds = rounds_now(state)
        names = tuple(s.name for s in reversed(STAINING))
        last = f"round {len(rounds)}: {names[rounds[-1] - 1]}" if rounds else ""
        return Cups(names, tuple(s.words for s in reversed(STAINING)), last)
    return Cups(SPOON_NAMES) if step.quantity == "look" else None


SPOON_NAMES = ("dark", "", "half", "", "clear")


def band_unit(state: State) -> str:
    """What the bands are measured in."""
    return "rows" if state.choices.plan.layout.order[0].rows is not None else "%"


def _large(session: Running, shown: Shown | None, timer: TimerView | None) -> Large | None:
    """The value at a measure, the digit or the temperature at a gate, the clock at a wait, else the first amount."""
    state = session.state
    style = "$due" if timer is not None and timer.sure and timer.due else "$text"
    clock = Large(left_text(timer), clock=timer, style=style) if timer is not None else None
    if shown is None:
        return clock
    step = shown.step
    if step.role == "paint":
        return dose_of(state, next_band(state) or 0, face_up(state)) or clock
    colour = next((c.plan.name for c in state.choices.colours if step.of == c.plan.slug), "") or next(
        (c.plan.name for c in state.choices.colours for stock in c.stocks if step.of == stock.slug), ""
    )
    if step.kind == "gate":
        read = newest_reading(state)
        if too_hot(state, step) and read is not None:
            return Large(*drawn_amount(read.event.value, "degC"), style="$danger")
        digit = digit_asked(state, step, session.missed)
        return Large(str(digit), style="$danger") if digit is not None else None
    if step.role == "rinse rounds":
        return clock
    if step.kind == "measure" and step.expected is not None and step.quantity in DRAWN:
        drawn = drawn_amount(step.expected, step.unit, kitchen=step.kitchen)
        return Large(*drawn, colour, step.sets)
    if step.kind not in ("wait", "measure") and timer is None:
        amount = next((f for f in shown.figures if f.unit in AMOUNTS), None)
        if amount is not None:
            drawn = drawn_amount(amount.value, amount.unit, kitchen=amount.kitchen)
            return Large(*drawn, colour, amount.id, amount.label)
    return clock


def drawn_amount(value: float, unit: str, *, kitchen: bool = False) -> tuple[str, str]:
    """Number and unit as they are read; a long time as the clock shows it that is to count it."""
    if unit == "min" and value >= HOURS_FROM:
        return clock_text(60.0 * round(value)), ""
    other = unit_for(value, unit, kitchen=kitchen)
    return told_number(value, unit, value, kitchen=kitchen), "" if unit == "pH" else unit_text(other)


def dose_of(state: State, number: int, face: Face) -> Large | None:
    """What a coat of that band takes of its jar, on that face where each is painted; None where nothing tells it."""
    band = next((b for b in bands_of(state) if b.number == number), None)
    ml = band_ml(state, band) if band is not None else None
    if band is None or ml is None:
        return None
    side, part = (f", {face}", "this side") if len(band.faces) > 1 else ("", "all of it")
    said = f"band {number}{side}, {clean(band.plan.colour, limit=30)}: about, for {part}"
    return Large(*drawn_amount(ml, "mL"), band.plan.colour, label=said)


DRAWN = ("mass", "volume", "temperature", "ph", "count")
AMOUNTS = ("g", "mL", "degC", "min")
"""Units of what is done with the hands, and how long."""


def main_timer(
    state: State, step: Step | None, timers: tuple[TimerView, ...], now: Reading
) -> TimerView | None:
    """The clock that matters most: one that must be confirmed, the current wait's, else the soonest."""
    unsure = time_rules.unsure_timers(state, now)
    if unsure:
        return view(unsure[0], now)
    if step is not None and step.kind == "wait":
        match = next((v for v in timers if v.id == step.timer), None)
        if match is not None:
            return match
    return timers[0] if timers else None


def _about(state: State) -> str:
    what = f"{told(weight_now(state), 'g', kitchen=True)} {state.choices.form}"
    if state.rehearsal_speed:
        return f"{what}   rehearsal, clock x{state.rehearsal_speed:g}".strip()
    return what


def alarm_line(alarm: AlarmRecord, state: State, now: Reading) -> AlarmLine:
    late = left_words(-over_s(alarm, state, now))
    return AlarmLine(alarm.text, late, quiet_for_s(alarm, now), alarm.priority)


def _shown(session: Running, step: Step, now: Reading, unsaved: frozenset[str]) -> Shown:
    state = session.state
    stage = stage_of(state, step)
    step = effective(state, step)
    step = msgspec.structs.replace(step, text=text_now(state, step, now))
    seen = behind(state, step, now)
    return Shown(
        step=step,
        record=state.step(step.id),
        figures=seen.figures,
        cautions=(*seen.warnings, *seen.cautions),
        hint=hint_for(
            step,
            state,
            digit=digit_asked(session.state, step, session.missed) is not None,
            over=step.kind == "wait" and ran_out(state, step.timer, now),
        ),
        checks=_checks(state, stage.steps, step, unsaved, lead=True),
        then=_checks(state, _after(state, stage), step, unsaved),
    )


def _after(state: State, stage: Stage) -> tuple[Step, ...]:
    stages = state.worksheet.procedure
    place = stages.index(stage)
    return stages[place + 1].steps if place + 1 < len(stages) else ()


def _checks(
    state: State, steps: Sequence[Step], current: Step, unsaved: frozenset[str], *, lead: bool = False
) -> tuple[Check, ...]:
    newest = last_closed(state) if lead else None
    before = [newest[0]] if newest is not None and newest[0] not in steps else []
    return tuple(
        Check(
            step,
            (record := state.step(step.id)),
            time_of_day(record.at_ns, state.utc_offset_min) if record.closed else "",
            step.id == current.id,
            step.id in unsaved,
            step.critical,
        )
        for step in (*before, *steps)
    )


SOUND_HINT = "{bench.sound}  ring it   {bench.go}  heard   {bench.not_heard}  not heard"
HOT_HINT = "{bench.reading}  read it again   {bench.override}  pass it with a reason"
HINTS = {
    "do": "{bench.go}  when it is done",
    "check": "{bench.go}  when you see that it is so",
    "wait": "{bench.go}  when the clock has run out   {bench.override}  end it early",
    "gate": "{bench.gate}  to answer",
}


def hint_for(step: Step, state: State, *, digit: bool, over: bool) -> str:
    """What Enter does on this step, in words.

    `digit`: the one drawn large opens the gate; `over`: the clock that a wait has is run out.
    """
    if too_hot(state, step):
        return HOT_HINT
    if digit:
        return "Press the digit when it is so   {bench.override}  pass it with a reason"
    if ringing.standing(state):
        return "{bench.answer}  answers the alarm first"
    if over:
        return "{bench.go}  to go on"
    if step.role == "sound":
        return SOUND_HINT
    if step.role == "paint":
        bare = still_bare(state, face_up(state))
        told = f"left: {bare}" if bare else "every band has a coat"
        return f"{{bench.bands}}  tick the bands   {told}   {{bench.go}}  all painted"
    if step.quantity == "look":
        return "{bench.go}  then how it looks, 1 to 5   {bench.not_measured}  go on as it is"
    if step.role == "rinse rounds":
        return "{bench.go}  after each round, and say how the water looks"
    if step.kind != "measure":
        return HINTS[step.kind]
    if step.quantity == "rating":
        return "{bench.go}  then a number from 1 to 5"
    planned = ""
    if step.expected is not None:
        planned = f", planned {told_of(step, step.expected)}"
    return f"{{bench.go}}  then the value{planned}   {{bench.not_measured}}  not measured"


def _window_title(state: State, timer: TimerView | None, alarms: tuple[AlarmLine, ...]) -> str:
    if alarms:
        return f"{alarms[0].late} DUE - {as_read(alarms[0].text, limit=60)}"
    if timer is not None:
        return f"{left_text(timer)} {clean(timer.label, limit=30)} - {clean(state.title, limit=40)}"
    return f"{clean(state.title, limit=60)} - Potside"
