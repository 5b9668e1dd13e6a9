"""Every screen there is, opened on the sample studio and on sessions in memory, and hands that press its keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from textual.screen import UPDATE_PERIOD, Screen

from studio.screens.app import PotsideApp
from studio.screens.bench.bench import BenchScreen
from studio.screens.bench.clock import BigClockScreen, leaving
from studio.screens.bench.correct import BeforeScreen, why_page
from studio.screens.bench.finish import FinishScreen
from studio.screens.bench.painting import PacketsScreen, PaintingScreen
from studio.screens.day import DayScreen
from studio.screens.forecast import ForecastScreen
from studio.screens.habits import HabitsScreen
from studio.screens.home import HomeScreen
from studio.screens.keyed import question
from studio.screens.logbook.follow_up import FollowUpScreen, WaitingScreen
from studio.screens.logbook.logbook import CompareScreen, LogbookScreen
from studio.screens.logbook.repeat import RepeatScreen
from studio.screens.logbook.session import SessionScreen
from studio.screens.plan.opening import NewPlanScreen
from studio.screens.plan.plan import PlanScreen
from studio.screens.shelf.entry import ShelfEntryScreen
from studio.screens.shelf.shelf import ShelfScreen
from studio.screens.shelf.shopping import DrawDownScreen, ShoppingScreen
from studio.screens.worksheet import WorksheetScreen
from studio.services.studio import Services
from studio.session import alarms
from studio.session import commands as c
from studio.session.run import Running
from studio.words.actions import ASK_FOR_KEYS
from studio.words.table import spoken

TIDE = "tidewrack-stripes.plan.toml"
SESSION = "20260912-0704-tidewrack-stripes-63ea.jsonl"


@dataclass
class Studio:
    """What screens are made of: the sample studio in a folder of its own, and sessions in memory."""

    services: Services
    begin: Callable[..., Running]
    kettle: Any

    def at(self, step: str, sheet: Any = None) -> Running:
        """A session at a step."""
        return self.begin(sheet, to=step)

    def ringing(self) -> Running:
        """The steam's clock is over."""
        running = self.at("steam.hold")
        running.clock.advance(60 * 60)  # type: ignore[attr-defined]
        running.tick()
        assert alarms.standing(running.state)
        return running

    def alarmed(self) -> BenchScreen:
        """The bench, where its alarms have been seen for a while."""
        page = BenchScreen(self.ringing())
        page.alarm_seen = dict.fromkeys((alarm.n for alarm in alarms.standing(page.running.state)), 0.0)
        return page

    def lost(self) -> Running:
        """The steam is lost."""
        running = self.at("steam.hold")
        running.do(c.ToggleSteam())
        return running

    def rinsed(self) -> Running:
        """One round of rinsing that was not clear."""
        running = self.at("rinse.rounds")
        running.do(c.Measure("rinse.rounds", "2"))
        return running

    def ended(self) -> Running:
        """Every step is closed."""
        running = self.at("record.close")
        running.do(c.Override("record.close", "a test"))
        return running

    def plan(self) -> PlanScreen:
        """The plan screen, with no edits of an earlier time beside the plan."""
        plans = self.services.folder.shared / "plans"
        for kept in plans.glob(".*unsaved*"):
            kept.unlink()
        return PlanScreen(self.services, self.services.plan_files.read(str(plans / TIDE)))

    def session(self) -> SessionScreen:
        """A finished session's page."""
        return SessionScreen(self.services, SESSION, self.services.read(SESSION))

    def worksheet(self) -> WorksheetScreen:
        """A plan worked out."""
        return WorksheetScreen(
            self.services, self.services.work_out(str(self.services.folder.shared / "plans" / TIDE))
        )

    def compared(self) -> CompareScreen:
        """Two sessions side by side."""

        return CompareScreen([self.services.read(s.key) for s in self.services.sessions()[:2]])


Make = Callable[[Studio], Screen[Any]]


def bench(step: str) -> Make:
    return lambda studio: BenchScreen(studio.at(step))


PLACES: dict[str, tuple[Make, tuple[str, ...]]] = {
    "home": (lambda s: HomeScreen(), ()),
    "home on a plan": (lambda s: HomeScreen(), ("down", "down", "down")),
    "worksheet": (lambda s: s.worksheet(), ()),
    "worksheet, read on": (lambda s: s.worksheet(), ("pagedown",)),
    "rehearse or begin": (lambda s: s.worksheet(), ("b",)),
    "new plan": (lambda s: NewPlanScreen(s.services), ()),
    "new plan, its name": (lambda s: NewPlanScreen(s.services), ("enter",)),
    "plan": (lambda s: s.plan(), ()),
    "plan, a colour": (lambda s: s.plan(), ("right",) * 4),
    "plan, a band": (lambda s: s.plan(), (*("right",) * 5, "down", "plus", "plus", "u")),
    "plan, typing": (lambda s: s.plan(), (*("right",) * 4, "down", "enter", "backspace")),
    "changed meanwhile": (lambda s: question("changed", "Changed."), ()),
    "unsaved edits": (lambda s: question("unsaved", "Never saved."), ()),
    "leaving a plan": (lambda s: question("leaving", "Not saved."), ()),
    "forecast": (
        lambda s: ForecastScreen(s.services.foresee(str(s.services.folder.shared / "plans" / TIDE))),
        ("+",),
    ),
    "day": (lambda s: DayScreen(s.services), ("plus",)),
    "day, a time": (lambda s: DayScreen(s.services), ("s",)),
    "bench, a check": (bench("ready.room"), ()),
    "bench, a gate": (bench("ready.kit"), ()),
    "bench, a value": (bench("ready.weight"), ()),
    "bench, powder": (bench("stocks.rust.dye"), ()),
    "bench, painting": (bench("paint.apply"), ()),
    "bench, steaming": (bench("steam.hold"), ()),
    "bench, an alarm": (lambda s: s.alarmed(), ()),
    "bench, steam lost": (lambda s: BenchScreen(s.lost()), ()),
    "bench, cooling": (bench("cool.unwrap"), ()),
    "bench, rinsing": (lambda s: BenchScreen(s.rinsed()), ()),
    "bench, a kettle": (lambda s: BenchScreen(s.at("heat.ramp", s.kettle)), ()),
    "bench, all closed": (lambda s: BenchScreen(s.ended()), ()),
    "bench, a note": (bench("ready.room"), ("n", "l")),
    "painting": (lambda s: PaintingScreen(s.at("paint.apply")), ("enter", "enter")),
    "packets": (lambda s: PacketsScreen(s.at("steam.hold")), ()),
    "correct": (lambda s: BeforeScreen(s.at("steam.hold"), "correct"), ()),
    "taking back": (lambda s: BeforeScreen(s.at("steam.hold"), "taking_back"), ()),
    "finish": (lambda s: FinishScreen(s.at("record.rinsed-clear")), ()),
    "finish, the close": (lambda s: FinishScreen(s.at("record.close")), ()),
    "leave": (lambda s: question("leave", "Leave?", *leaving(s.at("steam.hold"))), ()),
    "why": (lambda s: why_page(s.at("steam.hold").state.worksheet.figures, ()), ()),
    "big clock": (lambda s: BigClockScreen(s.at("steam.hold")), ()),
    "shelf": (lambda s: ShelfScreen(s.services), ()),
    "shelf, a new entry": (lambda s: ShelfScreen(s.services), ("a", "x")),
    "shelf entry": (lambda s: ShelfEntryScreen(s.services, "dye", "studio rust"), ()),
    "shelf entry, a value": (lambda s: ShelfEntryScreen(s.services, "dye", "studio rust"), ("enter",)),
    "water and studio": (lambda s: ShelfEntryScreen(s.services, "studio", ""), ()),
    "shopping": (lambda s: ShoppingScreen(s.services), ("enter",)),
    "used up": (lambda s: DrawDownScreen(s.services.shelf_book, s.services.shelf_book.drawing(SESSION)), ()),
    "habits": (lambda s: HabitsScreen(s.services), ()),
    "habits, pinning": (lambda s: HabitsScreen(s.services), ("p",)),
    "logbook": (lambda s: LogbookScreen(s.services), ()),
    "logbook, finding": (lambda s: LogbookScreen(s.services), ("slash", "t")),
    "compare": (lambda s: s.compared(), ()),
    "session": (lambda s: s.session(), ()),
    "handing over": (lambda s: question("hand_over", "Write what?"), ()),
    "repeat": (lambda s: RepeatScreen(s.services, s.services.read(SESSION)), ()),
    "repeat, the base": (lambda s: RepeatScreen(s.services, s.services.read(SESSION)), ("tab",)),
    "fastness tests": (lambda s: FollowUpScreen(s.services, SESSION, s.services.read(SESSION)), ()),
    "waiting tests": (lambda s: WaitingScreen(s.services), ()),
}


class Hands:
    """Opens one screen again and again, and presses a key on each."""

    def __init__(
        self, app: PotsideApp, pilot: Any, make: Callable[[], Screen[Any]], before: tuple[str, ...]
    ) -> None:
        self.app, self.pilot, self._make, self._before = app, pilot, make, before
        self.exits: list[object] = []
        app.exit = lambda *args, **rest: self.exits.append(args)  # type: ignore[method-assign]
        self._ground = app.screen_stack[0]

    def seen(self) -> object:
        """All that tells of what a key did."""
        pages = [id(page) for page in self.app.screen_stack]
        return pages, self.text(), self.app.theme, len(self.exits), id(self.app.focused)

    def text(self) -> str:
        strips = self.app.screen._compositor.render_strips()
        return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips)

    async def rested(self) -> None:
        """Wait until nothing works beside the screen any more, and it is laid out anew."""
        for _ in range(300):
            await self.pilot.pause(UPDATE_PERIOD)
            if all(worker.is_finished for worker in self.app.workers):
                return
        raise AssertionError(f"never came to rest:\n{self.text()}")

    async def settled(self) -> object:
        """Wait until nothing more changes."""
        before, same = None, 0
        for _ in range(300):
            await self.rested()
            now = self.seen()
            same = same + 1 if now == before else 0
            if same == 2:
                return now
            before = now
        raise AssertionError(f"never came to rest:\n{self.text()}")

    async def opened(self) -> object:
        """The screen anew, and what it shows."""
        await self.rested()
        while self.app.screen is not self._ground:
            await self.app.pop_screen()
        self.app.say("")
        self.app.theme = "vat"
        self.app.push_screen(self._make())
        for key in self._before:
            await self.rested()
            await self.pilot.press(key)
        return await self.settled()

    async def changes(self, key: str) -> str:
        """Press it on the screen anew: something is done or said. What is seen then."""
        before = await self.opened()
        await self.pilot.press(key)
        for _ in range(500):
            if self.seen() != before:
                break
            await self.pilot.pause(0.02)
        after = self.seen()
        assert after != before, f"{key} does nothing on\n{self.text()}"
        return str(after)

    async def acts(self, key: str) -> None:
        """It does, and says nothing of being no key."""
        assert spoken(ASK_FOR_KEYS) not in await self.changes(key), f"{key} is no key on\n{self.text()}"
