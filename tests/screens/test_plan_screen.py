"""The plan screen, driven by keys alone, on a studio folder of its own."""

from __future__ import annotations

import re
import threading
import tomllib
from pathlib import Path

import msgspec
import pytest
from textual.widgets import Input

from studio.plaintext import slug
from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place
from studio.plan.fields import sections_for
from studio.plan.shapes import Worksheet
from studio.quantity.reading_in import as_read
from studio.report.worksheet import value_words, worksheet_json
from studio.screens.app import PotsideApp
from studio.screens.bench.bench import BenchScreen
from studio.screens.keyed import Page
from studio.screens.plan import side
from studio.screens.plan.plan import PlanScreen
from studio.screens.plan.rows import FieldRow, colour_table, figures_of
from studio.services.studio import Services, starter_shelf
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock
from studio.words.table import spoken

ROOT = Path(__file__).resolve().parents[2]
TIDE = "tidewrack-stripes.plan.toml"


def plan_of(path: Path) -> dict:  # type: ignore[type-arg]
    return tomllib.loads(path.read_text())


def at(app: PotsideApp, table: str, key: str, row: int | None = None) -> None:
    """Put the cursor on a field."""
    screen = app.screen
    assert isinstance(screen, PlanScreen)
    screen.fields.go_to(Place(table, row, key))
    screen.tell("")


async def go(pilot, app, section: str, field: str) -> None:  # type: ignore[no-untyped-def]
    """The same by keys: left and right to a section, up and down to a field."""
    for _ in range(12):
        if app.screen.fields.here.name == section:
            break
        await pilot.press("right")
    for _ in range(60):
        row = app.screen.fields.row()
        if getattr(getattr(row, "field", None), "key", "") == field:
            return
        await pilot.press("down")
    raise AssertionError(f"no {section}.{field}")


async def enter(pilot, text: str) -> None:  # type: ignore[no-untyped-def]
    """Type into the chosen field, in place of what it holds."""
    await pilot.press("enter", "ctrl+u", *text, "enter")


MOST_KEYS = 120
MOST_S = 300.0
KEY_S = 0.5
"""A key of who types random letters. **Source:** S. K. Card, T. P. Moran, A. Newell, The keystroke-level model for user
performance time with interactive systems, Communications of the ACM 23 (1980), 396."""
THINKS_S = 8.0
"""Read what is asked, and decide: for each answer. House rule: six times what the same paper gives a practised hand."""


@pytest.mark.deep
async def test_a_newcomer_makes_a_first_plan_of_their_own_in_few_keys(
    tmp_path, screen_text, wait_until
) -> None:
    """From an empty studio: own base, own dye, two colours and their bands, saved and ready to begin."""
    StudioFolder(tmp_path).make(starter_shelf)
    services, keys, answers = Services(StudioFolder(tmp_path), SystemClock()), 0, 0
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:

        async def press(*pressed: str, shows: str) -> None:
            nonlocal keys, answers
            keys, answers = keys + len(pressed), answers + 1
            await pilot.press(*pressed)
            await wait_until(pilot, lambda: shows in " ".join(screen_text(app).split()), shows)

        await wait_until(pilot, lambda: "N new" in screen_text(app))
        await press("n", shows="Slipway stripes")
        await press("enter", shows="What is it called?")
        await press(*"Brick", "enter", shows="►plan")
        await press("right", shows="▌ base")
        await press("enter", *"mill blank", shows="Down a new base, mill blank")
        await press("down", shows="2 of 5: blend")
        await press(*"wool 100", "enter", shows="3 of 5: form")
        await press("enter", shows="4 of 5: weight of a piece")
        await press(*"90 g", "enter", shows="5 of 5: pieces on hand")
        await press("enter", shows="Base mill blank is used now")
        await press("right", "right", "right", "enter", *"brick", "enter", shows="▌ dye")
        await press("enter", *"brick red", shows="Down a new dye, brick red")
        await press("down", shows="2 of 5: a dye of the tables")
        await press(*"acid red 1", "enter", shows="3 of 5")
        await press("enter", shows="4 of 5")
        await press(*"25 g", "enter", shows="5 of 5: looks")
        await press("enter", shows="▌ depth")
        await press("right", "enter", *"brick 9, bare 4, net blue 6, repeat", "enter", shows="ready to begin")
        await press("s", shows="Saved as brick.plan.toml.")
    services.let_go()
    plan = plan_of(tmp_path / "shared" / "plans" / "brick.plan.toml")
    assert plan["fibre"]["base"] == "mill blank" and not {"blend", "dry_weight"} & {*plan["fibre"]}
    assert [c["name"] for c in plan["colour"]] == ["brick", "net blue"]
    assert plan["colour"][0]["dye"] == "brick red"
    assert [b.get("rows", b.get("bare")) for b in plan["layout"]["order"]] == [9, 4, 6]
    seconds = keys * KEY_S + answers * THINKS_S
    print(f"{keys} keys, {answers} answers, about {seconds:.0f} s")
    assert keys < MOST_KEYS and seconds < MOST_S


@pytest.mark.deep
async def test_from_a_new_plan_to_the_bench(studio_services, screen_text, wait_until) -> None:
    app = PotsideApp(lambda: studio_services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "N new" in screen_text(app) and "Lantern" in screen_text(app))
        await pilot.press("n")
        await wait_until(pilot, lambda: "Slipway stripes" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: "What is it called?" in screen_text(app))
        await pilot.press("ctrl+u", *"Mussel rope", "enter")
        await wait_until(pilot, lambda: "►plan" in screen_text(app) and "Mussel rope" in screen_text(app))
        path = studio_services.folder.shared / "plans" / "mussel-rope.plan.toml"
        assert path.exists()

        await go(pilot, app, "fibre", "dry_weight")
        await pilot.press("enter", "ctrl+u", *"1 lb 4 oz")
        await wait_until(pilot, lambda: "=  567 g" in screen_text(app))
        await pilot.press("ctrl+u", *"100 g", "enter")
        await wait_until(pilot, lambda: "▌ squeezed weight" in screen_text(app))
        await go(pilot, app, "colours", "dye")
        await enter(pilot, "studio rust")
        await go(pilot, app, "colours", "depth")
        await enter(pilot, "1,2 %")
        await wait_until(pilot, lambda: "Stock for rust is too weak" in screen_text(app))
        await pilot.press("c")
        await wait_until(pilot, lambda: "▌ stock" in screen_text(app) and "1 of" in screen_text(app))
        await enter(pilot, "3 %")
        await wait_until(pilot, lambda: "too weak" not in screen_text(app))

        await go(pilot, app, "layout", "order")
        await enter(pilot, "rust 6, bare 5, net blu 6, repeat")
        await wait_until(pilot, lambda: 'No colour is called "net blu" yet' in screen_text(app))
        await wait_until(pilot, lambda: "rows  no colour" in screen_text(app))
        await pilot.press("b")
        await pilot.pause(0.05)
        assert isinstance(app.screen, PlanScreen), "a plan that is not complete may not begin"
        await enter(pilot, "rust 6, bare 5, net blue 6, bare 5, repeat")
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        await pilot.press("plus", "plus")
        await wait_until(pilot, lambda: "8 rows" in screen_text(app))

        await go(pilot, app, "kit", "use")
        await enter(pilot, "steamer pot, foam brushes")
        await pilot.press("b")
        await wait_until(pilot, lambda: "rehearse or begin?" in screen_text(app))
        await pilot.press("b")
        await wait_until(pilot, lambda: isinstance(app.screen, BenchScreen))
        await wait_until(pilot, lambda: "Sound the bell" in screen_text(app))
    plan = plan_of(path)
    assert plan["title"] == "Mussel rope" and plan["colour"][0] | {"stock": 0} == {
        "name": "rust", "dye": "studio rust", "depth": "1,2 %", "stock": 0,
    }  # fmt: skip
    assert [b.get("rows", b.get("bare")) for b in plan["layout"]["order"]] == [8, 5, 6, 5]
    assert plan["kit"]["use"] == ["steamer pot", "foam brushes"]
    assert path.read_text().startswith("# Two colours in stripes")
    assert not list(path.parent.glob(".*unsaved"))


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
            pilot, lambda: "Target pH 4,2 is used now; acid 60 mL is left out." in screen_text(app)
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


@pytest.mark.parametrize("name", sorted(p.name for p in (ROOT / "shared/plans").glob("*.plan.toml")))
def test_the_figures_shown_are_those_of_the_worksheet(studio_services, name) -> None:
    """Every section, and the table of colours, against the JSON that `potside worksheet --json` prints."""
    path = studio_services.folder.shared / "plans" / name
    printed = msgspec.json.decode(
        worksheet_json(studio_services.work_out_file(path).worksheet), type=Worksheet
    )
    draft = PlanDraft(path.read_text(), studio_services.plan_files.shelf, name=name)
    colours = [slug(colour) for colour in draft.colour_names()]
    sections = sections_for(str(draft.data["method"]))
    beside = {f.id for s in sections for colour in colours for f in figures_of(s, printed, colour)}
    assert beside == {figure.id for figure in printed.figures}, "every figure belongs beside a section"
    heads, lines = colour_table(draft, wide=True)
    ready = [f.id.rpartition(".")[0] for f in printed.figures if f.id.endswith((".from_jar", ".drops"))]
    dropped = [f.id.rpartition(".")[0] for f in printed.figures if f.id.endswith(".drops")]
    for head, ends, others in (
        ("weigh", (".dye",), ready), ("take", (".from_jar", ".drops"), ()), ("make up to", (".volume",), dropped),
        ("+ water", (".water",), ()), ("+ acid", (".acid",), ()), ("to paint", (".apply",), ()),
    ):  # fmt: skip
        wanted = [
            f"{value_words(f)}{' drops' if f.id.endswith('.drops') else ''}"
            for f in printed.figures
            if f.id.endswith(ends) and f.of and f.id.rpartition(".")[0] not in others
        ]
        shown = [line.cells[head] for line in lines if line.cells.get(head, "shared") != "shared"]
        assert sorted(shown) == sorted(wanted), head
        assert (head in heads) == bool(shown)
        assert all(re.fullmatch(r"[\d .]+ (g|mg|mL|drops)", cell) for cell in shown), shown


@pytest.mark.parametrize("name", sorted(p.name for p in (ROOT / "shared/plans").glob("*.plan.toml")))
@pytest.mark.one_in(5)
async def test_every_figure_of_the_worksheet_stands_beside_its_section_or_on_its_why_page(
    opened, studio_services, screen_text, wait_until, name
) -> None:
    """On the screen itself, against the JSON that `potside worksheet --json` prints."""
    app, path = opened(name)
    printed = msgspec.json.decode(
        worksheet_json(studio_services.work_out_file(path).worksheet), type=Worksheet
    )

    def words(widget: str) -> str:
        return " ".join(str(app.screen.query_one(widget).content).split())

    told: set[str] = set()
    async with app.run_test(size=(160, 48)) as pilot:
        await wait_until(pilot, lambda: "saved" in screen_text(app))
        plan = app.screen
        for section in plan.fields.sections:
            colours = range(len(plan.draft.colour_names())) if section.table == "colour" else [None]
            for number in colours:
                plan.fields.go_to(Place(section.table, number, section.fields[0].key))
                plan.tell("")
                figures = figures_of(section, printed, plan.fields.colour())
                if section.table != "colour":
                    beside = words("#plan-figures")
                    assert all(" ".join(value_words(f).split()) in beside for f in figures if not f.of), (
                        beside
                    )
                await pilot.press("w")
                await wait_until(pilot, lambda: isinstance(app.screen, Page) and bool(words("#card-text")))
                why = words("#card-text")
                await pilot.press("escape")
                for figure in figures:
                    assert " ".join(value_words(figure).split()) in why, (figure.id, why)
                    told.add(figure.id)
    assert told == {figure.id for figure in printed.figures}


@pytest.mark.deep
@pytest.mark.parametrize("name", sorted(p.name for p in (ROOT / "shared/plans").glob("*.plan.toml")))
async def test_nothing_is_cut_or_covered_at_any_size(opened, screen_text, wait_until, name) -> None:
    """Strip, legend, chosen field, job and the whole of each caution that is gone to."""
    app, _ = opened(name)
    async with app.run_test(size=(60, 20)) as pilot:
        await wait_until(pilot, lambda: "saved" in screen_text(app))
        for size in ((60, 20), (80, 24), (120, 40), (160, 48)):
            await pilot.resize_terminal(*size)
            screen = app.screen
            for section in range(len(screen.fields.sections)):
                screen.fields.section = section
                for cursor in range(len(screen.fields.rows())):
                    screen.fields.cursor = cursor
                    screen.tell("")
                    await pilot.pause()
                    lines = screen_text(app).splitlines()
                    row = screen.fields.row()
                    label = row.field.label if isinstance(row, FieldRow) else row.band.colour or "bare"
                    assert any(line.startswith(f"▌ {label}") for line in lines), (size, label, lines)
                    assert "? keys" in lines[-1] and any(line.startswith(("  soak", "  ▲")) for line in lines)
                    assert all(f" {c} " in " ".join(lines) for c in screen.draft.colour_names())
            for caution in screen.draft.worksheet.cautions:
                await pilot.press("c")
                shown = " ".join(screen_text(app).split())
                assert " ".join(as_read(spoken(caution.text), limit=900).split()) in shown, (size, caution.id)


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
