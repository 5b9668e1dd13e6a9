"""One session as one HTML page that needs nothing else, to read on a screen or print."""

from __future__ import annotations

from studio.plaintext import clean
from studio.report.export_forecast import DrawnForecast
from studio.report.export_page import Paper, fill
from studio.report.export_source import PLANNED_AND_ACTUAL, VALUE_HEADS, Source, cells, figure_rows
from studio.report.export_timeline import timeline
from studio.report.session_page import day_and_time, session_page
from studio.session import review


def session_html(source: Source, *, paper: Paper = "A4", forecast: DrawnForecast | None = None) -> str:
    """The page: timeline, the sections of `session_page`, figures with reasons, the plan, and where it comes from.

    forecast: that of the session's plan, drawn; None where the plan allows none, and nothing is said then.
    """
    state = source.state
    _, *rest = session_page(state, source.name, (), 120)
    tables = [
        {
            "name": section.name,
            "values": section.name == PLANNED_AND_ACTUAL,
            "rows": cells(section),
            "columns": max(len(line) for line in section.rows),
        }
        for section in rest
        if section.name != "stages"
    ]
    cautions = [(clean(c.level), clean(c.text, limit=4000)) for c in state.worksheet.cautions]
    return fill(
        "session.html.j2",
        paper=paper,
        title=clean(state.title) or "Untitled session",
        outcome=state.outcome or "open",
        why=clean(state.outcome_why, limit=1000),
        when=day_and_time(state.opened.wall_ns, state.utc_offset_min),
        rehearsal=state.rehearsal_speed,
        ratings=review.ratings(state),
        remarks=[clean(r, limit=1000) for r in source.remarks],
        timeline=timeline(state),
        forecast=forecast,
        tables=tables,
        value_heads=VALUE_HEADS,
        figures=figure_rows(source),
        cautions=cautions,
        plan=clean(state.plan_text, limit=200_000, multiline=True),
        told=source.told,
    )
