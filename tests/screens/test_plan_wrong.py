"""What is wrong with a plan: every section can be looked at, and its cautions are gone to one after the other."""

from __future__ import annotations

import pytest

from studio.plan.draft.edits import Place


@pytest.mark.parametrize("size", [(60, 20), (160, 48)], ids=lambda s: f"{s[0]}x{s[1]}")
@pytest.mark.one_in(2)
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


async def test_the_next_caution_is_the_one_after_the_last_also_where_the_cursor_went_on(
    opened, screen_text, wait_until
) -> None:
    """Of a mended one the next has the place; what keeps a session from beginning is gone to first."""
    app, _ = opened()
    async with app.run_test(size=(100, 30)) as pilot:

        async def sees(told: str) -> None:
            await wait_until(pilot, lambda: told in screen_text(app), told)

        await sees("ready to begin")
        app.screen.fields.go_to(Place("fibre", None, "squeezed_weight"))
        await pilot.press("enter", "ctrl+u", *"260 g", "enter")
        await sees("1 to change")
        count = len(app.screen.draft.worksheet.cautions)
        await pilot.press("c", "c", "down", "left", "c")
        await sees(f"3 of {count}, ")
        await pilot.press("b")
        await sees(f"1 of {count}, stop")
        await pilot.press("c", "u", "c")
        await sees(f"2 of {len(app.screen.draft.worksheet.cautions)}, ")
