"""A plan that was wrong in its file before it was opened: every section can be looked at, and it can be mended."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize("size", [(60, 20), (160, 48)], ids=lambda s: f"{s[0]}x{s[1]}")
async def test_a_plan_of_an_unknown_base_shows_every_section(opened, screen_text, wait_until, size) -> None:
    app, path = opened()
    text = path.read_text()
    assert 'base = "harbour sock blank"' in text
    path.write_text(text.replace('base = "harbour sock blank"', 'base = "lost blank"'))
    async with app.run_test(size=size) as pilot:
        await wait_until(pilot, lambda: "not complete" in screen_text(app))
        for section in app.screen.fields.sections:
            await wait_until(pilot, lambda name=section.name: f"►{name}" in screen_text(app), section.name)
            await pilot.press("right")
        await pilot.press("c", "enter", "ctrl+u", *"harbour sock blank", "enter")
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
