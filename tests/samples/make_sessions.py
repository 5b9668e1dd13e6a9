"""Make the sample sessions anew: the practised hand walks the sample plans of Skerry Lane studio.

Run from the repository: `python tests/samples/make_sessions.py`. Five sessions are finished, one is given
up. All that happens in them is invented; the program writes every line.
"""

from __future__ import annotations

import os
import random
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from unittest.mock import patch

from studio.services.studio import Services
from studio.services.unattended import walk
from studio.session import commands as c
from studio.session.clock import NS, Reading, SteppedClock
from studio.session.path import current_step
from studio.session.run import Running
from studio.store.folder import StudioFolder

ROOT = Path(__file__).parents[2]


def at(moment: str) -> SteppedClock:
    """A clock that stands at a UTC moment, on an invented start of the machine."""
    wall_ns = int(datetime.fromisoformat(moment).replace(tzinfo=UTC).timestamp()) * NS
    return SteppedClock(Reading(wall_ns, 40_000 * NS, 38_000 * NS, "skerry00"))


def begin(plan: str, clock: SteppedClock) -> Running:
    """A session on a sample plan."""
    services = Services(StudioFolder(ROOT), clock)
    return services.begin(services.work_out(ROOT / "shared" / "plans" / plan))


def until(running: Running, step_id: str, seed: int) -> None:
    """Let the hand work until a step comes up."""

    def there(session: Running) -> bool:
        step = current_step(session.state, session.clock.now())
        return step is not None and step.id == step_id

    walk(running, running.clock, random.Random(seed), _silent, until=there)  # type: ignore[arg-type]


def finish(running: Running, seed: int) -> None:
    """Let the hand work to the close."""
    walk(running, running.clock, random.Random(seed), _silent)  # type: ignore[arg-type]
    running.close()


def _silent(sentence: str) -> None:
    """The sample sessions are made without a word."""


def tidewrack() -> None:
    """A blank in two colours: squeezed less than planned, steam lost once, a misread weight corrected."""
    running = begin("tidewrack-stripes.plan.toml", at("2026-09-12T07:04:00"))
    until(running, "presoak.water", 1)
    running.do(c.Correct("ready.weight", "101", "misread the wool scale"))
    until(running, "paint.squeezed", 1)
    running.do(c.Measure("paint.squeezed", "192"))
    running.do(c.AddNote("Squeezed by hand; the towel was still wet."))
    until(running, "steam.hold", 1)
    running.clock.advance(13 * 60)  # type: ignore[attr-defined]
    running.do(c.ToggleSteam())
    running.clock.advance(4 * 60)  # type: ignore[attr-defined]
    running.do(c.ToggleSteam())
    running.do(c.AddNote("Ring went out in the draught, door shut now."))
    until(running, "cool.wait", 1)
    for minutes, celsius in ((28, "78"), (32, "56")):
        running.clock.advance(minutes * 60)  # type: ignore[attr-defined]
        running.do(c.TakeReading("packet", celsius))
    finish(running, 1)


def kelp_forest() -> None:
    """A skein in three colours: a jar weighed too strong, more of a colour mixed, a second coat."""
    running = begin("kelp-forest.plan.toml", at("2026-09-26T08:30:00"))
    until(running, "paint.apply", 2)
    running.do(c.MixMore("gorse", "10 mL", meant=True))
    until(running, "steam.hold", 2)
    running.clock.advance(10 * 60)  # type: ignore[attr-defined]
    running.do(c.TakeReading("lid", "98"))
    running.do(c.NoteLate("09:40 a drop of gorse ran into the kelp end"))
    finish(running, 2)


def lantern_floats() -> None:
    """Food colours on a blank with kitchen kit."""
    running = begin("lantern-floats.plan.toml", at("2026-10-10T09:15:00"))
    until(running, "cool.wait", 3)
    running.do(c.AddNote("Small hands painted the last four bands."))
    finish(running, 3)


def second_tidewrack() -> None:
    """The same stripes again, given up when the gas ran out."""
    running = begin("tidewrack-stripes.plan.toml", at("2026-10-31T15:20:00"))
    until(running, "steam.hold", 4)
    running.clock.advance(8 * 60)  # type: ignore[attr-defined]
    running.do(c.ToggleSteam())
    running.do(c.Abandon("The gas ran out eight minutes into the set and the shop is shut until Monday."))
    running.close()


def slack_water() -> None:
    """One colour in a kettle: the bath read against its ramp, the hob turned down once."""
    running = begin("slack-water.plan.toml", at("2026-11-07T10:05:00"))
    until(running, "bath.in", 5)
    running.do(c.AddNote("Stirred with the wide paddle, three slow turns every five minutes."))
    finish(running, 5)


def riding_lights() -> None:
    """Food colours in the microwave, two skeins."""
    running = begin("riding-lights.plan.toml", at("2026-11-14T14:20:00"))
    finish(running, 6)


MAKERS: tuple[Callable[[], None], ...] = (
    tidewrack,
    kelp_forest,
    lantern_floats,
    second_tidewrack,
    slack_water,
    riding_lights,
)


def main() -> None:
    """Clear the old samples away and make them anew, under the names they had: tests and pages use those.

    Of one machine, process and place on earth, whatever they are made on: made twice they are the same bytes.
    """
    before = {old.stem[:-5]: old for old in (ROOT / "sessions").glob("*.jsonl")}
    for old in before.values():
        old.unlink()
    one = "studio.services.studio."
    with (
        patch(f"{one}os.getpid", return_value=7910),
        patch(f"{one}host_hash", return_value="5bce98f7"),
        patch.dict(os.environ, TZ="UTC"),
    ):
        time.tzset()
        for make in MAKERS:
            make()
    time.tzset()
    for new in (ROOT / "sessions").glob("*.jsonl"):
        new.rename(before.get(new.stem[:-5], new))


if __name__ == "__main__":
    main()
