"""A notice has lines of its own above the keys: it covers no question, no field, no key, and goes with its time."""

from __future__ import annotations

import io
import threading
from pathlib import Path
from types import SimpleNamespace

import pytest
from textual.drivers._writer_thread import MAX_QUEUED_WRITES, WriterThread

import studio.screens
from studio.logbook.entry import LogbookRow
from studio.screens.app import PotsideApp, wait_for_no_window
from studio.screens.bench.entry import Entry
from studio.screens.keyed import Page
from studio.screens.logbook.logbook import LogbookScreen
from studio.screens.logbook.session import SessionScreen
from studio.services import exporting
from studio.session.after.review import ReadSession

LONG = (
    "The picture is not where the session says it is: photos/edge.jpg. Put it back there, or add it anew. "
    * 2
)


def squeezed(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (120, 40)])
async def test_a_notice_at_the_bench_leaves_question_field_and_keys_in_sight(
    bench_at, screen_text, wait_until, size
) -> None:
    app, session = bench_at("ready.weight")
    async with app.run_test(size=size) as pilot:
        await wait_until(pilot, lambda: "planned 100 g" in screen_text(app))
        await pilot.press("1")
        await wait_until(pilot, lambda: "Grams" in screen_text(app).splitlines()[-1])
        app.screen.tell(LONG)
        await wait_until(pilot, lambda: squeezed(LONG) in squeezed(screen_text(app)))
        shown = screen_text(app)
        lines = shown.splitlines()
        assert squeezed(LONG) in squeezed(shown)
        assert "Weigh the dry fibre" in shown and "weighed, in g" in shown
        assert lines[-1].strip().startswith("Grams") and any(line.strip() == "1" for line in lines)
        said = [i for i, line in enumerate(lines) if line.strip() and line.strip() in squeezed(LONG)]
        assert said == list(range(said[0], said[-1] + 1)), "its lines stand together"
        assert said[-1] == len(lines) - 2, "right above the keys"


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_a_remark_of_the_program_covers_no_question(
    services, begin, screen_text, wait_until, size
) -> None:
    session = begin()
    services.held, services.state = session, session.state
    app = PotsideApp(
        lambda: services,
        lambda: SessionScreen(services, "s", ReadSession("s.jsonl", session.state, ())),
        bounce_s=0.0,
    )
    async with app.run_test(size=size) as pilot:
        await pilot.press("n")
        await wait_until(pilot, lambda: app.screen.query_one(Entry).is_asking)
        await pilot.press(*"faded in june in the hall window")
        app.say(LONG, bad=True)
        await wait_until(pilot, lambda: squeezed(LONG) in squeezed(screen_text(app)))
        shown = screen_text(app)
        assert "Remark, added after the record" in shown
        assert "Enter takes it" in shown.splitlines()[-1] and "Esc goes back" in shown.splitlines()[-1]
        assert app.screen.query_one("#entry-text").value.startswith("faded")
        assert any("faded" in line for line in shown.splitlines())


async def test_a_remark_is_still_there_on_the_screen_one_goes_back_to(
    services, begin, screen_text, wait_until
) -> None:
    session = begin()
    services.cards = [
        LogbookRow(key="s", title="Tidewrack stripes", opened_ns=0, standing="finished", about="")
    ]
    services.held, services.state = session, session.state
    app = PotsideApp(lambda: services, lambda: LogbookScreen(services), bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Tidewrack" in screen_text(app))
        app.push_screen(SessionScreen(services, "s", ReadSession("s.jsonl", session.state, ())))
        await wait_until(pilot, lambda: isinstance(app.screen, SessionScreen))
        app.say("Saved as tide-again.plan.toml.")
        await wait_until(pilot, lambda: "Saved as tide-again" in screen_text(app))
        await pilot.press("escape")
        await wait_until(pilot, lambda: isinstance(app.screen, LogbookScreen))
        await wait_until(pilot, lambda: "Saved as tide-again" in screen_text(app))


async def test_the_same_words_as_bad_news_look_like_it(services, screen_text, wait_until) -> None:
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Tidewrack" in screen_text(app))
        looks = []
        for bad in (False, True):
            app.say("The pot sang.", bad=bad)
            await wait_until(pilot, lambda: "The pot sang." in screen_text(app))
            looks.append(app.screen.query_one("#notice").content.markup)
        assert looks[0] != looks[1]


async def test_a_remark_goes_after_its_time(services, screen_text, wait_until, monkeypatch) -> None:
    monkeypatch.setattr("studio.screens.app.REMARK_S", 0.05)
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Tidewrack" in screen_text(app))
        app.say("The pot sang.")
        await wait_until(pilot, lambda: "The pot sang." not in screen_text(app))


def test_no_screen_floats_a_notice_over_another() -> None:
    told = [p.name for p in Path(studio.screens.__file__).parent.rglob("*.py") if ".notify(" in p.read_text()]
    assert told == []


async def test_keys_go_on_while_the_web_page_of_a_session_is_written(
    services, screen_text, wait_until, monkeypatch
) -> None:
    """What is written is told also where one has gone back meanwhile."""
    may, read = threading.Event(), services.read("k1")

    def slowly(_services, _read, kind: str) -> str:  # type: ignore[no-untyped-def]
        assert may.wait(5), "nothing else happened while it was written"
        return f"Written: {kind}."

    monkeypatch.setattr(exporting, "hand_over", slowly)
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.push_screen(SessionScreen(services, "k1", read))
        await pilot.press("x")
        await wait_until(pilot, lambda: "Write what of this session?" in screen_text(app))
        await pilot.press("h", "escape")
        await wait_until(pilot, lambda: not isinstance(app.screen, SessionScreen | Page))
        may.set()
        await wait_until(pilot, lambda: "Written: html." in screen_text(app))


def test_the_end_is_not_waited_for_where_the_window_is_gone() -> None:
    """The toolkit's writer ends with its terminal; what it no longer takes filled its queue, and the program hung."""
    writer = WriterThread(io.StringIO())  # never started: as one that has ended
    for _ in range(MAX_QUEUED_WRITES):
        writer.write("a row")
    wait_for_no_window(SimpleNamespace(_writer_thread=writer))
    more = threading.Thread(target=writer.write, args=("the last row",), daemon=True)
    more.start()
    more.join(5)
    assert not more.is_alive()
