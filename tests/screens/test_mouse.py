"""The mouse: what is drawn as if it could be clicked does what its key does; text is still selected by dragging."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from rich.cells import cell_len
from textual.widgets import Input

from studio.logbook.entry import LogbookRow
from studio.plan.draft.edits import Place
from studio.plan.forecast import foresee
from studio.plan.reading import read_plan
from studio.screens.app import PotsideApp
from studio.screens.bench.bench import FRESH_ALARM_S
from studio.screens.day import DayScreen
from studio.screens.draw.keys import LEADS
from studio.screens.forecast import ForecastScreen
from studio.screens.logbook.follow_up import FollowUpScreen
from studio.screens.logbook.logbook import LogbookScreen
from studio.screens.logbook.session import SessionScreen
from studio.screens.plan.rows import FieldRow
from studio.screens.shelf.shelf import ShelfScreen
from studio.session import commands as c
from studio.session.kinds.fastness import WaitingTest
from studio.shelf.reading import load_shelf
from tests.screens.conftest import ROOT, text_of, until

TIDE, KELP = "tidewrack-stripes.plan.toml", "kelp-forest.plan.toml"


def place(app: PotsideApp, row: str, word: str = "") -> tuple[int, int]:
    """The middle of a word, in the first line that holds the row; the row itself where no word is named."""
    lines, word = text_of(app).splitlines(), word or row
    line = next(n for n, line in enumerate(lines) if row in line)
    return cell_len(lines[line][: lines[line].index(word)]) + len(word) // 2, line


class Mouse:
    """Clicks at what is seen, and waits for what comes of it."""

    def __init__(self, app: PotsideApp, pilot) -> None:  # type: ignore[no-untyped-def]
        self.app, self.pilot = app, pilot

    def shown(self) -> str:
        return " ".join(text_of(self.app).split())

    async def sees(self, *words: str) -> None:
        for word in words:
            await until(self.pilot, lambda word=word: word in self.shown(), word)  # type: ignore[misc]

    async def click(self, row: str, then: str | Callable[[], bool], word: str = "") -> None:
        await until(self.pilot, lambda: row in text_of(self.app), row)
        await self.pilot.click(offset=place(self.app, row, word))
        came = then if callable(then) else lambda: then in self.shown()
        await until(self.pilot, came, f"after a click on {word or row}: {then}")

    async def drag(self, begin: tuple[int, int], end: tuple[int, int]) -> None:
        await self.pilot.mouse_down(offset=begin)
        await self.pilot.hover(offset=end)
        await self.pilot.mouse_up(offset=end)
        await self.pilot.pause()


def field(app: PotsideApp) -> tuple[str, int | None]:
    """Key and colour of the chosen field."""
    row = app.screen.fields.row()  # type: ignore[attr-defined]
    assert isinstance(row, FieldRow)
    return row.place.key, row.place.row


async def test_sections_fields_and_colours_of_a_plan(opened) -> None:  # type: ignore[no-untyped-def]
    app, _ = opened()
    async with app.run_test(size=(80, 30)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("ready to begin")
        await m.click("►plan", "►colours", "colours")
        await m.click("depth          1 %", lambda: field(app) == ("depth", 0))
        await m.click("deep water   ", lambda: field(app) == ("depth", 1))
        await m.click("▌ depth  ", lambda: app.screen.fields.typing is not None)
        await pilot.press("ctrl+u", "2")
        await m.click(
            "stock          ", lambda: field(app) == ("stock", 1) and app.screen.fields.typing is None
        )
        assert app.screen.draft.shown(Place("colour", 1, "depth")) == "2 %"
        await m.sees(" 0.5")
        await m.click(
            "depth          2 %",
            lambda: app.screen.draft.shown(Place("colour", 1, "depth")) == "0.5 %",
            "0.5",
        )
        await m.click("►colours", "►set", "set")
        await m.click("►set", "►set", "set")


async def test_a_caution_and_a_name_that_fits(opened) -> None:  # type: ignore[no-untyped-def]
    app, _ = opened()
    async with app.run_test(size=(80, 24)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("ready to begin")
        await m.click("cautions", "1 of ")
        await m.click("▲", "2 of ")
        dye = Place("colour", 0, "dye")
        app.screen.fields.go_to(dye)
        await pilot.press("enter", "ctrl+u", *"buo")
        await m.sees("Down buoy orange")
        await m.click("Down  buoy", lambda: app.screen.draft.shown(dye) == "buoy orange", "buoy")


async def test_the_list_of_cautions(opened) -> None:  # type: ignore[no-untyped-def]
    app, _ = opened(KELP)
    async with app.run_test(size=(160, 48)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("goes through them")
        cautions = app.screen.draft.worksheet.cautions
        lines = [line for line in text_of(app).splitlines() if "▲" in line]
        assert 3 < len(lines) < len(cautions)
        await m.click(lines[2], f"3 of {len(cautions)}", "▲")
        told = app.screen.draft.worksheet.cautions[2].text.split()
        assert told[-1] in m.shown()
        await m.click("goes through them", f"4 of {len(cautions)}")


async def test_what_is_tried_out_in_a_forecast(services) -> None:  # type: ignore[no-untyped-def]
    path = ROOT / "shared/plans" / TIDE
    foreseen = foresee(read_plan(path.read_text(), name=path.name), load_shelf(ROOT / "shared"))
    app = PotsideApp(lambda: services, lambda: ForecastScreen(foreseen), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("1000 paintings")
        await m.click("tilt", ">tilt")


async def test_a_task_of_a_day(studio_services) -> None:  # type: ignore[no-untyped-def]
    app = PotsideApp(lambda: studio_services, lambda: DayScreen(studio_services), bounce_s=0.0)
    async with app.run_test(size=(120, 40)) as pilot:
        m = Mouse(app, pilot)
        await until(pilot, lambda: bool(app.screen.plans))
        await pilot.press("plus")
        await m.sees("your hands", "order of work")
        await m.click("mix the jars", lambda: app.screen.walked == 2)
        await m.click(
            "your hands", lambda: app.screen.sheet.lines[app.screen.walked].task.word == "paint", "paint"
        )


async def test_kinds_of_the_shelf_and_a_line_that_stands_open(studio_services) -> None:  # type: ignore[no-untyped-def]
    app = PotsideApp(lambda: studio_services, lambda: ShelfScreen(studio_services), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("►dyes", "studio rust")
        await m.click("►dyes", "►acids", "acids")
        await pilot.press("a", *"plum")
        await m.sees("plum")
        for other in ("kit", "vinegar"):
            await pilot.click(offset=place(app, other))
        await pilot.press("!")
        await m.sees("plum!", "►acids")


async def test_bands_in_the_list_and_on_the_goods(bench_at, settled_of) -> None:  # type: ignore[no-untyped-def]
    bands = settled_of((", { bare = 5 }", ""), ("rows = 20", "rows = 12"), ("repeat = 2", "repeat = 3"))
    app, session = bench_at("paint.apply", choices=bands)
    async with app.run_test(size=(80, 24)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("tick the bands")
        await m.click("tick the bands", "still to paint: 1 to 6")
        await m.click("□ 3 rust", "▌ □ 3 rust")
        await m.click("□ 3 rust", "1 of 6 bands")
        assert [coat.event.band for coat in session.state.coats] == [3]
        left = next(n for n, line in enumerate(text_of(app).splitlines()) if "▀▀▀" in line) + 1
        await pilot.click(offset=(40, left))
        await m.sees("▌ □ 5 rust")


async def test_the_parts_of_a_skein_here_and_on_the_bench(bench_at, studio_services) -> None:  # type: ignore[no-untyped-def]
    worked = studio_services.work_out(str(ROOT / "shared/plans" / KELP))
    app, _ = bench_at("paint.apply", worked.worksheet, worked.choices)
    async with app.run_test(size=(120, 40)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("tick the bands")

        def spot(band: int) -> tuple[int, int]:
            """One of the cells that lead to it."""
            cells = ((x, y) for y in range(2, 30) for x in range(118))
            seen = app.screen.get_style_at
            return next(at for at in cells if seen(*at).meta.get(LEADS) == ("bands", band))

        await pilot.click(offset=spot(3))
        await m.sees("▌ □ 3 wet slate")
        assert "0 %" in text_of(app), "the loop is drawn"
        await pilot.click(offset=spot(2))
        await m.sees("▌ □ 2 gorse")


async def test_the_row_in_hand_is_enter_and_a_value_is_corrected(bench_at) -> None:  # type: ignore[no-untyped-def]
    app, session = bench_at("stocks.rust.dye")
    async with app.run_test(size=(80, 30)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("planned")
        here = next(line for line in text_of(app).splitlines() if "▌ ►" in line)
        await m.click(here, "g", "►")
        await pilot.press(*"0.24", "enter")
        await m.sees("■")
        done = next(line for line in text_of(app).splitlines() if "■" in line and "0.24" in line)
        await m.click(done, "Which value was wrong?", "■")
        await pilot.press("enter")
        await m.sees("0.24")


async def test_text_is_selected_and_copied_and_nothing_is_done_by_it(bench_at) -> None:  # type: ignore[no-untyped-def]
    app, session = bench_at("ready.kit")
    async with app.run_test(size=(80, 30)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("►")
        here = next(line for line in text_of(app).splitlines() if "▌ ►" in line)
        before, (x, y) = session.state, place(app, here, "►")
        await m.drag((x - 2, y), (x + 12, y))
        assert "►" in (app.screen.get_selected_text() or "")
        await pilot.press("ctrl+c")
        assert "►" in app.clipboard and not app.screen.get_selected_text()
        await pilot.pause()
        assert session.state is before and "Leave the bench" not in m.shown()
        await pilot.press("ctrl+c")
        await m.sees("Leave the bench?")


async def test_an_alarm_and_what_is_typed_beside_it(bench_at) -> None:  # type: ignore[no-untyped-def]
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 30)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("►steam")
        await pilot.press("n", *"lid")
        session.clock.advance(15 * 60)
        await m.sees("DUE")
        await pilot.pause(FRESH_ALARM_S)
        assert "heard" not in m.shown() and "in 1 min" not in m.shown(), "the line takes Enter and letters"
        await pilot.click(offset=place(app, "goes back to answer it"))
        assert app.screen.line.half_typed.endswith(": lid")
        await pilot.press("enter")
        await m.click("in 1 min", "quiet 60 s")
        session.clock.advance(61)
        await m.click("heard", lambda: not session.state.alarms[-1].standing)


async def test_the_water_of_a_rinse(bench_at) -> None:  # type: ignore[no-untyped-def]
    app, session = bench_at("rinse.rounds")
    async with app.run_test(size=(80, 30)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("1 ", "5 ")
        cups = next(n for n, line in enumerate(text_of(app).splitlines()) if line.split() == [*"12345"])
        row = text_of(app).splitlines()[cups]
        for grade in "34":
            await pilot.click(offset=(row.index(grade), cups))
            await until(pilot, lambda grade=grade: app.screen.line.typed_value == grade)
        await pilot.click(offset=(row.index("4"), cups))
        await until(pilot, lambda: not app.screen.line.is_asking, "the grade is taken")
        await m.sees("round 1")


async def test_answers_of_a_question_and_keys_of_a_card(bench_at) -> None:  # type: ignore[no-untyped-def]
    app, session = bench_at("ready.kit")
    async with app.run_test(size=(80, 30)) as pilot:
        m = Mouse(app, pilot)
        await pilot.press("question_mark")
        await m.sees("a clock as large")
        await m.click("a clock as large", lambda: "a clock as large" not in m.shown() and "Esc" in m.shown())
        await pilot.press("escape", "q")
        await m.sees("Leave the bench?")
        await m.click("Esc, Enter  stay", lambda: "Leave the bench?" not in m.shown())
        await pilot.press("q")
        await m.sees("Leave the bench?")
        await m.click("abandon the session", "Why")


@pytest.fixture
def ended(services, begin):  # type: ignore[no-untyped-def]
    session = begin()
    session.do(c.Abandon("only a test of what comes later"))
    session.do(c.PlanFollowUp("wash", "2026-09-28"))
    services.held, services.state = session, session.state
    return session


async def test_a_grade_of_the_scale(services, ended) -> None:  # type: ignore[no-untyped-def]
    app = PotsideApp(
        lambda: services,
        lambda: FollowUpScreen(services, "k1", services.read("k1"), grade="wash"),
        bounce_s=0.0,
    )
    async with app.run_test(size=(80, 40)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("change in colour")
        await m.click(" 3-4 ", lambda: app.screen.query_one(Input).value == "3-4")
        await m.click(" 3-4 ", "staining of undyed cloth")


async def test_what_is_asked_keeps_the_cursor(services, ended) -> None:  # type: ignore[no-untyped-def]
    app = PotsideApp(
        lambda: services, lambda: SessionScreen(services, "k1", services.read("k1")), bounce_s=0.0
    )
    async with app.run_test(size=(80, 30)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("n remark".upper()[:1])
        await pilot.press("n", *"wool")
        await pilot.click(offset=(20, 4))
        await pilot.press("s")
        await m.sees("wools")
        await m.drag((4, 0), (10, 0))
        assert app.screen.get_selected_text()
        await pilot.press("!")
        await m.sees("wools!")


async def test_the_grade_of_a_finished_piece(bench_at) -> None:  # type: ignore[no-untyped-def]
    app, session = bench_at("record.rinsed-clear")
    async with app.run_test(size=(60, 20)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("how did it come out?", "1 2 3 4 5")
        await m.click("  1    2    3    4    5", "4 of 5", "4")
        assert session.state.step("record.rinsed-clear").value == 4.0


async def test_tests_that_wait(services, ended) -> None:  # type: ignore[no-untyped-def]
    services.tests = [WaitingTest(key="k1", title="Kelp forest", test="wash", due="2026-09-28")]
    app = PotsideApp(lambda: services, lambda: LogbookScreen(services), bounce_s=0.0)
    async with app.run_test(size=(120, 30)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("wash test 3 days overdue")
        await m.click("Kelp forest", "Fastness tests that wait")


async def test_a_key_in_a_sentence(services) -> None:  # type: ignore[no-untyped-def]
    services.cards = [LogbookRow(key="k7", title="Kelp forest", opened_ns=0, standing="finished", about="")]
    app = PotsideApp(lambda: services, lambda: LogbookScreen(services), bounce_s=0.0)
    async with app.run_test(size=(120, 30)) as pilot:
        m = Mouse(app, pilot)
        await m.sees("Kelp forest")
        await pilot.press("c")
        await m.click("with Space", lambda: "k7" in app.screen.marked, "Space")
