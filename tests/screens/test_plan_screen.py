"""The plan screen, driven by keys alone, on a studio folder of its own."""

from __future__ import annotations

import threading
import tomllib
from pathlib import Path

import pytest
from textual.widgets import Input

from studio.plan.draft.edits import Place
from studio.screens.app import PotsideApp
from studio.screens.keyed import Page
from studio.screens.plan import side
from studio.screens.plan.plan import PlanScreen
from tests.screens.conftest import ROOT, enter

TIDE = "tidewrack-stripes.plan.toml"


def plan_of(path: Path) -> dict:  # type: ignore[type-arg]
    return tomllib.loads(path.read_text())


def at(app: PotsideApp, table: str, key: str, row: int | None = None) -> None:
    """Put the cursor on a field."""
    screen = app.screen
    assert isinstance(screen, PlanScreen)
    screen.fields.go_to(Place(table, row, key))
    screen.tell("")


async def test_figures_follow_every_key_and_a_wrong_one_loses_nothing(
    opened, screen_text, wait_until
) -> None:
    app, path = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        at(app, "colour", "depth", 0)
        await wait_until(pilot, lambda: "0.39 g" in screen_text(app))
        await pilot.press("enter", "ctrl+u", *"x2")
        await wait_until(
            pilot, lambda: "NOT SAVED" in screen_text(app) and "write for example" in screen_text(app)
        )
        shown = " ".join(screen_text(app).split())
        assert "0.39 g" in shown and "Figures as they were before." in shown
        await pilot.press("ctrl+u", "2")
        await wait_until(pilot, lambda: "=  2 %" in screen_text(app))
        # 100 g x 72/220 of the blank's rows x 2 % = 0.6545 g; by hand from the plan.
        await wait_until(pilot, lambda: "0.79 g" in screen_text(app))
        await pilot.press("escape")
        await wait_until(pilot, lambda: "0.39 g" in screen_text(app) and "  saved" in screen_text(app))
        await enter(pilot, "lots")
        at(app, "set", "shape")
        await wait_until(pilot, lambda: "C goes there" in screen_text(app) and "colours!" in screen_text(app))
        await pilot.press("c")
        await wait_until(pilot, lambda: "▌ depth" in screen_text(app) and "lots" in screen_text(app))
        await pilot.press("u")
        await wait_until(pilot, lambda: "0.39 g" in screen_text(app) and "lots" not in screen_text(app))
        await pilot.press("y", "u", "u")
        await wait_until(pilot, lambda: "nothing to take back" in screen_text(app))
    assert path.read_text() == (ROOT / "shared/plans" / TIDE).read_text()


async def test_an_amount_may_begin_with_its_digit_and_a_name_does_not(
    opened, screen_text, wait_until
) -> None:
    app, path = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        at(app, "colour", "depth", 0)
        await pilot.press(*"2 %", "enter")
        await wait_until(pilot, lambda: "0.79 g" in screen_text(app))
        at(app, "colour", "name", 0)
        await pilot.press("3")
        await wait_until(pilot, lambda: "? shows the keys" in " ".join(screen_text(app).split()))
        assert app.screen.fields.typing is None
    assert 'name = "rust"' in path.read_text()


async def test_a_band_is_typed_its_own_rows_and_the_order_stays_in_its_row(
    opened, screen_text, wait_until
) -> None:
    app, _ = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        draft, fields = app.screen.draft, app.screen.fields

        def order() -> str:
            return draft.shown(Place("layout", None, "order"))

        at(app, "layout", "order")
        await wait_until(pilot, lambda: "▌ order of bands" in screen_text(app))
        before = order()
        await pilot.press("down", "enter", *"14", "enter")
        await wait_until(pilot, lambda: order() == before.replace("rust 12", "rust 14", 1))
        await pilot.press("9", "x", "enter")
        await wait_until(pilot, lambda: "Expected rows, for example 14." in screen_text(app))
        assert fields.query_one(Input).value == "9x" and "bare 9" not in order(), "what is typed stays"
        await pilot.press("backspace", "enter")
        await wait_until(pilot, lambda: order() == before.replace("rust 12, bare 8", "rust 14, bare 9", 1))
        assert not fields.typing
        await pilot.press("up", "up", *"1", "enter", "up", "enter")
        await wait_until(pilot, lambda: order().startswith("rust 1, bare 9"))
        assert fields.query_one(Input).value == "1", "its size as it is typed, without the word"
        await pilot.press("escape", "down")
        await pilot.press("up", "up", *["enter", "ctrl+u"], *"rust 40 %, deep water 60 %", "enter")
        await wait_until(pilot, lambda: order() == "rust 40 %, deep water 60 %")
        await pilot.press(*"35", "enter")
        await wait_until(pilot, lambda: order() == "rust 35 %, deep water 60 %")


async def test_in_a_form_enter_goes_on_and_down_in_an_empty_field_takes_nothing(
    opened, screen_text, wait_until
) -> None:
    app, path = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        at(app, "colour", "name", 0)
        await enter(pilot, "russet")
        await wait_until(pilot, lambda: "▌ dye" in screen_text(app))
        await enter(pilot, "gors")
        await wait_until(pilot, lambda: 'mean "gorse"' in " ".join(screen_text(app).split()))
        assert "▌ dye" in screen_text(app), "what is wrong is stayed with"
        await enter(pilot, "gorse")
        await wait_until(pilot, lambda: "▌ depth" in screen_text(app))
        at(app, "colour", "mix", 0)
        await pilot.press("enter")
        await wait_until(pilot, lambda: "studio rust" in screen_text(app) and "Down  " in screen_text(app))
        await pilot.press("down")
        await wait_until(pilot, lambda: "▌ drops" in screen_text(app) and "Down  " not in screen_text(app))
        at(app, "kit", "use")
        await pilot.press("enter", "end", *", ")
        await wait_until(pilot, lambda: "Down  " in screen_text(app))
        kit = app.screen.draft.value(Place("kit", None, "use"))
        await pilot.press("down", "s")
        await wait_until(pilot, lambda: "Saved as" in screen_text(app))
    plan = plan_of(path)
    assert (plan["colour"][0]["dye"], plan["colour"][0]["name"]) == ("gorse", "russet")
    assert "mix" not in plan["colour"][0] and plan["kit"]["use"] == kit


@pytest.mark.deep
async def test_the_newer_of_two_wins_and_a_colour_may_come_after_its_bands(
    opened, screen_text, wait_until
) -> None:
    app, path = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        at(app, "presoak", "acid_amount")
        await enter(pilot, "60 mL")
        at(app, "presoak", "target_ph")
        await enter(pilot, "4,2")
        await wait_until(
            pilot, lambda: "Target pH 4,2 is used now; acid amount 60 mL is left out." in screen_text(app)
        )
        at(app, "layout", "order")
        await enter(pilot, "rust 6, seal 5, deep water 6, repeat")
        await wait_until(pilot, lambda: 'No colour is called "seal" yet' in screen_text(app))
        await wait_until(pilot, lambda: "rows  no colour" in screen_text(app))
        assert "not complete" in screen_text(app)
        at(app, "colour", "name", 0)
        await pilot.press("a")
        await wait_until(pilot, lambda: "Name its dye" in screen_text(app))
        await enter(pilot, "gorse")
        await wait_until(pilot, lambda: "not complete" not in screen_text(app))
        await pilot.press("s")
        await wait_until(pilot, lambda: "Saved as" in screen_text(app))
    plan = plan_of(path)
    assert [c["name"] for c in plan["colour"]] == ["rust", "deep water", "seal"]
    assert [band.get("colour") for band in plan["layout"]["order"]] == ["rust", "seal", "deep water"]
    assert plan["presoak"]["target_ph"] == 4.2 and "acid_amount" not in plan["presoak"]


async def test_names_are_completed_from_the_shelf(opened, screen_text, wait_until) -> None:
    app, path = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        at(app, "colour", "dye", 0)
        await pilot.press("enter", "ctrl+u", *"buo")
        await wait_until(pilot, lambda: "Down  buoy orange" in screen_text(app))
        await pilot.press("down", "enter")
        at(app, "kit", "use")
        await pilot.press("enter", "end", *", squ")
        await wait_until(pilot, lambda: "Down  squeeze bottles" in screen_text(app))
        await pilot.press("down", "enter", "s")
        await wait_until(pilot, lambda: "Saved as" in screen_text(app))
    assert plan_of(path)["colour"][0]["dye"] == "buoy orange"
    assert plan_of(path)["kit"]["use"][-1] == "squeeze bottles"


async def test_a_new_dye_is_put_on_the_shelf_from_its_field_and_nothing_typed_is_lost(
    opened, screen_text, wait_until
) -> None:
    app, path = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        at(app, "colour", "dye", 0)
        await pilot.press("enter", *"rust")
        await wait_until(pilot, lambda: "Ctrl+N a new dye, rust" in " ".join(screen_text(app).split()))
        await pilot.press("ctrl+n")
        await wait_until(pilot, lambda: "2 of 5" in screen_text(app))
        await pilot.press(*"levelling", "enter", *"pow", "escape")
        await wait_until(pilot, lambda: "studio rust" in screen_text(app) and "Down  " in screen_text(app))
        assert app.screen.query_one(Input).value == "rust", "what was typed stands in the field again"
        await pilot.press("ctrl+n")
        await wait_until(pilot, lambda: "3 of 5" in screen_text(app))
        await wait_until(pilot, lambda: "One of these words;" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: "An amount;" in screen_text(app))
        await pilot.press("up")
        await wait_until(pilot, lambda: "One of these words;" in screen_text(app))
        await pilot.press("enter", *"lots", "enter")
        await wait_until(pilot, lambda: "write for example" in screen_text(app))
        await pilot.press("ctrl+u", *"12 g", "enter", "enter")
        await wait_until(pilot, lambda: "rust          12 g on the shelf" in screen_text(app))
        assert "▌ depth" in screen_text(app)
        at(app, "fibre", "base")
        await pilot.press("enter", *"Harbour  sock blank", "enter", "s")
        await wait_until(pilot, lambda: "Saved as" in screen_text(app))
    assert plan_of(path)["colour"][0]["dye"] == "rust"
    shelf = tomllib.loads((path.parents[1] / "dyes.toml").read_text())
    assert [d["class"] for d in shelf["dye"] if d["name"] == "rust"] == ["levelling"]


async def test_colours_and_bands_by_keys(opened, screen_text, wait_until) -> None:
    app, path = opened()
    async with app.run_test(size=(120, 40)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        at(app, "colour", "name", 0)
        await pilot.press("a")
        await wait_until(
            pilot, lambda: "Name its dye" in screen_text(app) and "Dye is missing" in screen_text(app)
        )
        await enter(pilot, "gorse")
        at(app, "layout", "order")
        await wait_until(pilot, lambda: "colour 1 12, repeat" in screen_text(app))
        await pilot.press("down", "plus", "down", "v", "a", "x", "down", "minus", "t")
        wanted = "rust 13, rust 8, deep water 12, bare 7, colour 1 12"
        await wait_until(pilot, lambda: app.screen.draft.shown(Place("layout", None, "order")) == wanted)
        await wait_until(
            pilot, lambda: "bare, 168 rows" in screen_text(app)
        )  # the rest of 220 rows stays bare
        at(app, "colour", "name", 0)
        await pilot.press("x")
        await wait_until(pilot, lambda: "its bands are bare now" in screen_text(app))
        await pilot.press("u", "s")
        await wait_until(pilot, lambda: "Saved as" in screen_text(app))
    assert [c["name"] for c in plan_of(path)["colour"]] == ["rust", "deep water", "colour 1"]


async def test_hues_that_came_for_an_older_text_are_worked_out_again_when_it_is_back(
    opened, screen_text, wait_until, monkeypatch
) -> None:
    app, _ = opened()
    done, plans, worked = threading.Event(), [], side.hues

    def slowly(plan, shelf):  # type: ignore[no-untyped-def]
        plans.append(plan)
        assert done.wait(20)
        return worked(plan, shelf)

    monkeypatch.setattr(side, "hues", slowly)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: len(plans) == 1)
        at(app, "colour", "depth", 0)
        await enter(pilot, "lots")
        await wait_until(pilot, lambda: "►colours!" in screen_text(app))
        done.set()
        await wait_until(pilot, lambda: all(worker.is_finished for worker in app.workers))
        await pilot.press("u")
        await wait_until(pilot, lambda: len(plans) == 2)
        await wait_until(pilot, lambda: bool(app.screen.side.looks["rust"].hex))


async def test_forecast_worksheet_why_and_keys_are_a_key_away(opened, screen_text, wait_until) -> None:
    app, path = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        await pilot.press("question_mark")
        await wait_until(pilot, lambda: "choose a section" in screen_text(app))
        await pilot.press("escape", "w")
        await wait_until(pilot, lambda: "yours: the base on the shelf" in screen_text(app))
        await pilot.press("escape", "r")
        await wait_until(pilot, lambda: "E edit" in screen_text(app))
        await pilot.press("e")
        await wait_until(pilot, lambda: isinstance(app.screen, PlanScreen))
        await pilot.press("f")
        await wait_until(pilot, lambda: "blank, first row on the left" in screen_text(app))
        await pilot.press("escape")
        await wait_until(pilot, lambda: isinstance(app.screen, PlanScreen))


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40)], ids=lambda s: f"{s[0]}x{s[1]}")
@pytest.mark.parametrize("section", ["colours", "layout"])
async def test_plan_as_text(opened, screen_text, wait_until, snapshot, section, size) -> None:
    app, _ = opened()
    async with app.run_test(size=size) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        at(app, *{"colours": ("colour", "depth", 0), "layout": ("layout", "order")}[section])
        wanted = "██ 2" if section == "colours" else "each band gives" if size[0] >= 80 else "bare"
        await wait_until(pilot, lambda: f"►{section}" in screen_text(app) and wanted in screen_text(app))
        await pilot.pause(0.1)
        shown = screen_text(app)
        assert all(len(line) <= size[0] for line in shown.splitlines())
        assert shown == snapshot


async def test_what_is_typed_in_one_burst_goes_where_it_was_meant(
    opened, screen_text, wait_until, burst
) -> None:
    """Enter opens a field for the very next letter and takes what was typed; Down, Enter and Esc come after it."""
    app, _ = opened()
    async with app.run_test(size=(100, 30)) as pilot:
        await wait_until(pilot, lambda: "Tidewrack stripes" in screen_text(app))
        draft, fields = app.screen.draft, app.screen.fields
        burst(app, "enter", *"sax", "left", "backspace", "x", "enter")
        await wait_until(pilot, lambda: draft.data["title"] == "sxx")
        assert fields.cursor == 1 and fields.typing is None
        burst(app, "up", "enter", *"q", "down", "up", "enter", *"b", "enter", "escape")
        await wait_until(pilot, lambda: isinstance(app.screen, Page))
        assert draft.data["title"] == "b"


async def test_that_down_makes_what_no_name_fits_is_told_under_the_field_and_at_the_foot(
    opened, screen_text, wait_until
) -> None:
    app, _ = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        at(app, "colour", "dye", 0)
        await pilot.press("enter", "ctrl+u", *"brick red")
        await wait_until(pilot, lambda: "Down  a new dye, brick red" in screen_text(app))
        foot = screen_text(app).splitlines()[-1]
        assert "Down Ctrl+N new one" in foot and "a name that fits" not in foot
        await pilot.press("ctrl+u", *"buo")
        await wait_until(pilot, lambda: "Down a name that fits" in screen_text(app).splitlines()[-1])
        assert "Ctrl+N new one" in screen_text(app).splitlines()[-1]


async def test_a_key_for_bands_changes_one_or_says_why_it_stays(opened, screen_text, wait_until) -> None:
    """No band marked, the only band, and a band that cannot be wider or narrower."""
    app, path = opened()
    async with app.run_test(size=(100, 40)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        at(app, "layout", "order")
        screen = app.screen
        assert isinstance(screen, PlanScreen)
        await pilot.press("V")
        await wait_until(pilot, lambda: "the first one is" in screen_text(app))
        screen.fields.cursor = 0
        await enter(pilot, "rust 1")
        screen.fields.cursor = 1
        for key in ("minus", "x"):
            screen.tell("")
            before = screen.draft.text
            await pilot.press(key)
            await wait_until(pilot, lambda: "at least" in screen_text(app))
            assert screen.draft.text == before, key
        await pilot.press("V")
        await wait_until(pilot, lambda: screen.draft.text != before)
        await pilot.press("U")
        await wait_until(pilot, lambda: screen.draft.text == before)


async def test_a_step_back_while_something_is_typed_gives_up_what_is_typed_alone(
    opened, screen_text, wait_until
) -> None:
    app, _ = opened()
    async with app.run_test(size=(100, 40)) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        at(app, "colour", "depth", 0)
        await enter(pilot, "2 %")
        screen = app.screen
        assert isinstance(screen, PlanScreen)
        kept = screen.draft.text
        at(app, "layout", "order")
        await pilot.press("enter", "V", "ctrl+z")
        await wait_until(pilot, lambda: screen.fields.typing is None)
        assert screen.draft.text == kept
