"""Every key that is printed at the foot of a screen or on its key card is pressed as it is printed there, and acts."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from textual.screen import Screen
from textual.widgets import Input, OptionList

from studio.screens.app import PotsideApp
from studio.screens.bench.bench import BenchScreen
from studio.screens.bench.clock import LockScreen
from studio.screens.keyed import Keyed, Page
from studio.screens.logbook.logbook import LogbookScreen
from studio.screens.worksheet import WorksheetScreen
from studio.services.studio import Services
from studio.session.clock import NS, Reading, SteppedClock
from studio.store.folder import StudioFolder
from studio.words.table import rows_of, spoken
from tests.screens.places import PLACES, Hands, Studio

ROOT = Path(__file__).resolve().parents[2]
NOVEMBER = Reading(1_795_600_000 * NS, 5_000 * NS, 4_000 * NS, "boot-a")  # 2026-11-25

NAMES = {
    "Esc": "escape", "?": "question_mark", "+": "plus", "-": "minus", "/": "slash", "=": "equals_sign",
    "PgDn": "pagedown", "PgUp": "pageup", "Del": "delete",
}  # fmt: skip
KEY = re.compile(
    r"Enter|Esc|Space|Tab|Del|Backspace|Up|Down|Left|Right|PgDn|PgUp|F\d|Ctrl\+[A-Z]|Shift\+Tab|\d-\d|[A-Z0-9]|[?+/=-]"
)


@pytest.fixture
def studio(tmp_path, begin, sheet_of, monkeypatch) -> Iterator[Studio]:  # type: ignore[no-untyped-def]
    monkeypatch.setattr("studio.screens.bench.bench.FRESH_ALARM_S", 0.0)
    for part in ("shared", "sessions"):
        shutil.copytree(ROOT / part, tmp_path / part)
    services = Services(StudioFolder(tmp_path), SteppedClock(NOVEMBER))
    yield Studio(services, begin, sheet_of(method="kettle"))
    services.let_go()


def at_foot(text: str) -> list[str]:
    """Keys on the last line of a screen."""
    return [word for word in text.splitlines()[-1].split() if KEY.fullmatch(word)]


def on_card(text: str) -> list[str]:
    """Keys of a key card, or of a question with its answers."""
    rows = [line for line in text.splitlines()[:-1] if re.match(r" \S.*?  +\S", line)]
    told = [re.split(r"  +", line.strip())[0].split(", ") for line in rows]
    return [key for keys in told if all(KEY.fullmatch(key) for key in keys) for key in keys]


def pressed(printed: list[str]) -> list[str]:
    """The keys as a terminal names them; `1-5` is each of the five."""
    keys: dict[str, None] = {}
    for name in printed:
        if re.fullmatch(r"\d-\d", name):
            keys.update(dict.fromkeys(str(n) for n in range(int(name[0]), int(name[2]) + 1)))
        else:
            keys[NAMES.get(name, name if len(name) == 1 else name.lower())] = None
    return list(keys)


def not_now(screen: Screen[Any]) -> list[str]:
    """Letters and digits of the screen that do not hold now, and one that no screen has: they say so."""
    assert isinstance(screen, Keyed)
    held = {key for row in screen.keys_now() for key in row.keys.split(",")}
    named = {key for row in rows_of(screen.WHERE) for key in row.keys.split(",") if len(key) == 1}
    return sorted((named | {"V", "7"}) - held)


QUICK = {"habits"}
"""Pressed in every run; a key is a screen opened anew, so the other places are pressed in the deep one."""


@pytest.mark.parametrize(
    "place", [place if place in QUICK else pytest.param(place, marks=pytest.mark.deep) for place in PLACES]
)
async def test_every_key_acts_as_it_is_printed(place: str, studio: Studio) -> None:
    make, before = PLACES[place]
    app = PotsideApp(lambda: studio.services, Screen, bounce_s=0.0)
    async with app.run_test(size=(90, 40)) as pilot:
        await pilot.pause()
        hands = Hands(app, pilot, lambda: make(studio), before)
        await hands.opened()
        printed = at_foot(hands.text())
        if isinstance(app.screen, Page):
            printed += on_card(hands.text())
        if "?" in printed:
            await pilot.press("question_mark")
            await hands.settled()
            assert isinstance(app.screen, Page) and app.screen.WHERE == "card"
            card = on_card(hands.text())
            assert set(printed) <= set(card) | {"?"}, "the card has all that the foot has"
            printed += card
        assert printed
        for key in pressed(printed):
            if (place, key) != ("painting", "3"):  # That band is marked already.
                await hands.acts(key)
        await hands.opened()
        for key in [] if isinstance(app.focused, Input) else not_now(app.screen):
            await hands.changes(key)


PARTLY = {
    "home", "home on a plan", "logbook", "logbook, finding", "shelf", "shelf, a new entry", "shelf entry",
    "shelf entry, a value",
}  # fmt: skip
"""Lists whose rows may be cut: all of the row under the bar stands at the foot, in the logbook above it."""


@pytest.mark.parametrize(
    "size", [(60, 20), *(pytest.param(size, marks=pytest.mark.deep) for size in ((80, 24), (120, 40)))]
)
async def test_the_foot_is_whole_on_every_screen_and_a_key_that_does_nothing_says_where_they_are(
    size: tuple[int, int], studio: Studio, sampled: Callable[..., Any]
) -> None:
    app = PotsideApp(lambda: studio.services, Screen, bounce_s=0.0)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        for place, (make, before) in sampled(list(PLACES.items()), 12):
            hands = Hands(app, pilot, lambda make=make: make(studio), before)  # type: ignore[misc]
            await hands.opened()
            line = hands.text().splitlines()[-1]
            assert len(line) <= size[0]
            assert not re.search(r"\{\w+\.\w+\}", hands.text()), f"{place}: a key is not said"
            assert place in PARTLY or "…" not in hands.text(), f"{place}: cut\n{hands.text()}"
            end = re.search(r"(\? keys  )?(Esc|Q) [a-z ]+$", line)
            assert end is not None and len(line) >= size[0] - 1, f"{place}: {line!r}"
            screen = app.screen
            assert isinstance(screen, Keyed)
            if isinstance(app.focused, Input):
                continue  # Where something is typed, letters are letters.
            await pilot.press("f9")
            assert spoken(screen.ELSE)[:40] in str(await hands.settled()), place


async def test_a_key_that_does_not_hold_now_says_why(studio: Studio) -> None:
    app = PotsideApp(lambda: studio.services, lambda: BenchScreen(studio.at("ready.room")), bounce_s=0.0)
    async with app.run_test(size=(90, 40)) as pilot:
        await pilot.pause()
        hands = Hands(app, pilot, Screen, ())
        for key, why in (("v", "takes no value"), ("G", "not rolling yet"), ("Z", "No alarm stands")):
            await pilot.press(key)
            await hands.settled()
            assert why in hands.text()


async def test_a_locked_keyboard_opens_as_it_says(studio: Studio) -> None:
    running = studio.at("steam.hold")
    app = PotsideApp(lambda: studio.services, lambda: BenchScreen(running), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        app.push_screen(LockScreen(running))
        await pilot.pause()
        assert "Type ok and Enter" in Hands(app, pilot, Screen, ()).text()
        await pilot.press("O", "K", "enter")
        await pilot.pause()
        assert not isinstance(app.screen, LockScreen)


async def test_enter_on_a_worksheet_begins_nothing_and_b_asks_once(studio: Studio) -> None:
    app = PotsideApp(lambda: studio.services, lambda: studio.worksheet(), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        hands = Hands(app, pilot, Screen, ())
        await pilot.press("enter")
        await hands.settled()
        assert isinstance(app.screen, WorksheetScreen)
        await pilot.press("b")
        await hands.settled()
        assert "rehearse or begin?" in hands.text()
        await pilot.press("r")
        await hands.settled()
        bench = app.screen
        assert isinstance(bench, BenchScreen) and bench.running.state.rehearsal_speed
    assert len(list((studio.services.folder.sessions).glob("*.jsonl"))) == 7


async def test_l_at_the_end_opens_the_logbook(studio: Studio) -> None:
    app = PotsideApp(lambda: studio.services, lambda: BenchScreen(studio.ended()), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        hands = Hands(app, pilot, Screen, ())
        await hands.settled()
        assert "L logbook" in hands.text()
        await pilot.press("L")
        await hands.settled()
        assert isinstance(app.screen, LogbookScreen)
        assert app.screen.query_one(OptionList).option_count == 6
