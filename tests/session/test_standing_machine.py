"""Undo and late entries against a plain list of what the dyer meant: taken back, brought back and told later.

Killed and taken up again, gone on with in another file, and given up in between.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from hypothesis.stateful import run_state_machine_as_test as run_machine

from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.clock import NS, Reading, SteppedClock, time_of_day
from studio.session.events import data_of, parts
from studio.session.folding import Record, replay
from studio.session.kinds.course import Continued
from studio.session.kinds.heat import ReadingTaken
from studio.session.kinds.steps import ClosesAStep
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.simulated_dyer import next_move
from studio.session.state import State
from studio.session.taking_back import offered
from studio.session.timers import elapsed_s


@dataclass
class Meant:
    """One thing the dyer did, as it would be told without any program, and whether it was meant after all."""

    n: int
    what: str
    value: Any
    counts: bool = True


class WhatTheDyerMeant(RuleBasedStateMachine):
    """`meant` is the list; `first`, `make_keeper` and `without_history` are set by the test below."""

    first: Any
    make_keeper: Callable[[], Any]
    without_history: Callable[[State], State]
    places = ("presoak.water", "paint.apply", "steam.hold", "rinse.rounds")

    def __init__(self) -> None:
        super().__init__()
        self.clock = SteppedClock(Reading(1_790_000_000 * NS, 5_000 * NS, 4_000 * NS, "boot-0"))
        keeper = self.make_keeper()
        keeper.events.append(self.first)
        self.keeper = keeper
        self.session = Running(replay(keeper.events), self.clock, keeper)
        self.meant: list[Meant] = []
        self.undos: dict[int, Meant] = {}
        self.chance = random.Random(3)

    def do(self, command: c.Command) -> None:
        """Carry it out, and keep what was meant by it in the dyer's own terms."""
        try:
            (event,) = self.session.do(command) or (None,)
        except Refused:
            return
        if event is None:
            return
        if isinstance(command, c.NoteLate):
            self.meant.extend(self.told_later(event))
            return
        told = {
            c.PaintBand: lambda x: ("band", (x.band, x.again)),
            c.AddNote: lambda x: ("note", x.text),
            c.TakeReading: lambda x: ("read", (x.where, float(x.text))),
            c.ToggleSteam: lambda x: ("steam", self.clock.now().boot_ns),
        }.get(type(command))
        what, value = told(command) if told is not None else ("", None)
        self.meant.append(Meant(event.n, what, value))
        for part in parts(event.told):
            if isinstance(part, ClosesAStep):
                self.meant.append(Meant(event.n, "closed", part.step))
            if part.kind == "timer.started":
                self.meant.append(Meant(event.n, "clock", (part.timer, self.clock.now().boot_ns)))
        self.clock.advance(2)

    def told_later(self, event: Record) -> list[Meant]:
        """What a late entry says, in the dyer's terms: the clock, the steam, or both ends of a loss."""
        data = event.data
        at = data["happened"]["boot_ns"] if "happened" in data else 0
        if event.kind == "timer.confirmed":
            clocks = [self.clock_of(data["timer"])]
            also = [m for m in self.meant if m.what == "clock" and m.n == clocks[0].n]
            return [Meant(event.n, "clock", (m.value[0], at)) for m in also]
        if event.kind in ("steam.stopped", "steam.again"):
            ends = [data["again"]["boot_ns"]] if "again" in data else []
            return [Meant(event.n, "steam", edge) for edge in (at, *ends)]
        return [Meant(event.n, "note", data["text"])]

    def clock_of(self, timer: str) -> Meant:
        """The newest that counts and says when that clock began, but for what moved it."""
        began = {
            ev.n for ev in self.session.state.log for part in parts(ev.told) if part.kind == "timer.started"
        }
        own = [
            m for m in self.meant if m.counts and m.what == "clock" and m.value[0] == timer and m.n in began
        ]
        return own[-1]

    @rule(
        minutes=st.integers(1, 40),
        longer=st.integers(1, 15),
        what=st.sampled_from(["started", "steam lost", "steam back", "lid lifted", "whole"]),
    )
    def tells_it_later(self, minutes: int, longer: int, what: str) -> None:
        now = self.clock.now().wall_ns
        then, since = (
            time_of_day(now - ago * 60 * NS, self.session.state.utc_offset_min)
            for ago in (minutes + longer, minutes)
        )
        self.do(c.NoteLate(f"{then} to {since} steam lost" if what == "whole" else f"{since} {what}"))

    @rule()
    def killed_and_taken_up_again(self) -> None:
        self.take_up()

    @rule()
    def goes_on_in_another_file(self) -> None:
        keeper, now = type(self).make_keeper(), self.clock.now()
        keeper.events.extend(self.keeper.events)
        told = Continued("a.jsonl", "0" * 64, len(keeper.events), "a bad line")
        keeper.append(told.kind, data_of(told), now)
        self.keeper = keeper
        self.take_up()

    def take_up(self) -> None:
        """From what is on the disk, and nothing else."""
        self.session = Running(replay(self.keeper.events), self.clock, self.keeper)
        if not self.session.state.closed:
            self.session.do(c.Resume(1, "0"))

    @precondition(lambda self: len(self.meant) > 25)
    @rule()
    def gives_up_and_wants_it_back(self) -> None:
        """After the end nothing is taken back."""
        if self.session.state.closed:
            return
        self.session.do(c.Abandon("the gas ran out"))
        for event in self.session.state.log:
            with pytest.raises(Refused):
                self.session.do(c.Undo(event.n))

    @rule(place=st.sampled_from(places))
    def on_to(self, place: str) -> None:
        for _ in range(60):
            step = current_step(self.session.state, self.clock.now())
            if step is None or step.id == place or self.session.state.step(place).closed:
                return
            move = next_move(self.session.state, self.clock.now(), self.chance)
            if move is None:
                return
            self.clock.advance(move.wait_s)
            self.session.tick()
            if move.command is not None:
                self.do(move.command)

    @rule(band=st.integers(1, 4), again=st.booleans())
    def paints(self, band: int, again: bool) -> None:
        self.do(c.PaintBand(band, again=again))

    @rule(word=st.sampled_from(["windy", "lid rattles"]))
    def notes(self, word: str) -> None:
        self.do(c.AddNote(word))

    @rule(value=st.sampled_from(["88", "92", "19"]))
    def reads(self, value: str) -> None:
        self.do(c.TakeReading("lid", value))

    @rule()
    def loses_the_steam_or_has_it_back(self) -> None:
        self.do(c.ToggleSteam())

    @rule(seconds=st.sampled_from([5, 120, 1500]))
    def time_passes(self, seconds: float) -> None:
        self.clock.advance(seconds)
        self.session.tick()

    @rule(which=st.integers(0, 8))
    def takes_one_back_or_brings_it_back(self, which: int) -> None:
        found = offered(self.session.state)
        if not found or self.session.state.closed:
            return
        event = found[which % len(found)]
        (undone,) = self.session.do(c.Undo(event.n))
        named = event.data["ref"] if event.kind == "undone" else event.n
        for one in self.meant:
            if one.n == named:
                one.counts = event.kind == "undone"
        assert undone.data["ref"] == event.n
        self.clock.advance(2)

    def standing(self, what: str) -> list[Any]:
        return [one.value for one in self.meant if one.counts and one.what == what]

    @invariant()
    def the_state_is_what_was_meant(self) -> None:
        state = self.session.state
        assert [coat.event.band for coat in state.coats] == [band for band, _ in self.standing("band")]
        assert [note.text for note in state.notes] == self.standing("note")
        assert [
            (r.event.where, r.event.value) for r in state.kept(ReadingTaken) if r.event.where == "lid"
        ] == [one for one in self.standing("read") if one[0] == "lid"]
        assert {s.id for s in state.all_steps() if state.step(s.id).closed} == set(self.standing("closed"))
        began = dict(self.standing("clock"))
        assert began.keys() == state.timers.keys(), "each clock stands with the key that started it"
        times = [at.boot_ns for pair in state.steam_off for at in pair if at is not None]
        assert sorted(times) == times == sorted(self.standing("steam")), "told later, it has its place"
        for name, timer in state.timers.items():
            assert timer.started.boot_ns == began[name]
            if timer.running:
                ran = self.ran_s(began[name], times if timer.needs_steam else [])
                assert elapsed_s(timer, self.clock.now()) == (pytest.approx(ran), True)
        assert replay(state.log) == state and self._alarms_have_their_clocks(state)
        without = type(self).without_history
        gone = {one.n for one in self.meant if not one.counts}
        kept = [event for event in state.log if event.n not in gone and event.kind != "undone"]
        assert without(replay(kept)) == without(state), "it is the fold of what counts"

    def ran_s(self, began_ns: int, edges: list[int]) -> float:
        """Seconds since a clock began, but for those without steam."""
        now = self.clock.now().boot_ns
        ends = [*edges, now] if len(edges) % 2 else edges
        lost = sum(
            max(0, again - max(stopped, began_ns))
            for stopped, again in zip(ends[::2], ends[1::2], strict=True)
        )
        return (now - began_ns - lost) / NS

    def _alarms_have_their_clocks(self, state: State) -> bool:
        refs = {event.n: event.data["ref"] for event in state.log if event.kind == "alarm.raised"}
        return all(refs[alarm.n] not in state.gone for alarm in state.alarms)


@pytest.mark.fuzz
def test_the_state_is_what_the_dyer_meant(begin, keeper, sheet_of, without_history) -> None:
    begin(sheet_of())
    WhatTheDyerMeant.first = keeper.events[0]
    WhatTheDyerMeant.make_keeper = type(keeper)
    WhatTheDyerMeant.without_history = staticmethod(without_history)
    deep = settings.default.max_examples > 100
    run_machine(
        WhatTheDyerMeant,
        settings=settings(max_examples=300 if deep else 20, stateful_step_count=40 if deep else 20),
    )


def test_a_fold_is_total_whatever_was_left_out(exactly_at) -> None:
    """Any events but the opening may be missing: what hangs on them does nothing, and nothing raises."""
    session = exactly_at("record.leftovers", {"ready.weight": "101"})
    session.do(c.PaintBand(1, again=True))
    chance = random.Random(1)
    opening, *rest = session.state.log
    without_one = [[one for one in rest if one is not event] for event in rest]
    without_a_third = [[one for one in rest if chance.random() < 0.67] for _ in range(39)]
    for kept in (*without_one, *without_a_third):
        state = replay([opening, *kept])
        assert state.last_n == (kept[-1].n if kept else 1)
