"""The day on screen: counts by key, an order of work below, a time that is none."""

from __future__ import annotations

import shutil
from pathlib import Path

from studio.screens.app import PotsideApp
from studio.screens.day import DayScreen
from studio.services.studio import Services
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock

ROOT = Path(__file__).resolve().parents[2]


async def test_a_day_is_laid_out_by_keys(tmp_path: Path, wait_until, screen_text) -> None:
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    (tmp_path / "sessions").mkdir()
    services = Services(StudioFolder(tmp_path), SystemClock())
    app = PotsideApp(lambda: services, lambda: DayScreen(services), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        page = app.screen
        assert isinstance(page, DayScreen)
        await wait_until(pilot, lambda: bool(page.plans), "the plans")
        await pilot.press("right", "right", "down", "right", "p")
        await wait_until(pilot, lambda: page.sheet is not None and page.sheet.pieces == 3, "an order of work")
        await wait_until(pilot, lambda: page.sheet is not None and page.sheet.places == 2, "two places")
        assert "order of work" in screen_text(app) and "2 x" in screen_text(app)
        await pilot.press("f", *"nine", "enter")
        assert screen_text(app).splitlines()[-1].lstrip().startswith("A time;")
        await wait_until(
            pilot, lambda: "no time of day" in screen_text(app), "a refusal that keeps what was typed"
        )
        await pilot.press(*["backspace"] * 4, *"17:00", "enter")
        await wait_until(
            pilot, lambda: page.sheet is not None and page.sheet.start_of_day_min is not None, "a start"
        )
        assert page.sheet is not None
        assert page.sheet.at(page.sheet.finish_min) == 17 * 60
        await pilot.press("w")
        await wait_until(pilot, lambda: "powders x" in screen_text(app), "the reasons")
