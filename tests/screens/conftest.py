"""Driving the screens without a terminal: services in memory, screen text, waiting on a predicate."""

from __future__ import annotations

import asyncio
import re
import shutil
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import chain, repeat
from pathlib import Path
from typing import Any

import pytest
import textual.app
import textual.pilot
from textual import events
from textual._compositor import Compositor
from textual.css.stylesheet import Stylesheet
from textual.keys import _character_to_key
from textual.pilot import Pilot

from studio.logbook.entry import LogbookRow
from studio.screens.app import PotsideApp
from studio.screens.bench.bench import BenchScreen
from studio.screens.draw.digits import LEAST, big
from studio.screens.plan.plan import PlanScreen
from studio.services.plans import PlanCard, ShelfMatter, WorkedPlan
from studio.services.studio import Services
from studio.session.after.review import ReadSession
from studio.session.clock import Clock
from studio.session.commands import Resume
from studio.session.folding import Record
from studio.session.kinds.fastness import WaitingTest
from studio.session.run import Running
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock
from studio.trouble import Trouble
from tests.conftest import PLANS, settled
from tests.once import MemoryKeeper

ROOT = Path(__file__).resolve().parents[2]


async def nothing_waits(min_sleep: float = 0.0, max_sleep: float = 1.0) -> None:
    """Until the loop twice has nothing left to do: Textual looks at the clock of the processor, in naps of 20 ms, so
    that every key takes longer than its work, and on a busy machine is taken for done before it is."""
    quiet, loop = 0, asyncio.get_running_loop()
    for _ in range(int(max_sleep / NAP_S)):
        await asyncio.sleep(NAP_S)
        quiet = 0 if loop._ready else quiet + 1  # type: ignore[attr-defined]
        if quiet == 2:
            return


async def press(self: Pilot[Any], *keys: str) -> None:
    """And what it changed is drawn."""
    await _press(self, *keys)
    await self.pause()


NAP_S = 0.001
textual.app.wait_for_idle = textual.pilot.wait_for_idle = nothing_waits
_press, Pilot.press = Pilot.press, press  # type: ignore[method-assign]


def painted_when_looked_at(self: Compositor, full: bool = False, **more: Any) -> Any:
    """There is no terminal to paint at each change: a test that looks has the screen painted as it then stands."""
    if full:
        return _update(self, full, **more)
    self._dirty_regions.clear()
    return None


_update, Compositor.render_update = Compositor.render_update, painted_when_looked_at  # type: ignore[method-assign]

# Each app parses the same style sheets for itself; here the rules are kept for the next one with those colours.
RULES: dict[Any, Any] = {}
_parsed = Stylesheet._parse_rules


def _rules(self: Stylesheet, *args: Any, **named: Any) -> Any:
    key = args, tuple(named.items()), tuple(self._variables.items())
    if key not in RULES:
        RULES[key] = _parsed(self, *args, **named)
    return RULES[key]


Stylesheet._parse_rules = _rules  # type: ignore[method-assign]


@dataclass
class MemoryServices:
    """One studio in memory."""

    begin_with: Callable[..., Running]
    sheet: Any
    choices: Any = None
    studio_name: str = "Skerry Lane studio"
    cards: list[LogbookRow] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    copies: dict[str, str] = field(default_factory=dict)
    begun: Running | None = None
    state: Any = None
    held: Any = None
    """A finished session, to which something is added."""
    tests: list[WaitingTest] = field(default_factory=list)
    opened: list[str] = field(default_factory=list)
    matters: list[ShelfMatter] = field(default_factory=list)
    clock: Clock = field(default_factory=SystemClock)

    def plans(self) -> list[PlanCard]:
        return [
            PlanCard("tide", "Tidewrack stripes", "100 g, rust, kelp", goods="100 g blank"),
            PlanCard("bad", "bad.plan.toml", "bad.plan.toml: dry_weight has no unit", readable=False),
        ]

    def strip_of(self, key: str) -> tuple[()]:
        return ()

    def sessions(self) -> list[LogbookRow]:
        return self.cards

    def newest_open(self, *, refresh: bool) -> LogbookRow:
        for row in sorted(
            (one for one in self.cards if one.standing == "open"), key=lambda one: one.rehearsal
        ):
            return row
        raise Trouble("No session is open.")

    def odd_files(self) -> dict[str, str]:
        return self.copies

    def read_logbook(self, progress: Callable[[int, int], object], stop: Callable[[], bool]) -> int:
        return 0

    def find(self, text: str, *, limit: int | None, refresh: bool) -> tuple[list[LogbookRow], int]:
        """Cards whose title or place holds the text."""
        fitting = [card for card in self.cards if text.strip() in f"{card.title} {card.about}"]
        return fitting[:limit], len(fitting)

    def work_out(self, key: str) -> WorkedPlan:
        return WorkedPlan(key, "title = 1", self.choices or settled(PLANS["steam"]), self.sheet)

    def begin(self, worked: WorkedPlan) -> Running:
        if worked.worksheet.stops:
            raise Trouble(worked.worksheet.stops[0].text)
        self.begun = self.begin_with(worked.worksheet)
        return self.begun

    def rehearse(self, *, worked: WorkedPlan | None = None) -> Running:
        self.begun = self.begin_with(worked.worksheet if worked else self.sheet)
        return self.begun

    def resume(self, key: str, *, anew: bool = False) -> Running:
        self.resumed = (key, anew)
        self.begun = self.begin_with(self.sheet)
        self.begun.do(Resume(1, "0"))
        return self.begun

    def read(self, key: str) -> ReadSession:
        return ReadSession(f"{key}.jsonl", self.state or self.begin_with(self.sheet).state, ())

    def clock_of(self, events: Sequence[Record]) -> Clock:
        return self.clock

    def here(self) -> datetime:
        return datetime(2026, 10, 1, 9, 5)

    def shelf_matters(self, plans: Sequence[str]) -> list[ShelfMatter]:
        return self.matters

    def remark(self, key: str, text: str) -> None:
        self.remarks.append(text)

    def waiting(self, *, refresh: bool) -> list[WaitingTest]:
        return self.tests

    def today(self) -> str:
        return "2026-10-01"

    def add_later(self, key: str, command: Callable[[Any], Any]) -> None:
        """Carried out on the session that is held, as the services would on the file of that name."""
        asked = command(self.held.state)
        self.held.do(asked)
        self.state = self.held.state

    def foresee_text(self, plan_text: str) -> Any:
        """The sessions of these tests are of plans that are not knitted."""
        raise Trouble("Nothing is knitted of it.")

    def open_picture(self, path: str) -> str:
        self.opened.append(path)
        return f"Opening {path}."


def text_of(app: PotsideApp) -> str:
    """What the screen shows, line by line."""
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips)


async def until(pilot: Any, predicate: Callable[[], bool], what: str = "") -> None:
    """Wait until a predicate holds; fail with what the screen showed."""
    waits = chain([0.005, 0.01, 0.02], repeat(0.04, 500))
    for pause_s in waits:
        if predicate():
            return
        await pilot.pause(pause_s)
    raise AssertionError(f"never came: {what}\n{text_of(pilot.app)}")


async def enter(pilot: Pilot[Any], text: str) -> None:
    """Type into the chosen field, in place of what it holds."""
    await pilot.press("enter", "ctrl+u", *text, "enter")


@pytest.fixture
def services(begin: Callable[..., Running], sheet_of: Callable[..., Any], choices: Any) -> MemoryServices:
    return MemoryServices(begin, sheet_of(), choices)


@pytest.fixture
def bench_at(
    services: MemoryServices, begin: Callable[..., Running]
) -> Callable[..., tuple[PotsideApp, Running]]:
    """An app that opens on the bench at a step."""

    def make(
        step_id: str, sheet: Any = None, choices: Any = None, **options: Any
    ) -> tuple[PotsideApp, Running]:
        session = begin(sheet, choices, to=step_id)
        options.setdefault("bounce_s", 0.0)
        return PotsideApp(lambda: services, lambda: BenchScreen(session), **options), session

    return make


def drawn(shown: str, text: str, unit: str = "", *, ascii_only: bool = False) -> int:
    """How many rows high those digits stand there in one piece, with nothing close behind; 0 where they do not."""
    lines, found = shown.split("\n"), 0
    for high in range(LEAST, len(lines) + 1):
        rows = big(text, high, unit, ascii_only=ascii_only)
        wide = max(map(len, rows))
        if wide > max(map(len, lines)):
            break
        for top in range(len(lines) - high + 1):
            for start in re.finditer(f"(?={re.escape(rows[0])})", lines[top]):
                parts = [line[start.start() :] for line in lines[top : top + high]]
                behind = "".join(part[wide : wide + 3] for part in parts)
                if [part[:wide].rstrip() for part in parts] == rows and not set(behind) & set("▀▄█#"):
                    found = high
    return found


@pytest.fixture
def digits_drawn() -> Callable[..., int]:
    return drawn


@pytest.fixture
def screen_text() -> Callable[[PotsideApp], str]:
    return text_of


@pytest.fixture
def wait_until() -> Callable[..., Any]:
    return until


@pytest.fixture
def settle() -> Callable[[Any], Any]:
    """Let the app come to rest."""

    async def _settle(pilot: Any) -> None:
        await asyncio.sleep(0.05)
        await pilot.pause()

    return _settle


@pytest.fixture
def burst() -> Callable[..., None]:
    """All keys at once, as a slow line delivers them: each a character, or a key by its name."""

    def typed(app: PotsideApp, *keys: str) -> None:
        for key in keys:
            name = {"\r": "enter", "\b": "backspace", "\x1b": "escape"}.get(key)
            one = len(key) == 1
            app.post_message(
                events.Key(name or (_character_to_key(key) if one else key), key if one else None)
            )

    return typed


@pytest.fixture
def studio_services(tmp_path):  # type: ignore[no-untyped-def]
    (tmp_path / "sessions").mkdir()
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    services = Services(StudioFolder(tmp_path), SystemClock())
    yield services
    services.let_go()


@pytest.fixture
def opened(studio_services):  # type: ignore[no-untyped-def]
    """An app on the plan screen of a plan of the sample studio."""

    def make(name: str = "tidewrack-stripes.plan.toml") -> tuple[PotsideApp, Path]:
        path = studio_services.folder.shared / "plans" / name
        files = studio_services.plan_files
        return PotsideApp(
            lambda: studio_services, lambda: PlanScreen(studio_services, files.read(str(path))), bounce_s=0.0
        ), path

    return make


@pytest.fixture
def slow_disk(keeper: MemoryKeeper, monkeypatch: pytest.MonkeyPatch) -> Callable[[], threading.Event]:
    """Makes the disk wait from then on, until the event it gives is set."""

    def slowed() -> threading.Event:
        synced, append = threading.Event(), keeper.append

        def slowly(*told: Any) -> Any:
            assert synced.wait(20)
            return append(*told)

        monkeypatch.setattr(keeper, "append", slowly)
        return synced

    return slowed
