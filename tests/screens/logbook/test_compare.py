"""Marking sessions in the logbook and holding them side by side."""

from __future__ import annotations

import os
import re

import pytest

from studio.logbook.entry import LogbookRow
from studio.screens.app import PotsideApp
from studio.screens.logbook.logbook import CompareScreen, LogbookScreen
from studio.services.studio import Services
from studio.session import commands as c
from studio.session.after.review import ReadSession
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock
from tests.screens.conftest import ROOT


@pytest.fixture
def logbook(services, begin):
    """Five sessions that were left at the soak, each with another dry weight."""
    states = {}
    for n in range(5):
        session = begin(to="ready.weight")
        session.do(c.Measure("ready.weight", f"{100 + n}", meant=True))
        states[f"k{n}"] = session.state
    services.cards = [
        LogbookRow(key=k, title=f"Stripes {k}", opened_ns=s.opened.wall_ns, standing="open", about="")
        for k, s in states.items()
    ]
    services.read = lambda key: ReadSession(f"{key}.jsonl", states[key], ())
    return PotsideApp(lambda: services, lambda: LogbookScreen(services), bounce_s=0.0)


def marks(text):
    """Of the rows, which begin with their mark or their date."""
    rows = (re.match(r"[▌ ]*([*\d]).*Stripes k", line) for line in text.splitlines())
    return [row[1] for row in rows if row]


async def test_two_are_marked_and_compared(logbook, screen_text, wait_until):
    async with logbook.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Stripes k4" in screen_text(logbook))
        await pilot.press("space", "down", "down", "space")
        await wait_until(pilot, lambda: marks(screen_text(logbook)) == ["*", "2", "*", "2", "2"])
        await pilot.press("c")
        await wait_until(pilot, lambda: "differences are against A" in screen_text(logbook))
        shown = screen_text(logbook)
        assert "Tidewrack stripes" in shown and "Dry fibre weighed, g" in shown
        assert "2.0 % more" in shown
        await pilot.press("escape")
        await wait_until(pilot, lambda: marks(screen_text(logbook)) == ["*", "2", "*", "2", "2"])


async def test_space_again_takes_the_mark_away_and_four_is_the_most(logbook, screen_text, wait_until):
    async with logbook.run_test(size=(80, 24), notifications=True) as pilot:
        await wait_until(pilot, lambda: "Stripes k4" in screen_text(logbook))
        await pilot.press("space", "space")
        await wait_until(pilot, lambda: marks(screen_text(logbook)) == ["2"] * 5)
        await pilot.press(*["space", "down"] * 5)
        await wait_until(pilot, lambda: marks(screen_text(logbook)) == ["*", "*", "*", "*", "2"])
        assert len(logbook.screen.marked) == 4


async def test_one_alone_is_not_compared(logbook, screen_text, wait_until):
    async with logbook.run_test(size=(80, 24), notifications=True) as pilot:
        await wait_until(pilot, lambda: "Stripes k4" in screen_text(logbook))
        await pilot.press("space", "c")
        await pilot.pause(0.1)
        assert isinstance(logbook.screen, LogbookScreen)
        assert "Space mark" in screen_text(logbook)


async def test_two_sessions_are_compared_strip_over_strip_in_words(screen_text, wait_until) -> None:
    services = Services(StudioFolder(ROOT), SystemClock())
    keys = [
        next(name for name in os.listdir(ROOT / "sessions") if name.startswith(day))
        for day in ("20260912", "20261031")
    ]
    app = PotsideApp(
        lambda: services, lambda: CompareScreen([services.read(key) for key in keys]), bounce_s=0.0
    )
    async with app.run_test(size=(80, 40)) as pilot:
        await wait_until(pilot, lambda: "Fibre squeezed" in screen_text(app))
        rows = screen_text(app).splitlines()
        strips = [n for n, row in enumerate(rows) if row.strip().startswith("█r██")]
        assert len(strips) == 2 and rows[strips[0]] == rows[strips[1]], "one plan, one width"
        values = [
            row
            for row in rows
            if row.startswith("    Fibre squeezed") or row.startswith("    Paint for rust")
        ]
        assert [row.split()[-1] for row in values] == ["less", "more"]
