"""The forecast screen, driven by keys; in colour, in signs, at three sizes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from syrupy.extensions.image import SVGImageSnapshotExtension

from studio.plan.forecast import foresee
from studio.plan.reading import read_plan
from studio.screens.app import PotsideApp
from studio.screens.draw.cloth import knobs
from studio.screens.forecast import ForecastScreen
from studio.shelf.reading import load_shelf
from tests.samples.pictures import as_kept

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def foreseen():  # type: ignore[no-untyped-def]
    path = ROOT / "shared/plans/tidewrack-stripes.plan.toml"
    return foresee(read_plan(path.read_text(), name=path.name), load_shelf(ROOT / "shared"))


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (120, 40)], ids=lambda s: f"{s[0]}x{s[1]}")
async def test_it_shows_cloth_bands_and_odds(
    services, foreseen, screen_text, wait_until, snapshot, size
) -> None:
    """Also as the picture that the README shows."""
    app = PotsideApp(lambda: services, lambda: ForecastScreen(foreseen), bounce_s=0.0)
    async with app.run_test(size=size) as pilot:
        await wait_until(
            pilot, lambda: "1000 paintings" in screen_text(app) or (size[0] == 60 and "▀" in screen_text(app))
        )
        shown = screen_text(app)
        assert "blank, first row on the left" in shown and "▀" in shown
        assert max(map(len, shown.splitlines())) <= size[0] and len(shown.splitlines()) <= size[1]
        if size == (80, 24):
            picture = as_kept(app.export_screenshot())
            assert picture == snapshot(name="picture", extension_class=SVGImageSnapshotExtension)


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_nothing_is_cut(services, foreseen, screen_text, wait_until, size) -> None:
    """Every thing that can be changed, every odds and every key is there at both sizes."""
    app = PotsideApp(lambda: services, lambda: ForecastScreen(foreseen), bounce_s=0.0)
    async with app.run_test(size=size) as pilot:
        await wait_until(pilot, lambda: "stitches 64" in screen_text(app))
        for words in (
            "rust rows 12",
            "deep water rows 12",
            "spread 0.8",
            "tilt 1",
            "wander 0.4",
            "chance",
            "Esc back",
        ):
            assert words in screen_text(app), words
        assert "…" not in screen_text(app) and screen_text(app).count("100 %") == 3
        await pilot.press("left")
        await wait_until(pilot, lambda: ">stitches 64" in screen_text(app))


def test_with_many_colours_the_chosen_one_stays_in_sight() -> None:
    values = [(f"colour {n} rows", "12") for n in range(30)]
    for chosen in range(30):
        lines = knobs(values, chosen, 60).plain.split("\n")
        assert len(lines) == 3 and max(map(len, lines)) <= 60
        assert sum(f">colour {chosen} rows 12" in line for line in lines) == 1


async def test_plus_and_minus_move_it(services, foreseen, screen_text, wait_until) -> None:
    app = PotsideApp(lambda: services, lambda: ForecastScreen(foreseen), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(
            pilot, lambda: "> rust rows 12" in screen_text(app) or ">rust rows 12" in screen_text(app)
        )
        await pilot.press("minus", "minus")
        await wait_until(pilot, lambda: "rust rows 10" in screen_text(app))
        await pilot.press("right", "right", "plus")
        await wait_until(pilot, lambda: "spread 0.9" in screen_text(app))
        await pilot.press("0")
        await wait_until(
            pilot, lambda: "rust rows 12" in screen_text(app) and "spread 0.8" in screen_text(app)
        )


async def test_without_colour_it_is_told_by_signs(
    services, foreseen, screen_text, wait_until, monkeypatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = PotsideApp(lambda: services, lambda: ForecastScreen(foreseen), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "~ mixed" in screen_text(app) and "rrr" in screen_text(app))
        shown = screen_text(app)
        assert (
            "▀" not in shown and "rrr" in shown and "r rust" in shown and re.search(r"([a-qs-z])\1\1", shown)
        )


async def test_the_key_card_leads_to_the_words_of_this_screen(
    services, foreseen, screen_text, wait_until
) -> None:
    app = PotsideApp(lambda: services, lambda: ForecastScreen(foreseen), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "wander" in screen_text(app))
        await pilot.press("question_mark", "w")
        await wait_until(pilot, lambda: "how crooked" in screen_text(app))
        assert screen_text(app).partition("acid dye")[0].count("how crooked") == 1, (
            "those of the screen first"
        )
        await pilot.press("escape", "escape")
        await wait_until(pilot, lambda: "wander 0.4" in screen_text(app))
