"""Whole ways over the plan screen: from an empty studio, to the bench, through every section at every size."""

from __future__ import annotations

import re
import tomllib

import msgspec
import pytest

from studio.plaintext import slug
from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place
from studio.plan.fields import sections_for
from studio.plan.shapes import Worksheet
from studio.quantity.reading_in import as_read
from studio.report.timeline import span_told
from studio.report.worksheet import value_words, worksheet_json
from studio.screens.app import PotsideApp
from studio.screens.bench.bench import BenchScreen
from studio.screens.keyed import Page
from studio.screens.plan.plan import PlanScreen
from studio.screens.plan.rows import FieldRow, colour_table, figures_of
from studio.services.studio import Services, starter_shelf
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock
from studio.words.table import spoken
from tests.screens.conftest import ROOT, enter


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
    plan = tomllib.loads((tmp_path / "shared" / "plans" / "brick.plan.toml").read_text())
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
    plan = tomllib.loads(path.read_text())
    assert plan["title"] == "Mussel rope" and plan["colour"][0] | {"stock": 0} == {
        "name": "rust", "dye": "studio rust", "depth": "1,2 %", "stock": 0,
    }  # fmt: skip
    assert [b.get("rows", b.get("bare")) for b in plan["layout"]["order"]] == [8, 5, 6, 5]
    assert plan["kit"]["use"] == ["steamer pot", "foam brushes"]
    assert path.read_text().startswith("# Two colours in stripes")
    assert not list(path.parent.glob(".*unsaved"))


@pytest.mark.parametrize("name", sorted(p.name for p in (ROOT / "shared/plans").glob("*.plan.toml")))
def test_the_figures_shown_are_those_of_the_worksheet(studio_services, name) -> None:
    """Every section, and the table of colours, against the JSON that `potside worksheet --json` prints."""
    path = studio_services.folder.shared / "plans" / name
    printed = msgspec.json.decode(worksheet_json(studio_services.work_out(path).worksheet), type=Worksheet)
    draft = PlanDraft(path.read_text(), studio_services.shelf, name=name)
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
    printed = msgspec.json.decode(worksheet_json(studio_services.work_out(path).worksheet), type=Worksheet)

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
                lines = screen_text(app).splitlines()
                # In one line, or in a list with how many there are at its left.
                shown = [
                    " ".join(" ".join(line[cut:] for line in lines).split()).casefold() for cut in (0, 16)
                ]
                wanted = " ".join(as_read(spoken(caution.text), limit=900).split()).casefold()
                assert any(wanted in text for text in shown), (size, caution.id)


async def test_a_share_moves_while_there_is_fibre_left_and_a_skein_has_no_forecast(
    opened, screen_text, wait_until
) -> None:
    app, _ = opened("kelp-forest.plan.toml")
    async with app.run_test(size=(100, 30)) as pilot:
        await wait_until(pilot, lambda: isinstance(app.screen, PlanScreen))
        await pilot.press("f")
        await wait_until(pilot, lambda: "is of a knitted blank" in screen_text(app))
        app.screen.fields.go_to(Place("layout", None, "order"))
        await pilot.press("plus", "plus")
        await wait_until(pilot, lambda: "take all of the fibre" in screen_text(app))
        await pilot.press("minus")
        await wait_until(pilot, lambda: app.screen.draft.layout().order[0].share_percent == 40)
        await pilot.press("question_mark")
        await wait_until(pilot, lambda: "choose a section" in screen_text(app))
        assert "forecast" not in screen_text(app)


@pytest.mark.parametrize(("name", "size", "told"), [
    ("kelp-forest", (160, 48), True),
    ("kelp-forest", (120, 40), True),
    ("kelp-forest", (80, 24), False),
    ("slack-water", (160, 48), False),  # a bath has no place in a day at the steamer
])  # fmt: skip
@pytest.mark.one_in(2)
async def test_where_there_is_room_a_plan_tells_its_hours_as_its_day_does(
    opened, studio_services, screen_text, wait_until, name, size, told
) -> None:
    app, path = opened(f"{name}.plan.toml")
    whole = span_told(studio_services.day([(str(path), None)]).finish_min) if told else "in all"
    async with app.run_test(size=size) as pilot:
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        await wait_until(pilot, lambda: bool(app.screen.side.ladders))
        await wait_until(pilot, lambda: (f"{whole} in all" in screen_text(app)) == told)
        for _ in app.screen.fields.sections:
            await pilot.press("right")
            assert size[1] < 40 or "more below" not in screen_text(app), "fields never give way to it"
