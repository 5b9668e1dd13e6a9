"""The logbook on screen with a real studio folder: looking for words, and out of it again."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from textual.widgets import OptionList

from studio.screens.app import PotsideApp
from studio.screens.logbook.logbook import LogbookScreen
from studio.services.studio import Services
from studio.store.folder import StudioFolder

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def studio_services(tmp_path: Path, monkeypatch, clock) -> Services:
    """The four painted sample sessions (tests/samples/make_sessions.py), and a cache of its own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    (tmp_path / "studio" / "shared").mkdir(parents=True)
    (tmp_path / "studio" / "sessions").mkdir(parents=True)
    for path in (
        path for month in ("202609", "202610") for path in (ROOT / "sessions").glob(f"{month}*.jsonl")
    ):
        shutil.copy2(path, tmp_path / "studio" / "sessions")
    return Services(StudioFolder(tmp_path / "studio"), clock)


def listed(app: PotsideApp) -> list[str]:
    return [option.id or "" for option in app.screen.query_one(OptionList).options]


async def test_words_are_found_while_they_are_typed(studio_services, screen_text, wait_until) -> None:
    app = PotsideApp(lambda: studio_services, lambda: LogbookScreen(studio_services), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        # Nothing is indexed yet: the screen takes the files in by itself.
        await wait_until(pilot, lambda: len(listed(app)) == 4, "all four")
        await pilot.press("slash", *"goR")
        await wait_until(pilot, lambda: 'Logbook   1 with "goR"' in screen_text(app), "the gorse")
        assert listed(app) == ["20260926-0830-kelp-forest-3c95.jsonl"]
        await pilot.press(*"[x]")
        await wait_until(pilot, lambda: listed(app) == [], "nothing")
        await pilot.press("escape")
        await wait_until(pilot, lambda: len(listed(app)) == 4, "Esc clears")
        await pilot.press("slash", *"small ha", "enter")
        await wait_until(pilot, lambda: len(listed(app)) == 1, "the lantern")
        await pilot.press("enter")
        await wait_until(pilot, lambda: "10 Oct 2026, 09:15 to 13:" in screen_text(app), "its page")
        await pilot.press("escape")
        await wait_until(
            pilot, lambda: listed(app) == ["20261010-0915-lantern-floats-bb31.jsonl"], "still found"
        )
        await pilot.press("escape")
        await wait_until(pilot, lambda: len(listed(app)) == 4, "Esc clears")
        assert isinstance(app.screen, LogbookScreen)
        await pilot.press("escape")
        await wait_until(pilot, lambda: not isinstance(app.screen, LogbookScreen), "Esc leaves")


@pytest.mark.deep
async def test_no_more_than_500_rows_are_shown(studio_services, screen_text, wait_until) -> None:
    for n in range(520):
        name = f"20260101-{n:04d}-torn-{n:04x}.jsonl"
        (studio_services.folder.sessions / name).write_bytes(b"no session\n")
    app = PotsideApp(lambda: studio_services, lambda: LogbookScreen(studio_services), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "newest 500 of 524 shown" in screen_text(app), "the count")
        assert len(listed(app)) == 500


async def test_leaving_interrupts_the_reading(studio_services, screen_text, wait_until, monkeypatch) -> None:
    stopped: list[bool] = []

    def slow(progress, stop) -> int:  # type: ignore[no-untyped-def]
        progress(1234, 10_000)
        while not stop():
            pass
        stopped.append(True)
        return 8766

    monkeypatch.setattr(studio_services, "read_logbook", slow)
    app = PotsideApp(lambda: studio_services, lambda: LogbookScreen(studio_services), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "reading 1234 of 10000" in screen_text(app), "progress")
        monkeypatch.undo()
        await pilot.press("escape")
        await wait_until(pilot, lambda: stopped == [True], "stopped")
