"""The habits of the studio on screen: what is yours beside the default, pinned, switched off, and why."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field

import pytest
from textual.widgets import Input

from studio.logbook.entry import LogbookRow
from studio.plan.habits import Choice, Habit, habits_of
from studio.screens.app import PotsideApp
from studio.screens.bench.entry import Entry
from studio.screens.habits import HabitsScreen
from studio.screens.home import HomeScreen
from studio.shelf.habits import named, pinned_value
from studio.trouble import Trouble


@dataclass
class MemoryHabits:
    """Habits of a studio in memory."""

    measured: dict[str, list[float]]
    choices: dict[str, Choice] = field(default_factory=dict)

    def habits(self) -> tuple[Habit, ...]:
        return habits_of(self.measured, self.choices, {})

    def measurements(self) -> dict[str, list[tuple[str, float]]]:
        return {
            name: [("20260912-0704-tide-63ea.jsonl", v) for v in told] for name, told in self.measured.items()
        }

    def pin_habit(self, name: str, value: str) -> Habit:
        try:
            self.choices[name] = Choice(pinned=pinned_value(named(name), value))
        except ValueError as problem:
            raise Trouble(str(problem)) from problem
        return self.habits()[0]

    def switch_habit(self, name: str, on: bool) -> Habit:
        self.choices[name] = Choice(off=not on)
        return self.habits()[0]


@pytest.fixture
def book() -> MemoryHabits:
    """Three sessions at 90 % against a default of 100 % that counts as two: (270 + 200) / 5 = 94 %."""
    return MemoryHabits({"held": [90.0, 90.0, 90.0], "spread": [1.6]})


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (120, 40)])
async def test_what_is_yours_stands_beside_the_default(book, screen_text, wait_until, size) -> None:
    app = PotsideApp(lambda: book, lambda: HabitsScreen(book), bounce_s=0.0)
    async with app.run_test(size=size) as pilot:
        await wait_until(pilot, lambda: "water held after squeezing" in screen_text(app))
        lines = screen_text(app).splitlines()
        held = " ".join(lines[3].split() + lines[4].split())
        assert "94 %" in held and "yours (3 sessions)" in held and held.endswith("; default 100 %")
        assert sum("not measured yet" in line for line in lines) == len(book.habits()) - len(book.measured)
        assert all(len(line) <= size[0] for line in lines)
        assert not any("…" in line for line in lines)


async def test_pin_switch_off_and_learn_again(book, screen_text, wait_until) -> None:
    app = PotsideApp(lambda: book, lambda: HabitsScreen(book), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "94 %" in screen_text(app))
        await pilot.press("p", *"wet", "enter")
        await wait_until(pilot, lambda: "is no value for water held" in screen_text(app))
        assert app.screen.query_one(Input).value == "wet"  # what was typed is not lost
        await pilot.press(*["backspace"] * 3, *"110", "enter")
        await wait_until(pilot, lambda: "pinned" in screen_text(app))
        assert "110 %" in screen_text(app) and "learned 94 % (3 sessions); default 100 %" in screen_text(app)
        await pilot.press("o")
        await wait_until(pilot, lambda: "yours (3 sessions)" in screen_text(app))
        await pilot.press("o")
        await wait_until(
            pilot, lambda: book.choices["held"].off and " off" in screen_text(app).splitlines()[3]
        )
        await pilot.press("p", "escape")
        await wait_until(pilot, lambda: not app.screen.query_one(Entry).display)
        assert isinstance(app.screen, HabitsScreen) and book.choices["held"] == Choice(off=True)


async def test_why_tells_the_sum_and_the_sessions(book, screen_text, wait_until) -> None:
    app = PotsideApp(lambda: book, lambda: HabitsScreen(book), bounce_s=0.0)
    async with app.run_test(size=(60, 20)) as pilot:
        await wait_until(pilot, lambda: "94 %" in screen_text(app))
        await pilot.press("w")
        await wait_until(pilot, lambda: "90 (20260912)" in screen_text(app))
        told = " ".join(screen_text(app).split())
        assert "which counts as 2" in told and "nine in ten" in told and "credibility" in told
        await pilot.press("escape")
        await wait_until(pilot, lambda: isinstance(app.screen, HabitsScreen))


async def test_why_leaves_the_list_to_be_read(book, screen_text, wait_until, monkeypatch) -> None:
    app = PotsideApp(lambda: book, lambda: HabitsScreen(book), bounce_s=0.0)
    done, habits = threading.Event(), book.habits

    def slowly() -> tuple[Habit, ...]:
        assert done.wait(20)
        return habits()

    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "94 %" in screen_text(app))
        monkeypatch.setattr(book, "habits", slowly)
        book.choices["held"] = Choice(pinned=110.0)
        app.screen.read()
        await pilot.press("w")
        await wait_until(pilot, lambda: "90 (20260912)" in screen_text(app))
        done.set()
        await pilot.press("escape")
        await wait_until(pilot, lambda: "pinned" in screen_text(app))


async def test_home_leads_there(services, book, screen_text, wait_until) -> None:
    services.cards = [
        LogbookRow(
            key="k", title="Stripes", opened_ns=1_790_000_000_000_000_000, standing="finished", about=""
        )
    ]
    services.habits, services.measurements = book.habits, book.measurements
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "  plans" in screen_text(app))
        await pilot.press("h")
        await wait_until(pilot, lambda: "94 %" in screen_text(app))
        await pilot.press("escape")
        await wait_until(pilot, lambda: isinstance(app.screen, HomeScreen))
