"""The main screens in both themes and four sizes: `python -m tests.samples.make_gallery FOLDER [NAME ...]`.

The practised hand brings a session of each sample plan to the step that is shown. SVG always; PNG beside it where
cairosvg is installed.
"""

from __future__ import annotations

import asyncio
import shutil
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

import msgspec

from studio.screens.app import PotsideApp
from studio.screens.bench.bench import BenchScreen
from studio.screens.theme import PALETTES
from studio.services.studio import Services, starter_shelf
from studio.session.run import Running
from studio.store.folder import StudioFolder
from tests.samples import make_sessions
from tests.samples.pictures import as_kept

SAMPLES = make_sessions.ROOT
SIZES = ((60, 20), (80, 24), (120, 40), (160, 48))
KELP, RUST, KETTLE = "kelp-forest.plan.toml", "tidewrack-stripes.plan.toml", "slack-water.plan.toml"


class Shot(msgspec.Struct, frozen=True):
    """A screen: the keys that lead to it from home, or from the bench at a step of a plan's session."""

    name: str
    keys: tuple[str, ...] = ()
    plan: str = ""
    step: str = ""
    minutes: float = 0.0
    """That pass at the step."""


SHOTS = (
    Shot("home"),
    Shot("home-running", ("q", "y"), RUST, "steam.hold", 9),
    Shot("home-alarm", ("q", "y"), RUST, "steam.hold", 17),
    Shot("first-start"),
    Shot("palette", ("ctrl+p", "t", "i", "d", "e", "down", "down")),
    Shot("worksheet", ("enter",)),
    Shot("plan", ("e", "right", "right", "right", "right")),
    Shot("logbook", ("l",)),
    Shot("session", ("l", "enter")),
    Shot("compare", ("l", "down", "down", "space", "down", "down", "down", "space", "c")),
    Shot("shelf", ("s",)),
    Shot("day", ("d", "plus", *("down",) * 4, "plus", "right", "right", "right")),
    Shot("forecast", ("enter", "f")),
    Shot("bench-gate", plan=RUST, step="ready.kit"),
    Shot("bench-soak", plan=RUST, step="presoak.wait", minutes=2),
    Shot("bench-weigh", plan=RUST, step="stocks.rust.dye"),
    Shot("bench-typed", ("0", ".", "4"), RUST, "stocks.rust.dye"),
    Shot("painting-back", ("p", "enter", "enter", "t", "enter"), KELP, "paint.apply"),
    Shot("bench-mix", plan=RUST, step="paint.rust.mix"),
    Shot("bench-paint", plan=RUST, step="paint.apply"),
    Shot("painting", ("p", "enter", "enter", "enter"), RUST, "paint.apply"),
    Shot("painting-skein", ("p", "enter"), KELP, "paint.apply"),
    Shot("bench-steam", plan=RUST, step="steam.hold", minutes=12),
    Shot("bench-alarm", plan=RUST, step="steam.hold", minutes=17),
    Shot("bench-kettle", plan=KETTLE, step="heat.ramp", minutes=9),
    Shot("bench-rinse", ("4",), RUST, "rinse.rounds"),
    Shot("bench-spoon", plan=KETTLE, step="heat.clear"),
    Shot("finish", ("4", "3"), RUST, "record.rinsed-clear"),
    Shot("big-clock", ("b",), RUST, "steam.hold", 12),
    Shot("why", ("w",), RUST, "stocks.rust.dye"),
    Shot("keys", ("question_mark",), RUST, "stocks.rust.dye"),
)


def at_step(shot: Shot) -> Running:
    """A session on its plan, at its step."""
    running = make_sessions.begin(shot.plan, make_sessions.at("2026-11-26T15:20:00"))
    make_sessions.until(running, shot.step, 1)
    running.clock.advance(shot.minutes * 60)  # type: ignore[attr-defined]
    running.tick()
    return running


async def take(shot: Shot, theme: str, folder: Path, studio: Path) -> None:
    """One screen at every size."""
    running = at_step(shot) if shot.plan else None
    clock = running.clock if running is not None else make_sessions.at("2026-11-26T15:20:00")
    services = Services(StudioFolder(studio), clock)
    first = (lambda: BenchScreen(running)) if running is not None else None
    app = PotsideApp(lambda: services, first, theme=theme, bounce_s=0.0)
    async with app.run_test(size=(160, 48)) as pilot:
        await pilot.pause(1.2)
        for key in shot.keys:
            await app.workers.wait_for_complete()
            await pilot.press(key)
            await pilot.pause(0.3)
        await app.workers.wait_for_complete()
        for width, height in SIZES:
            await pilot.resize_terminal(width, height)
            await pilot.pause(0.5)
            svg = as_kept(app.export_screenshot())
            file = folder / f"{shot.name}-{theme}-{width}x{height}.svg"
            file.write_text(svg)
            _as_png(svg, file.with_suffix(".png"))
    if running is not None:
        running.close()


def _as_png(svg: str, file: Path) -> None:
    try:
        import cairosvg
    except ImportError:
        return
    cairosvg.svg2png(svg.replace("Fira Code", "DejaVu Sans Mono").encode(), write_to=str(file))


def main(folder: Path, names: Sequence[str]) -> None:
    """All of them, or those named."""
    folder.mkdir(parents=True, exist_ok=True)
    for shot in SHOTS:
        if names and shot.name not in names:
            continue
        for theme in PALETTES:
            with tempfile.TemporaryDirectory() as place:
                studio = Path(place) / "studio"
                if shot.name == "first-start":
                    StudioFolder(studio).make(starter_shelf)
                else:
                    for part in ("shared", "sessions"):
                        shutil.copytree(SAMPLES / part, studio / part)
                make_sessions.ROOT = studio
                asyncio.run(take(shot, theme, folder, studio))
        print(shot.name)


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
