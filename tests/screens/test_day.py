"""The day on screen: counts by key, an order of work below, a time that is none."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from textual.widgets import Static

from studio.plan.preview import main_hue
from studio.report.day_rows import day_chart, day_json
from studio.screens.app import PotsideApp
from studio.screens.day import DayScreen
from studio.services.studio import Services
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock

ROOT = Path(__file__).resolve().parents[2]


async def test_a_day_is_laid_out_by_keys(tmp_path: Path, wait_until, screen_text) -> None:
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    (tmp_path / "sessions").mkdir()
    services = Services(StudioFolder(tmp_path), SystemClock())
    app = PotsideApp(lambda: services, lambda: DayScreen(services), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        page = app.screen
        assert isinstance(page, DayScreen)
        await wait_until(pilot, lambda: bool(page.plans), "the plans")
        await pilot.press("plus", "plus", "down", "plus", "p")
        await wait_until(pilot, lambda: page.sheet is not None and page.sheet.pieces == 3, "an order of work")
        await wait_until(pilot, lambda: page.sheet is not None and page.sheet.places == 2, "two places")
        await wait_until(pilot, lambda: "your hands" in screen_text(app) and "2 x" in screen_text(app))
        assert "bench, kit, labels, weights" in screen_text(app)
        await pilot.press("right", "right")
        second = page.sheet.lines[2].task.what
        await wait_until(
            pilot, lambda: any("▌ +0:" in row and second in row for row in screen_text(app).splitlines())
        )
        await pilot.resize_terminal(60, 20)
        await wait_until(pilot, lambda: page.size.width == 60)
        told = str(page.query_one("#day-sheet", Static).content)
        assert "your hands" in told and "order of work" in told
        await pilot.resize_terminal(80, 24)
        await pilot.press("f", *"nine", "enter")
        await wait_until(pilot, lambda: screen_text(app).splitlines()[-1].lstrip().startswith("A time;"))
        await wait_until(
            pilot, lambda: "no time of day" in screen_text(app), "a refusal that keeps what was typed"
        )
        await pilot.press(*["backspace"] * 4, *"17:00", "enter")
        await wait_until(
            pilot, lambda: page.sheet is not None and page.sheet.start_of_day_min is not None, "a start"
        )
        assert page.sheet is not None
        assert page.sheet.at(page.sheet.finish_min) == 17 * 60
        jars = next(n for n, line in enumerate(page.sheet.lines) if line.task.word == "mix")
        await pilot.press(*["right"] * jars, "w")
        await wait_until(pilot, lambda: "powders x" in screen_text(app), "the reasons")


def test_the_bars_lie_where_the_tasks_do(tmp_path: Path) -> None:
    """By the day's own JSON: hands are busy in every task and free in every pause, the steamer from in to out."""
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    (tmp_path / "sessions").mkdir()
    plans = [
        str(tmp_path / "shared/plans" / f"{name}.plan.toml") for name in ("kelp-forest", "tidewrack-stripes")
    ]
    sheet = Services(StudioFolder(tmp_path), SystemClock()).day([(key, 1) for key in plans], 1, start=540.0)
    told = json.loads(day_json(sheet))
    wide = 271
    hands, free, steamer, *pieces = day_chart(sheet, wide)

    def cell(minute: float) -> int:
        return int(minute / told["finish_min"] * wide)

    assert [row.label for row in pieces] == ["T Tidewrack stripes", "K Kelp forest"]
    for task in told["tasks"]:
        begin, end = task["start_min"], task["start_min"] + task["hands_min"]
        assert all(sign != " " or who for sign, who in hands.cells[cell(begin) : cell(end)]), task
        assert {who for _, who in hands.cells[cell(begin + 1) : cell(end - 1)]} <= {task["for"]}
        pause = hands.cells[cell(begin - task["free_before_min"]) + 1 : cell(begin)]
        assert all(sign == " " for sign, _ in pause), task
    at = {(task["what"], task["for"]): task for task in told["tasks"]}
    for piece, named in zip(pieces, ("Tidewrack stripes", "Kelp forest"), strict=True):
        (into, out) = (at[what, named]["start_min"] for what in ("into the steamer", "out of the steamer"))
        own = [n for n, (_, who) in enumerate(steamer.cells) if who == named]
        assert abs(own[0] - cell(into)) <= 1 and abs(own[-1] - cell(out + 2)) <= 2
        assert piece.cells[cell(out) + 10] == ("▄", named), "it cools"
    assert f"{at['out of the steamer', 'Tidewrack stripes']['free_before_min']:.0f} min free" in "".join(
        sign for sign, _ in free.cells
    )


async def test_a_plan_whose_title_begins_like_another_has_its_own_letter_and_colour(
    tmp_path: Path, wait_until, screen_text
) -> None:
    """Kelp, dyed in one colour, and Kelp forest: the row of each in its own, the hands' row with two letters."""
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    (tmp_path / "sessions").mkdir()
    plans = tmp_path / "shared/plans"
    for path in plans.glob("*.plan.toml"):
        if path.name not in ("kelp-forest.plan.toml", "tidewrack-stripes.plan.toml"):
            path.unlink()
    tide = plans / "tidewrack-stripes.plan.toml"
    tide.write_text(tide.read_text().replace('title = "Tidewrack stripes"', 'title = "Kelp"'))
    services = Services(StudioFolder(tmp_path), SystemClock())
    app = PotsideApp(lambda: services, lambda: DayScreen(services), bounce_s=0.0)
    async with app.run_test(size=(160, 48)) as pilot:
        page = app.screen
        assert isinstance(page, DayScreen)
        await wait_until(pilot, lambda: len(page.plans) == 2, "the plans")
        await pilot.press("plus", "down", "plus")
        await wait_until(pilot, lambda: page.sheet is not None and page.sheet.pieces == 2)
        shown = page.query_one("#day-sheet", Static).content.split("\n")
        for plan in page.plans:
            row = next(line for line in shown if line.plain.strip()[2:].startswith(f"{plan.title}  "))
            styles = {span.style for span in row.spans if str(span.style).startswith("#")}
            assert styles == {main_hue(plan.bands)}, plan.title
        hands = next(line.plain for line in shown if "your hands" in line.plain)
        letters = {line.plain.strip()[0] for line in shown if line.plain.strip()[1:].startswith(" Kelp")}
        assert len(letters) == 2 and all(f" {letter} paint" in hands.replace("█", " ") for letter in letters)
