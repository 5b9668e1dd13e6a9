"""The timeline in signs: bars where the session's own times put them."""

from __future__ import annotations

from datetime import datetime, timedelta

import msgspec

from studio.report.session_head import when_told
from studio.report.timeline import axis_of, session_bars, stage_rows


def minute(at: str) -> float:
    return datetime.fromisoformat(at).timestamp() / 60


def test_everything_stays_in_the_picture(source_of) -> None:
    """Also where a session lay open for weeks, and where the wall clock was set back in it."""
    state = source_of().state
    for shift_s in (-86_400, 0, 30 * 86_400, 4000 * 86_400):
        steps = dict(state.steps)
        last = max(steps, key=lambda s: steps[s].at_ns)
        late = msgspec.structs.replace(
            steps[last].moment, wall_ns=steps[last].at_ns + shift_s * 10**9, boot="another"
        )
        steps[last] = msgspec.structs.replace(steps[last], moment=late)
        rows = stage_rows(msgspec.structs.replace(state, steps=steps), 76)
        drawn = ["".join(text for text, _ in row) for row in rows]
        assert len(drawn) == 9 and all(len(row) <= 76 for row in drawn)
        assert all(set("█▄●") & set(row) for row in drawn[:-1])


def test_no_step_closed_no_picture(source_of) -> None:
    assert stage_rows(msgspec.structs.replace(source_of().state, steps={}), 76) == ()


def test_a_row_shows_hands_clock_and_alarm_where_the_file_has_them(source_of, lines_of) -> None:
    """The presoak: by hand from the ready bench to the soak, then its clock, then the alarm; nothing cut."""
    lines, state = lines_of("20260912"), source_of("20260912").state

    def closed(step: str) -> float:
        return minute(next(x["at"] for x in lines if x["data"].get("step") == step))

    start, end = minute(lines[0]["at"]), closed("record.close")
    alarm = next(x for x in lines if x["kind"] == "alarm.raised" and x["data"]["level"] == "due")
    for width in (56, 76, 96):
        rows = ["".join(text for text, _ in row) for row in stage_rows(state, width)]
        assert all(len(row) <= width for row in rows) and len(rows) == 9
        bars, times = {row.split()[0]: row for row in rows[:-1]}, rows[-1]
        column = rows[0].index("█")
        wide = axis_of(session_bars(state), width - column).wide

        def cell(at: float, column: int = column, wide: int = wide) -> int:
            return column + int((at - start) / (end - start) * wide)

        soak, hour = bars["presoak"], cell(minute("2026-09-12T09:00+00:00"))
        assert soak[cell(closed("presoak.in") - 0.5)] == "█"
        assert soak[cell(closed("presoak.in") + 9)] == "▄"
        assert soak[cell(minute(alarm["at"]))] == "●" and soak.endswith(" 36 min")
        assert times.split()[0] == "07:04" and (width < 76 or times[hour : hour + 5] == "09:00")


def test_a_session_of_two_days_says_both_and_its_axis_keeps_them_apart(source_of, lines_of) -> None:
    """The rinse the next morning, fourteen hours after the heat."""
    source = source_of("20260912")
    state, steps = source.state, dict(source.state.steps)
    for step_id, record in steps.items():
        if step_id.startswith(("rinse.", "record.")):
            moved = msgspec.structs.replace(
                record.moment, wall_ns=record.at_ns + 14 * 3600 * 10**9, boot="another"
            )
            steps[step_id] = msgspec.structs.replace(record, moment=moved)
    state = msgspec.structs.replace(state, steps=steps)
    closing = next(x["at"] for x in lines_of("20260912") if x["data"].get("step") == "record.close")
    end = datetime.fromisoformat(closing) + timedelta(hours=14)
    assert when_told(state) == f"12 Sep 2026, 07:04 to 13 Sep, {end:%H:%M}"
    rows = ["".join(text for text, _ in row) for row in stage_rows(state, 76)]
    assert "13 Sep" in rows[-1] and rows[-1].split()[0] == "07:04"
    assert rows[-2].startswith("record") and rows[-2].rstrip().endswith("█")
