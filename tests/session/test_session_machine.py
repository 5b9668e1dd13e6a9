"""Any command with any text, any clock, any crash: what must hold of a session whatever is done to it."""

from __future__ import annotations

import json
import math
import random
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from hypothesis.stateful import run_state_machine_as_test as run_machine

from studio.plaintext import clean
from studio.report.telling import question, tell
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.clock import NS, Reading, SteppedClock
from studio.session.events import Event, parts
from studio.session.folding import replay
from studio.session.live.thinking import effective, think
from studio.session.path import current_step, progress
from studio.session.run import Running
from studio.session.simulated_dyer import next_move
from studio.session.state import State
from studio.session.step_rules import gate_digit
from studio.session.taking_back import offered, taking_back
from studio.session.time_rules import unsure_timers
from studio.session.timers import elapsed_s, running

PLAIN = ["100", "24 mL", "0,24", "20 mL at 0.95 %", "20 at 150 %", "92", "3", "5", "12 mL out", "0", "40 C"]
ODD = ["0", "0.001", "3", "49", "180", "999", "99999", "999999999"]
EVIL = [
    "", "  ", "-5", "nan", "inf", "1e308", "9" * 400, "1_0", "٣", "1,234.5", "x\x1b]0;owned\x07", "[/red]",
    "\u202egnip", "nul\x00", "\ud800", "at at at", " at ", "a" * 2001, "../../etc/x", "C:\\x", "100000000 g",
    "1000000 L", "129", "-29", "129 C", "漢字" * 40, "z" + "\u0301" * 40,
]  # fmt: skip
WHY = ["the gas ran out", "no strips left", "read it wrong", "", ". .", "\x1b[2J why"]
TESTS = ["wash", "light", "rub", "", "\x1b"]
DUE = ["", "2 weeks", "2026-10-10"]
MINUTES = [0.5, 1.0, 5.0, 36.0, 599.0, 1200.0, -1.0, math.nan, math.inf]
WHERE = ["packet", "packet", "lid", "bath", "room", "moon"]
PLACES = [
    "ready.weight", "presoak.ph", "presoak.wait", "stocks.rust.dye", "stocks.rust.volume", "paint.squeezed",
    "paint.rust.mix", "paint.apply", "steam.water", "steam.rolling", *["steam.hold"] * 5, "cool.wait",
    "cool.temperature", "rinse.water", "rinse.rounds", "steam-2.hold", "rinse-2.rounds", "record.leftovers",
    "bath.dye", "heat.acid-wait", "heat.ramp", "heat.hold", "heat.clear", "heat-2.hold", "microwave.burst-2",
    "microwave.clear",
]  # fmt: skip
"""Where something is measured that figures are worked out from, or where a clock runs."""
LATEST_NS = 4_000_000_000 * NS
"""The wall clock of the machine is never set later than the year 2096."""


def any_text(chance: random.Random) -> str:
    odd = "".join(chr(chance.randrange(0x250)) for _ in range(chance.randrange(8)))
    return chance.choice([chance.choice(PLAIN), chance.choice(ODD), chance.choice(EVIL), odd])


def any_command(chance: random.Random, state: State, here: str) -> c.Command:
    """One command of any type, about something that exists four times in five."""

    def one_of(real: list[Any], junk: Any) -> Any:
        return chance.choice(real) if real and chance.random() < 0.8 else junk

    def text() -> str:
        return any_text(chance)

    why, minutes, yes = chance.choice(WHY), chance.choice(MINUTES), chance.random() < 0.5
    steps = [s.id for s in state.all_steps()]
    step = one_of([here, here, chance.choice(steps)], "\x1b no such step")
    timer = one_of(list(state.timers), "packet-99")
    alarm = one_of([a.n for a in state.alarms[-4:]], 99_999)
    colour = one_of(["rust", "kelp"], "\x1b")
    digit = one_of([gate_digit(state, step)], chance.choice([-1, 0, 10, *range(1, 10)]))
    number: Callable[[], str] = lambda: one_of(list("12345"), text())  # noqa: E731
    choices: list[c.Command] = [
        c.Close(step), c.Measure(step, text(), meant=yes), c.NotMeasured(step, why), c.PassGate(step, digit),
        c.Override(step, why), c.Skip(step, why), c.AcceptCaution(text(), why), c.Undo(),
        c.Undo(one_of([event.n for event in offered(state)], chance.randrange(200))),
        c.Correct(step, text(), why, meant=yes), c.Correct(chance.choice(steps), text(), why, meant=yes),
        c.AddNote(text()), c.ExtendTimer(timer, minutes, why), c.ConfirmElapsed(timer, minutes),
        c.Acknowledge(alarm), c.Snooze(alarm, minutes), c.Tick(None), c.Leave(), c.Resume(1, "0.1.0"),
        c.Finish(), c.TakeReading(chance.choice(WHERE), text()), c.TakeReading("packet", text()),
        c.ToggleSteam(), c.ToggleSteam(), c.Refill(text()), c.MixMore(colour, text()),
        c.PaintLeft(colour, text()), c.PacketIn(text()),
        c.PaintBand(chance.randrange(-1, 7), one_of(["", "kelp", "1"], text()), chance.random() < 0.3),
        c.PacketOut(timer), c.Measure(step, number()), c.DoseAcid(text()),
        c.SetAgain(why), c.KeepLeftover(colour, text()),
        c.AddPhoto(text(), text()), c.NoteLate(text()), c.CountSwatch(text()), c.CountDrops(text()), c.ReadPot(text()),
        c.PlanFollowUp(chance.choice(TESTS), chance.choice([text(), *DUE])),
        c.GradeFollowUp(chance.choice(TESTS), one_of(["5", "3-4"], text()), one_of(["", "4"], text()), text(), why),
        c.CancelFollowUp(chance.choice(TESTS), why),
    ]  # fmt: skip
    return c.Abandon(why) if chance.random() < 0.003 else chance.choice(choices)


class SessionUnderFire(RuleBasedStateMachine):
    """Drives one `Running`; `first` and `make_keeper` are set by the test below."""

    first: Any
    make_keeper: Any

    def __init__(self) -> None:
        super().__init__()
        self.clock = SteppedClock(Reading(1_790_000_000 * NS, 5_000 * NS, 4_000 * NS, "boot-0"))
        self.keeper = self.make_keeper()
        self.keeper.events.append(self.first)
        self.session = Running(replay(self.keeper.events), self.clock, self.keeper)
        self.chance = random.Random(1)
        self.boots = 0
        self.seen = len(self.keeper.events)
        self.closed: set[str] = set()
        self.gone: dict[str, float] = {}
        self.due: dict[str, int] = {}

    def do(self, command: c.Command) -> None:
        before = self.session.state
        try:
            self.session.do(command)
        except Refused as refused:
            assert str(refused).strip()
        else:
            if isinstance(command, c.Undo):
                self._undone_as_foretold(before)

    def tick(self) -> None:
        self.session.tick()

    def step(self) -> str:
        step = current_step(self.session.state, self.clock.now())
        return step.id if step else ""

    # -- what is done ----------------------------------------------------------------------------

    @initialize(place=st.sampled_from(PLACES))
    def begun_some_way_in(self, place: str) -> None:
        self.by_hand_to(place)

    @rule(place=st.sampled_from(PLACES))
    def by_hand_to(self, place: str) -> None:
        """With the practised hand to a place that lies ahead; nowhere if it does not."""
        self.disk(False)
        for _ in range(130):
            state = self.session.state
            if self.step() == place or state.find_step(place) is None or state.step(place).closed:
                return
            move = next_move(state, self.clock.now(), self.chance)
            if move is None:
                return
            self.clock.advance(move.wait_s)
            self.tick()
            if move.command is not None:
                self.do(move.command)

    @rule(seed=st.integers(0, 2**32), times=st.integers(1, 12))
    def anything(self, seed: int, times: int) -> None:
        chance = random.Random(seed)
        for _ in range(times):
            self.do(any_command(chance, self.session.state, self.step()))
            self.what_must_hold()

    @rule(place=st.sampled_from(PLACES), seed=st.integers(0, 2**32))
    def an_odd_value_at(self, place: str, seed: int) -> None:
        """A value that is far off but said to be meant, perhaps corrected to another such."""
        chance = random.Random(seed)
        self.by_hand_to(place)
        self.do(c.Measure(place, chance.choice(ODD), meant=True))
        self.what_must_hold()
        self.do(c.Correct(place, chance.choice(ODD), chance.choice(WHY), meant=True))

    # -- what happens to it ----------------------------------------------------------------------

    @rule(seconds=st.sampled_from([0.25, 5, 61, 301, 900, 2400, 8000]))
    def time_passes(self, seconds: float) -> None:
        self.clock.advance(seconds)
        self.tick()

    @rule(seconds=st.sampled_from([3, 840, 30_000]))
    def sleep(self, seconds: float) -> None:
        self.clock.change(wall_s=seconds, boot_s=seconds)
        self.tick()

    @rule(seconds=st.sampled_from([3600, -3600, -1.7e9, 2.1e9, -90]))
    def wall_clock_is_set(self, seconds: float) -> None:
        self.clock.change(wall_s=self.within(seconds))
        self.tick()

    @rule(off_s=st.sampled_from([60, 4000, -7200, 1e8]))
    def machine_restarts(self, off_s: float) -> None:
        """Whatever runs is unsure of its time from here on; the program was restarted too."""
        self.boots += 1
        now = self.clock.now()
        self.clock.change(
            wall_s=self.within(off_s),
            boot_s=30 - now.boot_ns / NS,
            mono_s=30 - now.mono_ns / NS,
            boot=f"boot-{self.boots}",
        )
        self.crash()

    @rule(minutes=st.sampled_from([0.0, 12.0, 90.0]))
    def the_dyer_says_how_long(self, minutes: float) -> None:
        for timer in unsure_timers(self.session.state, self.clock.now()):
            self.do(c.ConfirmElapsed(timer.id, minutes))

    @rule()
    def crash(self) -> None:
        """The program is gone: what was not on disk is lost, and the rest is read back."""
        lost = bool(self.keeper.waiting)
        self.keeper.waiting.clear()
        self.session = Running(replay(self.keeper.events), self.clock, self.keeper)
        if lost:
            self.seen, self.closed = len(self.keeper.events), set()
            self.gone.clear()
            self.due.clear()
            for event in self.keeper.events:
                for part in parts(event.told):
                    self._count(part)

    @rule(full=st.booleans())
    def disk(self, full: bool) -> None:
        self.keeper.failing = full
        self.tick()

    def within(self, seconds: float) -> float:
        wall_ns = self.clock.now().wall_ns
        return max(-wall_ns / NS + 1, min(seconds, (LATEST_NS - wall_ns) / NS))

    # -- what must hold --------------------------------------------------------------------------

    def _undone_as_foretold(self, before: State) -> None:
        after = self.session.state
        (event,) = self.session.last_events
        undone = before.log.find(event.data["ref"])
        assert undone is not None
        back = taking_back(before, undone)
        assert question(before, back) and undone.n in after.gone
        runs = {name for name, timer in after.timers.items() if timer.running}
        ran = {name for name, timer in before.timers.items() if timer.running}
        assert ran - runs == {timer.id for timer in back.stopped}
        assert runs - ran == {timer.id for timer in back.going_again}
        assert before.timers.keys() - after.timers.keys() - ran == {timer.id for timer in back.lost}
        if not back.asked_about:
            times = [(t.id, t.minutes, t.started, t.stopped_after_s) for t in before.timers.values()]
            assert times == [(t.id, t.minutes, t.started, t.stopped_after_s) for t in after.timers.values()]
        self._no_alarm_without_its_clock(after)

    def _no_alarm_without_its_clock(self, state: State) -> None:
        raised = {event.n: event.data["ref"] for event in state.log if event.kind == "alarm.raised"}
        assert not any(raised[alarm.n] in state.gone for alarm in state.alarms)

    @invariant()
    def what_must_hold(self) -> None:
        assert replay(self.keeper.events) == self.session.saved
        assert replay([*self.keeper.events, *self.keeper.waiting]) == self.session.state
        assert [event.n for event in (*self.keeper.events, *self.keeper.waiting)] == list(
            range(1, len(self.keeper.events) + self.session.waiting + 1)
        )
        self._closed_stays_closed_and_due_is_raised_once()
        self._no_clock_runs_backwards()
        self._the_bench_can_be_drawn()

    def _closed_stays_closed_and_due_is_raised_once(self) -> None:
        taken = [*self.keeper.events, *self.keeper.waiting]
        fresh = taken[self.seen :]
        self.seen = len(taken)
        closed = {s.id for s in self.session.state.all_steps() if self.session.state.step(s.id).closed}
        if not any(event.kind == "undone" for event in fresh):
            assert self.closed <= closed
        self.closed = closed
        for event in fresh:
            json.dumps(event.data, allow_nan=False)
            assert tell(event, self.session.state)
            for part in parts(event.told):
                self._count(part)

    def _count(self, event: Event) -> None:
        timer = getattr(event, "timer", "")
        if event.kind in ("timer.started", "timer.extended", "timer.confirmed"):
            self.due[timer] = 0  # what was given more time, or had run less than it seemed, rings again
        if event.kind in ("timer.started", "timer.confirmed"):
            self.gone.pop(timer, None)
        if event.kind == "undone":  # a clock that goes again rings again
            self.gone.clear()
            self.due.clear()
        if event.kind == "alarm.raised" and event.level == "due":
            self.due[timer] = self.due.get(timer, 0) + 1
            assert self.due[timer] == 1, f"{timer} came due twice in one round"

    def _no_clock_runs_backwards(self) -> None:
        """Not one that is sure of its time; one that stands still stands still. Sure times are never negative."""
        now = self.clock.now()
        for timer in self.session.state.timers.values():
            seconds, sure = elapsed_s(timer, now)
            if not sure or not timer.running:
                self.gone.pop(timer.id, None)
                continue
            before = self.gone.get(timer.id, 0.0)
            assert seconds >= before - 0.002, f"{timer.id} ran from {before} back to {seconds}"
            self.gone[timer.id] = seconds

    def _the_bench_can_be_drawn(self) -> None:
        state, now = self.session.state, self.clock.now()
        progress(state, now)
        assert all(math.isfinite(v.left_s) for v in running(state, now))
        step = current_step(state, now)
        if step is None:
            return
        thought = think(state, effective(state, step), now)
        assert all(math.isfinite(f.value) and f.because and f.source for f in thought.figures)
        assert all(w.source and clean(w.text, limit=900) == w.text for w in thought.warnings)


@pytest.mark.fuzz
@pytest.mark.parametrize("method", ["steam", "kettle", "microwave"])
def test_anything_may_be_done_to_a_session(begin, keeper, sheet_of, method) -> None:
    begin(sheet_of(method=method))
    SessionUnderFire.first = keeper.events[0]
    SessionUnderFire.make_keeper = type(keeper)
    deep = settings.default.max_examples > 100
    usual = 24 if method == "steam" else 8
    run_machine(
        SessionUnderFire,
        settings=settings(max_examples=200 if deep else usual, stateful_step_count=30 if deep else 12),
    )
