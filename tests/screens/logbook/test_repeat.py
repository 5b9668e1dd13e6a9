"""The repeat screen on a studio of real files: weight, base, what changes, and the plan that is saved."""

from __future__ import annotations

import shutil
import threading
import tomllib
from pathlib import Path

import pytest
from textual.widgets import Input
from textual.worker import WorkerCancelled

from studio.screens.app import PotsideApp
from studio.screens.logbook import repeat as repeat_screen
from studio.screens.logbook.repeat import RepeatScreen
from studio.screens.logbook.session import SessionScreen
from studio.screens.worksheet import WorksheetScreen
from studio.services.studio import Services
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def studio(tmp_path):
    """The sample shelf and the oldest sample session, on the striped blank."""
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    (tmp_path / "sessions").mkdir()
    oldest = min((ROOT / "sessions").glob("*tidewrack*.jsonl"))
    shutil.copy(oldest, tmp_path / "sessions")
    return tmp_path


@pytest.fixture
def app(studio):
    services = Services(StudioFolder(studio), SystemClock())
    (path,) = (studio / "sessions").glob("*.jsonl")
    return PotsideApp(
        lambda: services, lambda: SessionScreen(services, path.name, services.read(path.name)), bounce_s=0.0
    )


def plans(studio):
    return sorted(path.name for path in (studio / "shared" / "plans").iterdir())


async def on_repeat(app, pilot, wait_until):
    await wait_until(pilot, lambda: isinstance(app.screen, SessionScreen))
    await pilot.press("r")
    await worked_out(app, pilot, wait_until)


async def worked_out(app, pilot, wait_until):
    await wait_until(pilot, lambda: isinstance(app.screen, RepeatScreen) and app.screen.repeated is not None)


async def test_another_weight_and_base_are_tried_and_saved(app, studio, screen_text, wait_until):
    before = plans(studio)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await on_repeat(app, pilot, wait_until)
        assert "from what you did" in screen_text(app)
        await pilot.press(*"300", "space", "g", "tab", "down", "down")
        await wait_until(pilot, lambda: "-> slip wool skein" in screen_text(app))
        await worked_out(app, pilot, wait_until)
        shown = screen_text(app)
        assert "blank -> skein" in shown and "skein, 100 g, wool 100 %" in shown
        while "fibre painted rust" not in (page := screen_text(app)):
            await pilot.press("pagedown")
            await wait_until(pilot, lambda page=page: screen_text(app) != page, "another page")
        await wait_until(pilot, lambda: "fibre painted rust" in screen_text(app))
        assert plans(studio) == before
        await pilot.press("enter")
        await wait_until(pilot, lambda: isinstance(app.screen, WorksheetScreen))
        await wait_until(pilot, lambda: "dry fibre, a skein" in screen_text(app))
        assert "300 g" in screen_text(app)
    (saved,) = set(plans(studio)) - set(before)
    assert saved == "tidewrack-stripes-2.plan.toml"  # the first name is the plan the session came from
    plan = tomllib.loads((studio / "shared" / "plans" / saved).read_text())
    assert (plan["fibre"]["base"], plan["fibre"]["dry_weight"]) == ("slip wool skein", "300 g")


async def test_enter_saves_though_what_was_typed_is_still_worked_out(app, studio, wait_until, monkeypatch):
    before, worked, done = plans(studio), repeat_screen.repeat_session_as, threading.Event()
    weights = []

    def slowly(*told):
        weights.append(told[-2])
        assert done.wait(20)
        return worked(*told)

    async with app.run_test(size=(80, 24)) as pilot:
        await on_repeat(app, pilot, wait_until)
        monkeypatch.setattr(repeat_screen, "repeat_session_as", slowly)
        await pilot.press(*"300", "space", "g", "enter")
        await wait_until(pilot, lambda: weights == ["300 g"] * 2, "by Enter, and because the typing paused")
        done.set()
        await wait_until(pilot, lambda: isinstance(app.screen, WorksheetScreen))
    assert len(plans(studio)) == len(before) + 1


async def test_what_is_worked_out_after_the_screen_is_left_is_drawn_nowhere(
    app, wait_until, monkeypatch
) -> None:
    worked, asked, done = repeat_screen.repeat_session_as, threading.Event(), threading.Event()

    def slowly(*told):
        asked.set()
        assert done.wait(20)
        return worked(*told)

    async with app.run_test(size=(80, 24)) as pilot:
        await on_repeat(app, pilot, wait_until)
        screen = app.screen
        monkeypatch.setattr(repeat_screen, "repeat_session_as", slowly)
        late = screen.work_out()
        await wait_until(pilot, asked.is_set)
        await pilot.press("escape")
        await wait_until(pilot, lambda: not screen.is_attached)
        done.set()
        with pytest.raises(WorkerCancelled):
            await late.wait()


@pytest.mark.deep
async def test_every_save_is_a_file_of_its_own(app, studio, wait_until):
    first = (studio / "shared" / "plans" / "tidewrack-stripes.plan.toml").read_bytes()
    async with app.run_test(size=(80, 24)) as pilot:
        for _ in range(2):
            await on_repeat(app, pilot, wait_until)
            await pilot.press("enter")
            await wait_until(pilot, lambda: isinstance(app.screen, WorksheetScreen))
            await pilot.press("escape")
    saved = {"tidewrack-stripes-2.plan.toml", "tidewrack-stripes-3.plan.toml"}
    assert saved <= set(plans(studio))
    texts = [(studio / "shared" / "plans" / name).read_text() for name in sorted(saved)]
    titles = [tomllib.loads(text)["title"] for text in texts]
    assert len({*titles, tomllib.loads(first.decode())["title"]}) == 3
    assert (studio / "shared" / "plans" / "tidewrack-stripes.plan.toml").read_bytes() == first


async def test_a_weight_that_cannot_be_is_said_and_nothing_is_saved(app, studio, screen_text, wait_until):
    before = plans(studio)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await on_repeat(app, pilot, wait_until)
        await pilot.press(*"150", "enter")
        await wait_until(pilot, lambda: "number without a unit" in screen_text(app))
        assert app.screen.query_one(Input).value == "150" and isinstance(app.screen, RepeatScreen)
        await pilot.press("space", "g")
        await worked_out(app, pilot, wait_until)
        await wait_until(pilot, lambda: app.screen.trouble == "")
    assert plans(studio) == before


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40)])
@pytest.mark.one_in(3)
async def test_nothing_is_cut_and_escape_leads_back(app, size, screen_text, wait_until):
    async with app.run_test(size=size) as pilot:
        await on_repeat(app, pilot, wait_until)
        await pilot.press("tab", "up")
        await wait_until(pilot, lambda: app.screen.base.name == "pilot silk skein")
        await worked_out(app, pilot, wait_until)
        shown = screen_text(app)
        assert "Esc back" in shown and "…" not in shown and "▌on      pilot silk skein" in shown
        await pilot.press("escape")
        await wait_until(pilot, lambda: isinstance(app.screen, SessionScreen))
        assert "R repeat" in screen_text(app) and "Esc back" in screen_text(app)
