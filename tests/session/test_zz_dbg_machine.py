"""Any command with any text, any clock, any crash: what must hold of a session whatever is done to it."""

from __future__ import annotations

import json
import math
import random
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from hypothesis.stateful import run_state_machine_as_test as run_machine

from studio.plaintext import clean
from studio.report.telling import tell
from studio.session import commands as c
from studio.session import events as e
from studio.session.clock import NS, Reading, SteppedClock
from studio.session.folding import replay
from studio.session.hand import next_move
from studio.session.live.thinking import effective, think
from studio.session.path import current_step, progress
from studio.session.refusals import Refused
from studio.session.run import NotSaved, Running
from studio.session.timers import elapsed_s, running

PLAIN = ["100", "24 mL", "0,24", "20 mL at 0.95 %", "20 at 150 %", "92", "3", "5", "12 mL out", "0", "1e3", "40 C"]
EVIL = [
    "", "  ", "-5", "nan", "inf", "1e308", "9" * 400, "1_0", "٣", "1,234.5", "x\x1b]0;owned\x07", "[/red]",
    "\u202egnip", "nul\x00", "\ud800", "at at at", " at ", "a" * 2001, "../../etc/x", "C:\\x", "100000000 g",
    "1000000 L", "129", "-29", "129 C",
]  # fmt: skip
TEXT = st.sampled_from(PLAIN) | st.sampled_from(EVIL) | st.text(max_size=12)
ODD = ["0", "0.001", "3", "49", "180", "999", "99999", "999999999"]
WHY = st.sampled_from(["the gas ran out", "no strips left", "", ". .", "\x1b[2J why"])
MINUTES = st.sampled_from([0.5, 1.0, 5.0, 36.0, 599.0, 1200.0, -1.0, math.nan, math.inf])
JUNK = st.sampled_from(["", "steam.hold", "no such step", "rinse-2.rounds", "\x1b"])
PLACES = [
    "ready.weight", "presoak.ph", "presoak.wait", "stocks.rust.dye", "stocks.rust.volume", "paint.squeezed",
    "paint.rust.mix", "paint.apply", "steam.water", "steam.rolling", *["steam.hold"] * 5, "cool.wait",
    "cool.temperature", "rinse.water", "rinse.rounds", "steam-2.hold", "rinse-2.rounds", "rinse-3.dry",
    "record.leftovers",
]  # fmt: skip
"""Where something is measured that figures are worked out from, or where a clock runs."""
LATEST_NS = 4_000_000_000 * NS
"""The wall clock of the machine is never set later than the year 2096."""


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

    # -- what is done ----------------------------------------------------------------------------

    def do(self, command: c.Command) -> None:
        try:
            self.session.do(command)
        except Refused as refused:
            assert str(refused) and "\n" not in str(refused).strip()
        except NotSaved:
            assert self.keeper.failing

    def tick(self) -> None:
        try:
            self.session.tick()
        except NotSaved:
            assert self.keeper.failing

    def step(self) -> str:
        step = current_step(self.session.state, self.clock.now())
        return step.id if step else ""

    @initialize(place=st.sampled_from(PLACES))
    def begun_some_way_in(self, place: str) -> None:
        self.by_hand_to(place)

    @rule(place=st.sampled_from(PLACES))
    def by_hand_to(self, place: str) -> None:
        state = self.session.state
        self.disk(False)
        for _ in range(130):
            if self.step() == place or state.find_step(place) is None or state.step(place).closed:
                return
            self.by_hand(1)

    @rule(moves=st.integers(1, 9))
    def by_hand(self, moves: int) -> None:
        for _ in range(moves):
            move = next_move(self.session.state, self.clock.now(), self.chance)
            if move is None or isinstance(move.command, c.Finish):
                return
            self.clock.advance(move.wait_s)
            self.tick()
            if move.command is not None:
                self.do(move.command)

    @rule(place=st.sampled_from(PLACES), text=st.sampled_from(ODD), again=st.sampled_from(["", *ODD]))
    def odd_value_at(self, place: str, text: str, again: str) -> None:
        """A value that is far off but said to be meant, perhaps corrected to another such."""
        self.by_hand_to(place)
        self.do(c.Measure(place, text, meant=True))
        if again:
            self.do(c.Correct(place, again, "read it wrong", meant=True))

    @rule(text=TEXT, meant=st.booleans(), junk=JUNK, here=st.booleans())
    def measure(self, text: str, meant: bool, junk: str, here: bool) -> None:
        self.do(c.Measure(self.step() if here else junk, text, meant))

    @rule(text=TEXT, why=WHY, place=st.integers(0, 60), meant=st.booleans())
    def correct(self, text: str, why: str, place: int, meant: bool) -> None:
        steps = [s.id for s in self.session.state.all_steps()]
        self.do(c.Correct(steps[place % len(steps)], text, why, meant))

    @rule(why=WHY, junk=JUNK, here=st.booleans(), which=st.sampled_from([c.NotMeasured, c.Override, c.Skip]))
    def leave_out(self, why: str, junk: str, here: bool, which: Any) -> None:
        self.do(which(self.step() if here else junk, why))

    @rule(word=st.sampled_from(["lid", "dye-only", "", "\x1b"]), here=st.booleans())
    def gate_or_close(self, word: str, here: bool) -> None:
        self.do(c.PassGate(self.step(), word) if here else c.Close(self.step()))

    @rule(text=TEXT)
    def accept_caution(self, text: str) -> None:
        self.do(c.AcceptCaution(text, text))

    @rule(times=st.integers(1, 2))
    def undo(self, times: int) -> None:
        for _ in range(times):
            self.do(c.Undo())

    @rule(text=TEXT, happened=TEXT)
    def notes(self, text: str, happened: str) -> None:
        for command in (c.AddNote(text), c.NoteLate(text, happened), c.AddPhoto(text, happened)):
            self.do(command)

    @rule(minutes=MINUTES, why=WHY, place=st.integers(0, 9), confirm=st.booleans())
    def timers(self, minutes: float, why: str, place: int, confirm: bool) -> None:
        ids = [*self.session.state.timers, "no such clock"]
        timer = ids[place % len(ids)]
        self.do(c.ConfirmElapsed(timer, minutes) if confirm else c.ExtendTimer(timer, minutes, why))
        if confirm:
            self.gone.pop(timer, None)

    @rule(place=st.integers(0, 9), minutes=MINUTES, snooze=st.booleans())
    def answer(self, place: int, minutes: float, snooze: bool) -> None:
        numbers = [*(a.n for a in self.session.known.alarms[-5:]), 99_999]
        alarm = numbers[place % len(numbers)]
        self.do(c.Snooze(alarm, minutes) if snooze else c.Acknowledge(alarm))

    @rule(where=st.sampled_from(["packet", "lid", "bath", "room", "moon"]), text=TEXT)
    def reading(self, where: str, text: str) -> None:
        self.do(c.TakeReading(where, text))

    @rule(text=TEXT)
    def steam_and_water(self, text: str) -> None:
        self.do(c.ToggleSteam())
        self.do(c.Refill(text))

    @rule(colour=st.sampled_from(["rust", "kelp", "", "\x1b"]), text=TEXT, band=st.integers(-1, 6))
    def paint(self, colour: str, text: str, band: int) -> None:
        for command in (c.MixMore(colour, text), c.PaintLeft(colour, text), c.PaintBand(band)):
            self.do(command)

    @rule(label=TEXT, place=st.integers(0, 9), out=st.booleans())
    def packets(self, label: str, place: int, out: bool) -> None:
        ids = [*self.session.state.timers, "packet-99"]
        self.do(c.PacketOut(ids[place % len(ids)]) if out else c.PacketIn(label))

    @rule(text=st.sampled_from("12345") | TEXT, colour=st.sampled_from(["rust", "kelp", "x"]), why=WHY)
    def rinse_and_after(self, text: str, colour: str, why: str) -> None:
        for command in (c.Rinsed(self.step(), text), c.SetAgain(why), c.KeepLeftover(colour, text)):
            self.do(command)

    @rule(pid=st.integers(0, 9))
    def left_and_taken_up(self, pid: int) -> None:
        self.do(c.Leave())
        self.do(c.Resume(pid, "0.1.0"))

    @rule(end=st.sampled_from(["finish", "abandon", "", "", "", ""]), why=WHY)
    def end(self, end: str, why: str) -> None:
        if end:
            self.do(c.Finish() if end == "finish" else c.Abandon(why))

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

    @rule()
    def crash(self) -> None:
        """The program is gone: what was not on disk is lost, and the rest is read back."""
        self.keeper.waiting.clear()
        self.session = Running(replay(self.keeper.events), self.clock, self.keeper)

    @rule(full=st.booleans())
    def disk(self, full: bool) -> None:
        self.keeper.failing = full
        self.tick()

    def within(self, seconds: float) -> float:
        wall_ns = self.clock.now().wall_ns
        return max(-wall_ns / NS + 1, min(seconds, (LATEST_NS - wall_ns) / NS))

    # -- what must hold --------------------------------------------------------------------------

    @invariant()
    def state_is_what_the_file_says(self) -> None:
        assert replay(self.keeper.events) == self.session.state

    @invariant()
    def what_is_closed_stays_closed_and_time_goes_on(self) -> None:
        fresh = self.keeper.events[self.seen :]
        self.seen = len(self.keeper.events)
        closed = {s.id for s in self.session.state.all_steps() if self.session.state.step(s.id).closed}
        if not any(event.kind == e.UNDONE for event in fresh):
            assert self.closed <= closed
        self.closed = closed
        for event in fresh:
            json.dumps(event.data, allow_nan=False)
            assert tell(event, self.session.state)
            self._count(event)
        self._no_clock_runs_backwards()

    def _count(self, event: e.Event) -> None:
        timer = event.data.get("timer", "")
        if event.kind in (e.TIMER_STARTED, e.TIMER_EXTENDED):
            self.due[timer] = 0
        if event.kind in (e.TIMER_STARTED, e.TIMER_CONFIRMED):
            self.gone.pop(timer, None)
        if event.kind == e.UNDONE:
            self.gone.clear()
        if event.kind == e.ALARM_RAISED and event.data["level"] == "due":
            self.due[timer] = self.due.get(timer, 0) + 1
            assert self.due[timer] == 1, f"{timer} came due twice in one round"

    def _no_clock_runs_backwards(self) -> None:
        now = self.clock.now()
        for timer in self.session.state.timers.values():
            seconds, sure = elapsed_s(timer, now)
            if not sure or not timer.running:
                self.gone.pop(timer.id, None)
                continue
            before = self.gone.get(timer.id, 0.0)
            assert seconds >= before - 0.002, f"{timer.id} ran from {before} back to {seconds}"
            assert timer.paused is None or seconds <= before + 0.002 or timer.id not in self.gone
            self.gone[timer.id] = seconds

    @invariant()
    def the_bench_can_always_be_drawn(self) -> None:
        state, now = self.session.state, self.clock.now()
        progress(state, now)
        assert all(math.isfinite(v.left_s) for v in running(state, now))
        step = current_step(state, now)
        if step is None:
            return
        thought = think(state, effective(state, step), now)
        assert all(math.isfinite(f.value) and f.because and f.source for f in thought.figures)
        assert all(w.text and w.source and clean(w.text, limit=900) == w.text for w in thought.warnings)


@pytest.mark.fuzz
def test_anything_may_be_done_to_a_session(begin, keeper) -> None:
    begin()
    SessionUnderFire.first = keeper.events[0]
    SessionUnderFire.make_keeper = type(keeper)
    deep = settings.default.max_examples > 100
    run_machine(
        SessionUnderFire,
        settings=settings(max_examples=250, stateful_step_count=40, phases=[__import__("hypothesis").Phase.generate], deadline=None, suppress_health_check=list(__import__("hypothesis").HealthCheck)),
    )
