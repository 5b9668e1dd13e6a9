"""The timeline: bars where the session's own times put them."""

from __future__ import annotations

from datetime import datetime

import msgspec
import pytest

from studio.report.export_html import LABEL_WIDTH, RIGHT_ROOM, WIDTH, timeline

ROOM = WIDTH - LABEL_WIDTH - RIGHT_ROOM


def minute(at: str) -> float:
    return datetime.fromisoformat(at).timestamp() / 60


def test_bars_lie_where_the_steps_were_closed(source_of, lines_of) -> None:
    """Place = label width + room x (minutes since the opening) / (minutes to the last closed step)."""
    lines = lines_of("20260912")
    closed = [x for x in lines if x["kind"] in ("step.done", "step.measured", "gate.passed")]
    start, end = minute(lines[0]["at"]), minute(closed[-1]["at"])
    drawn = timeline(source_of().state)
    assert drawn is not None
    for bar in drawn.bars:
        at = [minute(x["at"]) for x in closed if x["data"]["step"].split(".")[0] == bar.label]
        begin = start if bar.label == "ready" else min(at)
        assert bar.x == pytest.approx(LABEL_WIDTH + ROOM * (begin - start) / (end - start), abs=0.1)
        long = ROOM * (max(at) - begin) / (end - start)
        assert bar.width == pytest.approx(max(3.0, long), abs=0.2)
    assert [b.label for b in drawn.bars] == [
        "ready",
        "presoak",
        "stocks",
        "paint",
        "steam",
        "cool",
        "rinse",
        "record",
    ]
    hour = next(t for t in drawn.ticks if t.text == "09:00")
    assert hour.x == pytest.approx(
        LABEL_WIDTH + ROOM * (minute("2026-09-12T09:00+00:00") - start) / (end - start), abs=0.1
    )


def test_lost_steam_is_marked_for_as_long_as_it_was_lost(source_of, lines_of) -> None:
    off, on = (
        minute(next(x["at"] for x in lines_of("20260912") if x["kind"] == kind))
        for kind in ("steam.stopped", "steam.again")
    )
    drawn = timeline(source_of().state)
    assert drawn is not None and len(drawn.lost) == 1
    closed = [x for x in lines_of("20260912") if x["kind"].startswith(("step.", "gate."))]
    span = minute(closed[-1]["at"]) - minute(lines_of("20260912")[0]["at"])
    assert drawn.lost[0].width == pytest.approx(ROOM * (on - off) / span, abs=0.2)


def test_everything_stays_in_the_picture(source_of) -> None:
    """Also where a session lay open for weeks, and where the wall clock was set back in it."""
    state = source_of().state
    for shift_s in (-86_400, 0, 30 * 86_400, 4000 * 86_400):
        steps = dict(state.steps)
        last = max(steps, key=lambda s: steps[s].at_ns)
        steps[last] = msgspec.structs.replace(steps[last], at_ns=steps[last].at_ns + shift_s * 10**9)
        drawn = timeline(msgspec.structs.replace(state, steps=steps))
        assert drawn is not None and 1 <= len(drawn.ticks) <= 12
        for bar in drawn.bars:
            assert bar.x > 0 and bar.width > 0 and bar.x + bar.width <= WIDTH - RIGHT_ROOM + 3.1
        for mark in (*drawn.ticks, *drawn.lost):
            assert LABEL_WIDTH <= mark.x <= WIDTH - RIGHT_ROOM


def test_no_step_closed_no_picture(source_of) -> None:
    assert timeline(msgspec.structs.replace(source_of().state, steps={})) is None
