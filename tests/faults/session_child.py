"""A scripted session in a process of its own, made to be killed; see `forked`.

Goes on with the newest open session of the studio, or begins one, and walks it with the practised hand. A
line is printed once `do` or `tick` has returned, so what is printed is what a screen could have shown:

    session NAME
    shown  N KIND STEP-OR-TIMER BOOT_NS_BEFORE BOOT_NS_AFTER
    at     STEP

The two clock readings are the child's own, around the call; they know nothing of the program's clock.
"""

from __future__ import annotations

import random
import sys
import time
from pathlib import Path

from msgspec.structs import replace

from studio.services.studio import Services
from studio.session import commands as c
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.simulated_dyer import next_move
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock
from studio.trouble import Trouble


def boot_ns() -> int:
    return time.clock_gettime_ns(time.CLOCK_BOOTTIME)


def show(events, before: int) -> None:
    after = boot_ns()
    for event in events:
        what = event.data.get("step") or event.data.get("timer") or "-"
        print("shown", event.n, event.kind, what, before, after)
        for clock in event.data.get("starts", ()):
            print("shown", event.n, "timer.started", clock["timer"], before, after)


def open_session(services: Services, speed: float) -> Running:
    try:
        return services.resume(services.newest_open().key)
    except Trouble:
        if speed > 1:
            return services.rehearse(speed)
        return services.begin(services.work_out(services.plans()[0].key))


def walk(running: Running, speed: float) -> None:
    """Waits are passed with a reason where the clock is the real one, and waited for where it is fast."""
    chance = random.Random(1)
    while True:
        before = boot_ns()
        show(running.tick(), before)
        now = running.clock.now()
        step = current_step(running.state, now)
        print("at", step.id if step else "-", flush=True)
        move = next_move(running.state, now, chance)
        if move is None:
            return
        command = move.command
        if command is None and speed > 1:
            time.sleep(0.001)
            continue
        before = boot_ns()
        command = command or c.Override(step.id, "a test does not wait")
        # No time passes here, so that steam at once and a set of no time would be doubted.
        show(running.do(replace(command, meant=True) if isinstance(command, c.Doubtful) else command), before)
        sys.stdout.flush()


def main(studio: str, speed: str) -> None:
    opened = open_session(Services(StudioFolder(Path(studio)), SystemClock()), float(speed))
    print("session", opened.name, flush=True)
    walk(opened, float(speed))
    print("over", flush=True)
