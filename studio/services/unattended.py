"""The whole rehearsal without a terminal: a practised hand walks the sample session and it is printed."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from pathlib import Path

import msgspec

from studio.report.telling import tell
from studio.services.studio import open_services
from studio.session.alarms import standing
from studio.session.clock import SteppedClock, local, wall_ns_of
from studio.session.folding import Record
from studio.session.run import Running
from studio.session.simulated_dyer import next_move
from studio.session.time_rules import next_alarm_in_s
from studio.trouble import CANNOT_SAVE, OK, Options, Trouble

LEAST_S = 0.001
"""The clock never moves by less, so that rounding cannot hold it before an alarm."""
MOST_MOVES = 2_000
"""A session takes about a hundred; more means that it goes in circles."""


def rehearse_unattended(
    options: Options, speed: float | None, seed: int, say: Callable[[str], object], plan: Path | None = None
) -> int:
    """Walk a session of the sample plan, or of another, to its close; the exit code.

    Without a speed the clock jumps from one thing to the next. With one, the waits are really waited
    for, that many times faster.
    """
    services = open_services(options)
    start = services.clock.now()
    # The name of the start is the fast clock's own, so that a resume takes its time for what it is.
    clock = SteppedClock(msgspec.structs.replace(start, boot=f"fast-{start.boot}"))
    running = services.rehearse(speed or 1.0, clock=clock, origin=start, plan=plan)
    say(f"Rehearsal of {running.state.title}, written to {running.name}.")
    try:
        walk(running, clock, random.Random(seed), say, pause=_pause(speed))
    finally:
        told = services.let_go()
    if not running.saved.closed:
        raise Trouble(told if running.waiting else f"The rehearsal stopped unsaved. {told}", CANNOT_SAVE)
    say(f"Done. Read it with: potside show {running.name}")
    return OK


def _pause(speed: float | None) -> Callable[[float], None]:
    return (lambda seconds: time.sleep(seconds / speed)) if speed else (lambda seconds: None)


def walk(
    running: Running,
    clock: SteppedClock,
    chance: random.Random,
    say: Callable[[str], object],
    pause: Callable[[float], None] = lambda seconds: None,
    until: Callable[[Running], bool] = lambda running: False,
) -> None:
    """Let the hand walk a session until it is closed or `until` says to stop."""
    for _ in range(MOST_MOVES):
        move = next_move(running.state, clock.now(), chance)
        if move is None or running.waiting or until(running):
            return  # nobody stands here who could make room for what waits to be saved
        rung = standing(running.state)
        _let_pass(move.wait_s, running, clock, say, pause)
        if move.command is None or standing(running.state) != rung:
            continue
        _tell(running, running.do(move.command), say)
    raise RuntimeError("The rehearsal goes in circles; this is a fault of the program.")


def _let_pass(
    seconds: float,
    running: Running,
    clock: SteppedClock,
    say: Callable[[str], object],
    pause: Callable[[float], None],
) -> None:
    """Let time pass from one alarm to the next, so that each is raised when it is due; one that stands ends it."""
    rung = standing(running.state)
    while seconds > 0 and standing(running.state) == rung:
        step_s = min(seconds, max(LEAST_S, next_alarm_in_s(running.state, clock.now())))
        pause(step_s)
        clock.advance(step_s)
        seconds -= step_s
        _tell(running, running.tick(), say)


def _tell(running: Running, events: tuple[Record, ...], say: Callable[[str], object]) -> None:
    for event in events:
        if event.n > running.saved.last_n:
            return  # what is printed is on disk
        when = local(wall_ns_of(event.at), running.state.utc_offset_min)
        say(f"{when:%H:%M:%S}  {tell(event, running.state)}")
