"""One session's page against the lines of its file, read by json: stages, clocks, alarms, pictures, late remarks."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

import msgspec
import pytest

from studio.craft import shade
from studio.plan import sheet
from studio.quantity import reading_in
from studio.report.export_html import session_markdown
from studio.report.exports import events_csv, figures_csv
from studio.report.labels import jar_labels
from studio.report.printing import Row, Section
from studio.report.session_head import facts
from studio.report.session_page import alarm_rows, clock_rows, picture_rows, session_page
from studio.report.telling import tell
from studio.session.after.comparing import compare
from studio.session.after.observing import observe
from studio.session.after.real_cost import real_cost, used_up
from studio.session.events import Kept
from studio.session.folding import replay
from studio.session.kinds.notes import PhotoAdded
from studio.session.sheet import sheet_now
from studio.session.state import Earlier, Note
from tests.once import SHEETS


def texts(told: Section | Iterable[Row]) -> list[str]:
    rows = told.rows if isinstance(told, Section) else told
    return ["".join(text for text, _ in row) for row in rows]


def section_of(source, name: str) -> list[str]:  # type: ignore[no-untyped-def]
    return texts(next(s for s in session_page(source.state, source.name, (), 80) if s.name == name))


def test_every_alarm_stands_with_its_time_and_latency(source_of, lines_of) -> None:
    lines = lines_of("20260912")
    due = [x for x in lines if x["kind"] == "alarm.raised" and x["data"]["level"] in ("due", "low")]
    answers = [
        x["data"] if x["kind"] == "alarm.acknowledged" else ended
        for x in lines
        for ended in x["data"].get("ends", [{}])
    ]
    answered = {answer["alarm"]: answer["latency_s"] for answer in answers if answer}
    rows = texts(alarm_rows(source_of("20260912").state))
    assert len(rows) == len(due) > 3
    offset = lines[0]["data"]["utc_offset_min"]
    for row, line in zip(rows, due, strict=True):
        at = datetime.fromisoformat(line["at"]).timestamp() + 60 * offset
        assert row.startswith(f"{int(at // 3600) % 24:02}:{int(at // 60) % 60:02}")
        how = "answered" if line["data"]["level"] == "due" else "ended"
        assert row.endswith(f"{how} after {answered[line['n']]:.0f} s")


def test_an_alarm_that_was_late_or_never_answered_says_so(source_of) -> None:
    state = source_of("20260912").state
    first, second, *rest = (a for a in state.alarms if a.level == "due")
    late = msgspec.structs.replace(first, late_s=240.0)
    open_ = msgspec.structs.replace(second, acknowledged_after_s=None)
    rows = texts(alarm_rows(msgspec.structs.replace(state, alarms=(late, open_, *rest))))
    assert "came 4 min late, answered after" in rows[0] and rows[1].endswith("not answered")


def test_a_clock_tells_what_was_set_what_ran_and_the_difference(source_of, lines_of) -> None:
    lines = lines_of("20260912")
    (ran_s,) = [
        stopped["elapsed_s"]
        for x in lines
        for stopped in x["data"].get("stops", ())
        if stopped["timer"] == "presoak"
    ]
    row = next(r for r in texts(clock_rows(source_of("20260912").state)) if r.startswith("presoak"))
    assert "set for 30 min" in row and row.endswith(f"{ran_s - 1800:.0f} s longer")


def test_one_steam_has_one_length_in_the_facts_and_in_its_clock(source_of) -> None:
    """57 min 51 s are 58 min to whoever rounds; they were 57 to whoever cut."""
    state = source_of("20260912").state
    steam = msgspec.structs.replace(state.timers["steam"], stopped_after_s=57 * 60 + 51.0)
    ended = msgspec.structs.replace(state, timers={**state.timers, "steam": steam})
    (row,) = [r for r in texts(clock_rows(ended)) if r.startswith(steam.label)]
    assert "ran 58 min" in row and facts(ended)["steam"].startswith("58 min")


def test_the_page_opens_with_when_it_was_and_what_it_is_remembered_by(source_of, lines_of) -> None:
    """From the first line's time to the last closed step's, by the file's own times; weight and ratings as typed."""
    lines, source = lines_of("20260912"), source_of("20260912")
    closing = max(x["at"] for x in lines if x["kind"] == "gate.passed")
    took = (datetime.fromisoformat(closing) - datetime.fromisoformat(lines[0]["at"])).total_seconds() / 60
    for width in (56, 76, 116):
        head, known = (texts(s) for s in session_page(source.state, source.name, (), width)[:2])
        assert all(len(line) <= width for line in (*head, *known))
        assert f"12 Sep 2026, 07:04 to {closing[11:16]}" in " ".join(head) and head[-1].endswith(
            "finished   file whole"
        )
        assert f"time      {took // 60:.0f} h {took % 60:.0f} min, by hand " in "\n".join(known)
        assert "fibre     101 g harbour sock blank" in "\n".join(known)
        (rating,) = (
            x["data"]["value"] for x in lines if x["data"].get("step") == "record.colour-went-through"
        )
        assert f"colour went through  {'■' * int(rating):□<5}" in "\n".join(known)
    (weight,) = (x["data"] for x in lines if x["kind"] == "corrected")
    assert weight["value"] == 101.0


def test_pictures_are_numbered_and_later_remarks_have_their_day(source_of) -> None:
    source = source_of("20260912")
    state = source.state
    photos = (
        Kept(2, state.opened, PhotoAdded("photos/a.jpg", "the edge")),
        Kept(3, state.opened, PhotoAdded("photos/\x1b.jpg", "")),
    )
    later = Note(99, state.opened.wall_ns + 40 * 86_400 * 10**9, "faded", addendum=True)
    state = msgspec.structs.replace(state, things=photos, notes=(*state.notes, later))
    rows = texts(picture_rows(state))
    assert rows[0].startswith("1  ") and rows[0].endswith("photos/a.jpg  the edge")
    assert rows[1].startswith("2  ") and "\\x1b.jpg" in rows[1]
    notes = next(s for s in session_page(state, source.name, (), 80) if s.name == "notes")
    assert texts(notes)[-1].startswith("2026-10-22 "), "40 days after 2026-09-12"


@pytest.fixture
def other_formulas(monkeypatch: pytest.MonkeyPatch) -> Any:
    """As a later version might have them: stock, dye and depth come out a tenth more."""

    def change() -> None:
        for name in ("stock_ml", "dye_in_stock_g", "depth_percent"):
            was = getattr(shade, name)
            monkeypatch.setattr(shade, name, lambda *a, was=was: was(*a) * 1.1)
        forget()

    def forget() -> None:
        sheet._kept.cache_clear()
        SHEETS.clear()

    yield change
    forget()


@pytest.mark.parametrize("beginning", ["20260912", "20260926", "20261031", "20261107"])
def test_a_closed_session_shows_its_file_whatever_became_of_the_formulas(
    source_of, other_formulas, beginning: str
) -> None:
    source, other = source_of(beginning), source_of("20261114").state
    still_open = replay([x for x in source.events if x.kind != "session.finished"])

    def all_of_it() -> list[Any]:
        return [
            session_page(source.state, source.name, (), 80),
            session_markdown(source),
            figures_csv(source),
            jar_labels(source.state, source.name),
            used_up(source.state),
            real_cost(source.state),
            compare([source.state, other]),
            observe(source.state),
            sheet_now(source.state),
        ]

    before, open_before = all_of_it(), sheet_now(still_open)
    money = ("cost.", "price.")  # what the clocks cost is counted with them, see below
    closed, asked = (
        {f.id: f for f in s.figures if not f.id.startswith(money)}
        for s in (sheet_now(source.state), open_before)
    )
    assert closed == asked, "what it came to stands in the file"
    if source.state.outcome == "finished":  # of one given up a clock ran on to the last line
        assert real_cost(source.state) == real_cost(still_open)
    other_formulas()
    assert sheet_now(still_open) != open_before, "only what is open is worked out anew"
    assert all_of_it() == before


def test_a_session_taken_up_by_another_version_says_so(source_of) -> None:
    source = source_of("20260912")
    first, last = source.events[0], source.events[20]
    taken = {"pid": 1, "step": "", "last_closed": ""}
    for program, says in ((first.data["program"], False), ("9.1", True)):
        event = msgspec.structs.replace(
            last, n=last.n + 1, kind="session.resumed", data={**taken, "program": program}
        )
        state = replay([*source.events[:21], event])
        row = next(r for r in texts(clock_rows(state)) if r.startswith("resumed"))
        told = f"by potside 9.1, begun with {first.data['program']}"
        assert (told in row, told in tell(event, state)) == (says, says), row


def test_in_us_units_a_page_turns_what_was_measured_and_no_word_of_the_dyer(source_of, monkeypatch) -> None:
    """Differences of degrees as differences, and the note and the table for other programs as they are."""
    state = source_of("20260912").state
    note = msgspec.structs.replace(state.notes[0], text="bath dropped 4 °C at 10:30, 100 mL of rust 2")
    state = msgspec.structs.replace(state, notes=[note])
    step = next(s for s in state.all_steps() if s.unit == "degC" and state.step(s.id).value is not None)
    record = msgspec.structs.replace(state.step(step.id), value=38.0, asked=40.0)
    state = msgspec.structs.replace(state, steps={**state.steps, step.id: record})
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])
    page = {s.name: texts(s) for s in session_page(state, "x", (), 110)}
    (row,) = (line for line in page["planned and actual"] if line.startswith(step.done))
    assert "100 °F" in row and row.rstrip().endswith("-3.6 °F")
    (row,) = (line for line in page["planned and actual"] if line.startswith("Dry fibre weighed"))
    assert "%" not in row, "100 and 101 g both read 3.55 oz"
    assert page["notes"][0].endswith(note.text)
    assert not any("°C" in line for line in page["planned and actual"] + page["at the bench"])
    event = next(e for e in source_of("20260912").events if e.kind == "reading.taken")
    assert "°F" in tell(event, state) and "°C" in events_csv(source_of("20260912"))


@pytest.mark.parametrize(("width", "off"), [(80, True), (57, False)])
def test_planned_and_actual_keep_within_the_width(source_of, width: int, off: bool) -> None:
    """An indent of two goes before each line; what a value is off by gives way first, then the names."""
    for beginning in ("20260912", "20261031"):
        source = source_of(beginning)
        page = session_page(source.state, source.name, (), width)
        head, *rows = texts(next(s for s in page if s.name == "planned and actual"))
        values = [line for line in rows if not line.startswith("    ")]
        assert len(values) > 10 and all(len(line) <= width - 2 for line in [head, *values])
        assert ("off by" in head) is off and "planned" in head and "actual" in head


def test_what_was_corrected_or_taken_back_stands_in_order_of_time(source_of) -> None:
    state = source_of("20260912").state
    first, second = [s for s in state.all_steps() if state.step(s.id).closed][:2]
    for step, at_ns, why in ((first, 2, "a slip"), (second, 1, "undo; corrected before: wrong jar")):
        earlier = (Earlier("5 g", at_ns * 3600 * 10**9, why),)
        state = msgspec.structs.replace(
            state,
            steps={**state.steps, step.id: msgspec.structs.replace(state.step(step.id), earlier=earlier)},
        )
    rows = texts(next(s for s in session_page(state, "x", (), 80) if s.name == "corrections"))
    ours = [row for row in rows if "was 5 g" in row]
    assert "wrong jar" in ours[0] and "a slip" in ours[1]
