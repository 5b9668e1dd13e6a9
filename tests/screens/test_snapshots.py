"""A few screens as they look: plain text at three sizes, and SVG in both themes and without colour.

Look at a changed snapshot before accepting it: `pytest tests/screens/test_snapshots.py --snapshot-update`.
"""

from __future__ import annotations

import pytest
from syrupy.extensions.image import SVGImageSnapshotExtension

from studio.screens.bench.bench import BenchScreen
from tests.samples.pictures import as_kept

STEPS = ("ready.powder", "stocks.rust.dye", "paint.apply", "steam.hold", "cool.unwrap")


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40)], ids=lambda s: f"{s[0]}x{s[1]}")
@pytest.mark.parametrize("step_id", STEPS)
async def test_bench_as_text(bench_at, screen_text, wait_until, snapshot, step_id, size) -> None:
    app, session = bench_at(step_id)
    step = session.state.find_step(step_id)
    async with app.run_test(size=size) as pilot:
        await wait_until(pilot, lambda: not app.screen.keys_wait and step.text.split()[0] in screen_text(app))
        assert screen_text(app) == snapshot


async def test_alarm_standing_as_text(bench_at, screen_text, wait_until, snapshot) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        session.clock.advance(36 * 60 + 75)
        await wait_until(pilot, lambda: screen_text(app).count("DUE") >= 2)
        assert screen_text(app) == snapshot


@pytest.mark.parametrize("size", [(80, 24), (40, 12), (20, 5)], ids=lambda s: f"{s[0]}x{s[1]}")
async def test_big_clock_as_text(bench_at, screen_text, wait_until, digits_drawn, snapshot, size) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=size) as pilot:
        await wait_until(pilot, lambda: isinstance(app.screen, BenchScreen))
        await pilot.press("b")
        await wait_until(
            pilot, lambda: "36:00" in screen_text(app) or digits_drawn(screen_text(app), "36:00")
        )
        await pilot.pause(0.3)
        assert screen_text(app) == snapshot


@pytest.mark.parametrize("look", ["fleece", "no-color"])
async def test_bench_as_svg(bench_at, screen_text, wait_until, snapshot, look, monkeypatch) -> None:
    if look == "no-color":
        monkeypatch.setenv("NO_COLOR", "1")
    app, session = bench_at("steam.hold", theme="fleece" if look == "fleece" else "vat")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        session.clock.advance(16 * 60)
        await wait_until(pilot, lambda: "DUE" in screen_text(app))
        assert as_kept(app.export_screenshot()) == snapshot(extension_class=SVGImageSnapshotExtension)


async def test_big_clock_as_svg(bench_at, screen_text, wait_until, snapshot) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        session.clock.advance(12 * 60 + 8)
        await pilot.press("b")
        await wait_until(
            pilot, lambda: "►steam" not in screen_text(app) and "steam set, ends" in screen_text(app)
        )
        assert as_kept(app.export_screenshot()) == snapshot(extension_class=SVGImageSnapshotExtension)


@pytest.mark.parametrize(
    ("name", "step_id"),
    [("weighing", "stocks.rust.dye"), ("painting", "paint.apply")],
    ids=["weighing", "painting"],
)
async def test_at_work_as_svg(bench_at, wait_until, snapshot, name, step_id) -> None:
    app, _ = bench_at(step_id)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: not app.screen.keys_wait and bool(app.screen.hues), name)
        assert as_kept(app.export_screenshot()) == snapshot(extension_class=SVGImageSnapshotExtension)


async def test_a_plan_as_svg(opened, screen_text, wait_until, snapshot) -> None:
    app, _ = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        await pilot.press(*("right",) * 4)
        await wait_until(pilot, lambda: "►colours" in screen_text(app) and "██ 2" in screen_text(app))
        assert as_kept(app.export_screenshot()) == snapshot(extension_class=SVGImageSnapshotExtension)
