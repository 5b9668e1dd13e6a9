"""Entries beside the steps that are no note: a key and a field of their own, at the bench and on a session's page."""

from __future__ import annotations

import pytest

from studio.screens.app import PotsideApp
from studio.screens.bench.entry import Entry
from studio.screens.logbook.session import SessionScreen
from studio.session import commands as c
from studio.session.after.review import ReadSession
from studio.session.clock import time_of_day
from studio.session.kinds.heat import PotRead
from studio.session.kinds.notes import DropsCounted, PhotoAdded


async def kept(pilot, wait_until, screen_text, *keys: str, text: str) -> None:  # type: ignore[no-untyped-def]
    """Press the keys, type into the field they open, and take it."""
    app = pilot.app
    await pilot.press(*keys)
    await wait_until(pilot, lambda: app.screen.query(Entry) and app.screen.query_one(Entry).is_asking)
    await pilot.press(*("space" if k == " " else k for k in text), "enter")


async def test_each_kind_of_entry_has_a_key_and_a_field_at_the_bench(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        began = time_of_day(session.state.timers["steam"].started.wall_ns, session.state.utc_offset_min)
        await kept(pilot, wait_until, screen_text, "h", text=f"{began} tap ran brown")
        await wait_until(
            pilot,
            lambda: [(n.happened_at, n.text) for n in session.state.notes] == [(began, "tap ran brown")],
        )
        await kept(pilot, wait_until, screen_text, "h", text=f"{began} started")
        await wait_until(pilot, lambda: f"steam set began at {began}, entered later" in screen_text(app))
        await kept(pilot, wait_until, screen_text, "e", text="-4 it was hot before")
        await wait_until(pilot, lambda: "clock steam set: 4 min less - it was hot before" in screen_text(app))
        await pilot.press("i")
        offered = ("What is to be kept?", "picture", "swatch", "dropper", "left in the pot")
        await wait_until(pilot, lambda: all(word in screen_text(app) for word in offered))
        await kept(pilot, wait_until, screen_text, "d", text="40 in 2 mL")
        await wait_until(
            pilot,
            lambda: [(d.event.drops, d.event.ml) for d in session.state.kept(DropsCounted)] == [(40, 2)],
        )
        await kept(pilot, wait_until, screen_text, "i", "w", text="820")
        await wait_until(pilot, lambda: [p.event.ml for p in session.state.kept(PotRead)] == [820])
        await kept(pilot, wait_until, screen_text, "i", "p", text="photos/edge one.jpg")
        await wait_until(pilot, lambda: "What is on it?" in screen_text(app))
        await pilot.press("enter")
        await wait_until(
            pilot, lambda: [p.event.path for p in session.state.kept(PhotoAdded)] == ["photos/edge one.jpg"]
        )
        await kept(pilot, wait_until, screen_text, "i", "s", text="rust 3")
        await wait_until(
            pilot, lambda: "for a forecast" in screen_text(app) or "for example rust" in screen_text(app)
        )
        assert len(session.state.notes) == 1, "none of them became a note"


async def test_an_hour_that_is_none_is_refused_in_its_field_and_stays_there(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("ready.room")
    async with app.run_test(size=(80, 24)) as pilot:
        await kept(pilot, wait_until, screen_text, "h", text="25:99 lid")
        await wait_until(pilot, lambda: "from 0:00 to 23:59" in " ".join(screen_text(app).split()))
        assert app.screen.query_one("#entry-text").value == "25:99 lid" and not session.state.notes


async def test_the_pots_rest_is_not_offered_before_it_steamed(bench_at, screen_text, wait_until) -> None:
    app, _ = bench_at("ready.room")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("i")
        await wait_until(pilot, lambda: "What is to be kept?" in screen_text(app))
        assert "left in the pot" not in screen_text(app)


@pytest.mark.parametrize(
    "words", ["swatch rust 3 solid", "photo photos/a.jpg x", "pot 8 mL left", "at 14:05 x"]
)
async def test_a_note_at_the_bench_is_a_note_whatever_it_says(
    bench_at, screen_text, wait_until, words
) -> None:
    app, session = bench_at("ready.room")
    async with app.run_test(size=(80, 24)) as pilot:
        await kept(pilot, wait_until, screen_text, "n", text=words)
        await wait_until(pilot, lambda: [n.text for n in session.state.notes] == [words])
        assert session.state.notes[0].happened_at == "" and not session.state.kept(PhotoAdded)


async def test_drops_and_a_picture_are_added_on_the_page_of_a_closed_session(
    services, begin, screen_text, wait_until
) -> None:
    session = begin()
    session.do(c.Abandon("only a test of what comes later"))
    services.held, services.state = session, session.state
    app = PotsideApp(
        lambda: services,
        lambda: SessionScreen(services, "s", ReadSession("s.jsonl", session.state, ())),
        bounce_s=0.0,
    )
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "other entry" in screen_text(app))
        await pilot.press("i")
        await wait_until(pilot, lambda: "What is to be kept?" in screen_text(app))
        assert "left in the pot" not in screen_text(app)
        await kept(pilot, wait_until, screen_text, "d", text="40 in 2 mL")
        await wait_until(pilot, lambda: "dropper: 40 drops in 2 mL" in screen_text(app))
        await kept(pilot, wait_until, screen_text, "i", "p", text="photos/after.jpg")
        await wait_until(pilot, lambda: "What is on it?" in screen_text(app))
        await pilot.press(*"dry", "enter")
        await wait_until(
            pilot,
            lambda: (
                [(p.event.path, p.event.text) for p in services.state.kept(PhotoAdded)]
                == [("photos/after.jpg", "dry")]
            ),
        )
        assert not services.state.notes
