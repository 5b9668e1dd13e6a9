"""Edits of a plan: kept beside it while the keys rest, saved, given up, offered again; never written over another's."""

from __future__ import annotations

import asyncio
import errno
import threading
import tomllib
from typing import Any

import pytest

from studio.plan.draft.edits import Place
from studio.screens.app import PotsideApp
from studio.screens.home import HomeScreen
from studio.screens.keyed import Page
from studio.screens.plan import saving
from studio.screens.plan.opening import NewPlanScreen
from studio.screens.plan.plan import PlanScreen
from studio.services.plan_files import PlanFiles
from studio.store.disk import Disk


async def edit(pilot: Any, table: str, key: str, *keys: str) -> None:
    """Type into a field, in place of what it holds."""
    pilot.app.screen.fields.go_to(Place(table, None, key))
    await pilot.press("enter", "ctrl+u", *keys)


@pytest.fixture
def slow_keeping(monkeypatch):  # type: ignore[no-untyped-def]
    """Edits are written beside the plan only once they may be: what was written so far, and the leave to go on."""
    may, begun, done, keep = threading.Event(), [], [], PlanFiles.keep_unsaved

    def slowly(files, file, text):  # type: ignore[no-untyped-def]
        begun.append(text)
        assert may.wait(20)
        keep(files, file, text)
        done.append(text)

    monkeypatch.setattr(PlanFiles, "keep_unsaved", slowly)
    return may, begun, done


async def test_a_file_changed_meanwhile_is_not_written_over(opened, screen_text, wait_until) -> None:
    app, path = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        await edit(pilot, "", "title", *"Wrack line", "enter")
        theirs = path.read_text() + "\n# theirs\n"
        path.write_text(theirs)
        await pilot.press("s")
        await wait_until(pilot, lambda: "changed by something else" in screen_text(app))
        assert path.read_text() == theirs
        await pilot.press("escape")
        await wait_until(pilot, lambda: "NOT SAVED" in screen_text(app))
        await pilot.press("s")
        await wait_until(pilot, lambda: "changed by something else" in screen_text(app))
        await pilot.press("a")
        await wait_until(pilot, lambda: "wrack-line.plan.toml" in screen_text(app))
    assert path.read_text() == theirs
    assert tomllib.loads(path.with_name("wrack-line.plan.toml").read_text())["title"] == "Wrack line"


async def test_that_edits_cannot_be_kept_is_said_until_they_are(
    opened, screen_text, wait_until, monkeypatch
) -> None:
    app, path = opened()
    write_really, full = Disk.write, [True]

    def write(disk: Disk, descriptor: int, data: bytes) -> int:
        if full[0]:
            raise OSError(errno.ENOSPC, "No space left on device")
        return write_really(disk, descriptor, data)

    monkeypatch.setattr(Disk, "write", write)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        await edit(pilot, "fibre", "dry_weight", *"120 g")
        await wait_until(pilot, lambda: "cannot be kept" in screen_text(app))
        await pilot.press("enter", "escape", "k")
        await wait_until(pilot, lambda: isinstance(app.screen, PlanScreen))
        await pilot.pause(0.1)
        assert isinstance(app.screen, PlanScreen), "left with edits that are nowhere"
        full[0] = False
        await wait_until(pilot, lambda: "cannot be kept" not in screen_text(app))
        assert list(path.parent.glob(".*unsaved"))


async def test_where_edits_cannot_be_kept_they_can_be_given_up(
    opened, screen_text, wait_until, monkeypatch
) -> None:
    app, path = opened()
    before = path.read_text()

    def write(disk: Disk, descriptor: int, data: bytes) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Disk, "write", write)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        await edit(pilot, "fibre", "dry_weight", *"120 g", "enter")
        await wait_until(pilot, lambda: "Esc, then G, gives them up" in " ".join(screen_text(app).split()))
        await pilot.press("escape", "g")
        await wait_until(pilot, lambda: isinstance(app.screen, HomeScreen))
    assert path.read_text() == before and not list(path.parent.glob(".*unsaved"))


@pytest.mark.parametrize(("key", "there"), [("question_mark", Page), ("n", NewPlanScreen)])
async def test_a_key_right_after_the_one_that_leaves_a_plan_is_meant_for_home(
    studio_services, wait_until, key, there, burst
) -> None:
    app = PotsideApp(lambda: studio_services, bounce_s=0.0)
    path = studio_services.folder.shared / "plans" / "tidewrack-stripes.plan.toml"
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app.push_screen(PlanScreen(studio_services, studio_services.plan_files.read(str(path))))
        await pilot.pause()
        burst(app, "escape", key)
        await wait_until(pilot, lambda: [type(screen) for screen in app.screen_stack] == [HomeScreen, there])


async def test_no_key_edits_while_the_edits_before_it_are_written_and_the_plan_is_left(
    opened, screen_text, wait_until, slow_keeping, burst
) -> None:
    app, path = opened()
    may, _, done = slow_keeping
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        await edit(pilot, "", "title", *"Wrack line", "enter")
        screen = app.screen
        app.screen.fields.go_to(Place("", None, "title"))
        await pilot.press("escape")
        await wait_until(pilot, lambda: "edits that are not saved" in screen_text(app))
        asyncio.get_running_loop().call_later(0.3, may.set)
        burst(app, "k", "delete")
        await wait_until(pilot, lambda: screen not in app.screen_stack and bool(done))
        assert screen.saving.files.read(str(path)).unsaved == screen.draft.text


async def test_what_was_being_written_beside_a_plan_is_not_left_there_when_it_is_saved(
    opened, screen_text, wait_until, slow_keeping, burst
) -> None:
    app, path = opened()
    may, begun, done = slow_keeping
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        await edit(pilot, "fibre", "dry_weight", *"120 g", "enter")
        screen = app.screen
        await wait_until(pilot, lambda: bool(begun))
        await pilot.press("escape")
        await wait_until(pilot, lambda: "edits that are not saved" in screen_text(app))
        asyncio.get_running_loop().call_later(0.3, may.set)
        burst(app, "s")
        await wait_until(pilot, lambda: screen not in app.screen_stack and bool(done))
        assert not list(path.parent.glob(".*unsaved"))


async def test_what_was_typed_last_is_kept_beside_the_plan_when_a_signal_comes(
    opened, screen_text, wait_until, monkeypatch
) -> None:
    monkeypatch.setattr(saving, "RESTS_S", 60.0)
    app, path = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        await edit(pilot, "fibre", "dry_weight", *"120 g")
        files, text = app.screen.saving.files, app.screen.draft.text
        app._stop_for(15)
    assert files.read(str(path)).unsaved == text and "120 g" in text


async def test_a_signal_ends_the_program_also_where_nothing_can_be_kept(
    opened, screen_text, wait_until, monkeypatch
) -> None:
    def broken(_: PlanScreen) -> None:
        raise RuntimeError("broken")

    monkeypatch.setattr(PlanScreen, "keep_typed", broken)
    app, _ = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        with pytest.raises(RuntimeError):
            app._stop_for(15)
        assert app.return_value == 128 + 15


async def test_of_edits_that_were_taken_back_nothing_is_left_beside_the_plan(
    opened, screen_text, wait_until
) -> None:
    app, path = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        await edit(pilot, "fibre", "dry_weight", *"120 g", "enter")
        await wait_until(pilot, lambda: bool(list(path.parent.glob(".*unsaved"))))
        await pilot.press("u", "escape")
        await wait_until(pilot, lambda: not isinstance(app.screen, PlanScreen))
        await wait_until(pilot, lambda: not list(path.parent.glob(".*unsaved")))


async def test_unsaved_edits_are_offered_again(opened, screen_text, wait_until) -> None:
    app, path = opened()
    before = path.read_text()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        await edit(pilot, "fibre", "dry_weight", *"120 g")
        # Half typed, never taken: it is beside the plan as soon as the keys rest.
        await wait_until(pilot, lambda: bool(list(path.parent.glob(".*unsaved"))))
    assert path.read_text() == before
    again, _ = opened()
    async with again.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "edits of" in screen_text(again))
        await pilot.press("t")
        await wait_until(pilot, lambda: "NOT SAVED" in screen_text(again))
        again.screen.fields.go_to(Place("fibre", None, "dry_weight"))
        assert again.screen.fields.row().value == "120 g"
        await pilot.press("u")
        await wait_until(pilot, lambda: "  saved" in screen_text(again))
        await pilot.press("y", "escape")
        await wait_until(pilot, lambda: "edits that are not saved" in screen_text(again))
        await pilot.press("s")
        await wait_until(pilot, lambda: "  plans" in screen_text(again))
    assert tomllib.loads(path.read_text())["fibre"]["dry_weight"] == "120 g" and not list(
        path.parent.glob(".*unsaved")
    )
