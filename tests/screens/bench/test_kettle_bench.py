"""The bench over a dye bath: the curve against its ramp, the white spoon, more acid; and the microwave's bursts."""

from __future__ import annotations

import pytest

from studio.plan.work.worked import work_all
from studio.quantity import reading_in
from studio.screens.draw.clocks import plot
from studio.session import alarms
from studio.session import commands as c
from studio.session.kinds.heat import AcidDosed, BathLooked
from studio.session.live.bath import Ramp

SIZES = [(80, 24), (60, 20), (120, 40)]


def _read(session, minutes: float, text: str) -> None:  # type: ignore[no-untyped-def]
    session.clock.advance(minutes * 60)
    session.tick()
    for alarm in alarms.standing(session.state):
        session.do(c.Acknowledge(alarm.n))
    session.do(c.TakeReading("bath", text))


@pytest.mark.parametrize("size", SIZES)
async def test_the_curve_stands_beside_the_ramp(size, bench_at, sheet_of, screen_text, wait_until) -> None:  # type: ignore[no-untyped-def]
    app, session = bench_at("heat.ramp", sheet_of(method="kettle"))
    async with app.run_test(size=size) as pilot:
        _read(session, 4, "58")
        await wait_until(pilot, lambda: "58 °C" in screen_text(app), "the reading against the ramp")
        text = screen_text(app)
        assert "°C behind" in text or "°C ahead" in text or "on the ramp" in text
        assert all(len(line) <= size[0] for line in text.splitlines())
        if size == (120, 40):  # below that the figures of the step take the room
            assert "●" in text and " min" in text


async def test_the_spoon_starts_more_time_and_d_adds_acid(
    bench_at, sheet_of, screen_text, wait_until
) -> None:  # type: ignore[no-untyped-def]
    app, session = bench_at("heat.clear", sheet_of(method="kettle"))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("r")
        await wait_until(
            pilot, lambda: "88 for the bath, or lid 97, room 19" in screen_text(app), "no packet"
        )
        await pilot.press("escape", "enter")
        await wait_until(pilot, lambda: "white spoon" in screen_text(app), "the question")
        await pilot.press("3", "enter")
        await wait_until(pilot, lambda: bool(session.state.kept(BathLooked)), "the look is kept")
        await wait_until(pilot, lambda: "Not clear" in screen_text(app), "what to do now")
        assert session.state.timers["hold-more"].running
        await pilot.press("d")
        await wait_until(pilot, lambda: "More acid" in screen_text(app), "the question")
        await pilot.press(*"10 mL", "enter")
        await wait_until(pilot, lambda: bool(session.state.kept(AcidDosed)), "the dose is kept")
        await pilot.press("enter")
        await pilot.press("5", "enter")
        await wait_until(pilot, lambda: session.state.step("heat.clear").closed, "clear")
    assert not session.state.timers["hold-more"].running
    assert [look.event.grade for look in session.state.kept(BathLooked)] == [3, 5]


async def test_a_burst_is_started_and_its_rest_follows_when_it_is_answered(
    bench_at, sheet_of, screen_text, wait_until
) -> None:  # type: ignore[no-untyped-def]
    app, session = bench_at("microwave.burst-1", sheet_of(method="microwave"))
    async with app.run_test(size=(60, 20)) as pilot:
        await wait_until(pilot, lambda: "2:00 min at 600" in screen_text(app), "how long and how strong")
        await pilot.press("enter")
        await wait_until(pilot, lambda: "burst-1" in session.state.timers, "the burst's clock")
        session.clock.advance(121)
        session.tick()
        session.do(c.Acknowledge(session.state.alarms[-1].n))
        assert not session.state.timers["burst-1"].running
        assert session.state.timers["rest-1"].running
        await wait_until(pilot, lambda: "rest after burst 1" in screen_text(app), "the rest is shown")


def test_the_plot_keeps_within_its_room(settled_of) -> None:
    heat = work_all(settled_of(method="kettle")).heat
    seen = Ramp(heat, ((0.0, 40.0), (10.0, 52.0), (44.0, 99.0)), 44.0)
    for ascii_only in (False, True):
        for width in (10, 30, 58, 78, 200):
            for height in (1, 3, 4, 8):
                lines = plot(seen, width, height, ascii_only=ascii_only)
                assert len(lines) in (0, height + 1)
                assert all(line.cell_length <= max(width, 0) for line in lines)
                assert not ascii_only or all(line.plain.isascii() for line in lines)


def test_a_reading_stands_where_it_was_read(settled_of) -> None:
    """40 to 85 °C in 30 min on 9 rows from 90 to 40 °C: 65 °C is the middle row; 15 of 34.5 min is the
    31st of 72 columns. Source: arithmetic."""
    seen = Ramp(work_all(settled_of(method="kettle")).heat, ((15.0, 65.0),), 15.0)
    lines = [line.plain for line in plot(seen, 100, 9)]
    rows = [row for row, line in enumerate(lines) if "●" in line]
    assert rows == [4] and lines[4].index("●") - 7 == int(15 / 34.5 * 72)


def test_the_ramp_has_its_degrees_in_the_unit_that_is_read(settled_of, monkeypatch) -> None:
    """40 and 90 °C are 104 and 194 °F."""
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])
    seen = Ramp(work_all(settled_of(method="kettle")).heat, ((15.0, 65.0),), 15.0)
    lines = [line.plain for line in plot(seen, 100, 9)]
    assert lines[0].startswith("194 °F ") and lines[8].startswith("104 °F ")
