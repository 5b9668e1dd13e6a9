"""Files that someone forged: every check sum is right and what they say is not. One sentence, never a fault or the end.

A value is dropped, made another kind of thing, emptied or driven beyond all measure, a key or a kind is put in that is
not known, lines change places; then the file is read by every command that reads a session, and opened on every screen.
"""

from __future__ import annotations

import asyncio
import copy
import random
from collections.abc import Callable, Iterable, Iterator
from itertools import takewhile
from pathlib import Path
from typing import Any

import msgspec
import pytest
from click.testing import CliRunner
from textual.screen import Screen

from studio.cli import main
from studio.report.session_page import session_page
from studio.screens.app import PotsideApp
from studio.screens.bench.bench import BenchScreen
from studio.screens.habits import HabitsScreen
from studio.screens.home import HomeScreen
from studio.screens.logbook.follow_up import FollowUpScreen, WaitingScreen
from studio.screens.logbook.logbook import CompareScreen, LogbookScreen
from studio.screens.logbook.repeat import RepeatScreen
from studio.screens.logbook.session import SessionScreen
from studio.screens.shelf.shopping import DrawDownScreen
from studio.services.exporting import documents
from studio.services.studio import Services
from studio.session.folding import Record, kinds
from studio.session.sheet import sheet_now
from studio.store.disk import Unstorable
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock
from studio.trouble import Trouble

OTHER = "20261031-1520-tidewrack-stripes-ffa5"
KEY = "20261120-0900-forged-0000"
COMMANDS = [
    ["show", KEY],
    ["show", KEY, "--json"],
    ["verify", KEY],
    ["logbook"],
    ["logbook", "--json"],
    ["follow", KEY],
    ["follow"],
    ["habits"],
    ["compare", KEY, OTHER],
    ["compare", OTHER, KEY, "--json"],
    ["repeat", KEY, "--same-jars"],
    ["shelf", "--draw-down", KEY],
    ["resume", KEY, "--plain"],
    ["resume", KEY, "--plain", "--continue"],
    *(["export", KEY, "--as", kind, "-o", "OUT"] for kind in ("markdown", "html", "csv", "json", "labels")),
]
EXTREMES: list[Any] = [
    None, "", "x", "../../x", "-1", 0, -1, 1, 2, 10**6, -(10**6), 2**62, 10**30, -(10**30), 0.5, 1e300, -1e300, 1e-300,
    True, False, [], {}, [None], [1, 2], {"a": 1}, "2026-13-45", "9999-12-31", "x" * 5000,
]  # fmt: skip


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every key and item within."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in pairs:
        yield (*path, key)
        yield from places(inner, (*path, key))


@pytest.fixture(scope="module")
def forger(samples: dict[Path, list[Record]], sealed: Callable[..., bytes]) -> Forger:
    return Forger(samples, sealed)


class Forger:
    """Forges the samples, for a number always in the same way."""

    def __init__(self, samples: dict[Path, list[Record]], sealed: Callable[..., bytes]) -> None:
        self._samples, self._sealed = list(samples.values()), sealed
        self._lines = [path.read_bytes().splitlines(keepends=True) for path in samples]
        later = (record for records in self._samples for record in records[1:])
        self._texts = sorted({text for r in later for text in r.data.values() if isinstance(text, str)})

    def files(self, seeds: range) -> Iterator[tuple[int, bytes]]:
        """What no line can hold is forged by nobody."""
        for seed in seeds:
            try:
                yield seed, self._file(seed)
            except Unstorable:
                continue

    def _file(self, seed: int) -> bytes:
        """A sample with one to three keys of one line not what they were, and often more that no rule writes.

        Its end or some event is missing, a key or a kind is not known, or two lines have changed places.
        """
        chance = random.Random(seed)
        which = chance.choice(range(len(self._samples)))
        whole, lines = self._samples[which], self._lines[which]
        records = list(whole)
        if chance.random() < 0.4:
            records = records[: chance.randrange(2, len(records))]
        if chance.random() < 0.2:
            del records[
                chance.randrange(1, len(records))
            ]  # what later events refer to hangs, or names another
        if chance.random() < 0.1 and len(records) > 2:
            one, other = chance.sample(range(1, len(records)), 2)
            records[one], records[other] = records[other], records[one]
        there = sorted({r.kind for r in records})
        kind = "session.opened" if chance.random() < 0.3 else chance.choice(there)
        place = chance.choice([i for i, r in enumerate(records) if r.kind == kind])
        data = records[place].data
        for _ in range(chance.choice([1, 1, 1, 3])):
            data = self._data(data, chance)
        if chance.random() < 0.1:
            data = {**data, "by_whom": chance.choice(EXTREMES)}
        if chance.random() < 0.1:
            kind = chance.choice([*kinds(), "kind.of.the.future"])
        records[place] = msgspec.structs.replace(records[place], kind=kind, data=data)
        same = sum(1 for _ in takewhile(lambda pair: pair[0] is pair[1], zip(records, whole, strict=False)))
        return self._sealed(records[same:], lines[:same])

    def _data(self, data: dict[str, Any], chance: random.Random) -> dict[str, Any]:
        """The same with one key dropped, or another thing in its place; what does not lead there is shared."""
        found = list(places(data))
        if not found:
            return {"x": 1}
        top = [place for place in found if len(place) == 1]
        *way, last = chance.choice(top if chance.random() < 0.3 else found)
        holder: Any = (made := copy.copy(data))
        for key in way:
            holder[key] = copy.copy(holder[key])
            holder = holder[key]
        old = holder[last]
        how = chance.choice([0, 1, 1, 1, 2])
        if how == 0:
            del holder[last]
        elif how == 1 and isinstance(old, int | float) and not isinstance(old, bool):
            holder[last] = type(old)(old * chance.choice([-1, 0, 1000, -1000, 10**9]))
        elif how == 1 and isinstance(old, str):
            # A text that may stand in a key, but names something else.
            holder[last] = chance.choice([old + "x", old[:-1], *chance.sample(self._texts, 3)])
        else:
            holder[last] = chance.choice(EXTREMES)
        return made


def commanded(studio: Path, words: list[str], answers: str = "") -> tuple[int, str]:
    """What a command says of the forged file: its exit code, one of those that are written down, and its output."""
    path = str(studio / "sessions" / f"{KEY}.jsonl")
    told = [
        {"OUT": str(studio / "out.txt"), KEY: path if words[0] == "verify" else KEY}.get(w, w) for w in words
    ]
    done = CliRunner().invoke(main, ["--studio", str(studio), *told], input=answers)
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    assert done.exit_code in (0, 1, 2, 3, 4), done.output
    assert "fault of the program" not in done.output and "Traceback" not in done.output, done.output
    if done.exit_code and not done.stdout.strip():
        assert done.stderr.strip(), "it must say why"
    return done.exit_code, " ".join(done.output.split())


def looked_at(studio: Path) -> None:
    """The record, the bench with its sheet, the exports."""
    services = Services(StudioFolder(studio), SystemClock())
    try:
        found = services.read(KEY)
    except Trouble as told:
        assert str(told).strip()
        return
    session_page(found.state, found.name, found.remarks, 80)
    sheet_now(found.state)
    documents(services, found, "csv")


Make = Callable[[Services], Screen[Any]]
SCREENS: dict[str, tuple[Make, tuple[str, ...]]] = {
    "home": (lambda s: HomeScreen(), ("down", "up")),
    "logbook": (LogbookScreen, ("home", "enter")),
    "session": (lambda s: SessionScreen(s, KEY, s.read(KEY)), ("w",)),
    "go on": (lambda s: SessionScreen(s, KEY, s.read(KEY)), ("c", "enter", "enter")),
    "compare": (lambda s: CompareScreen([s.read(OTHER), s.read(KEY)]), ()),
    "repeat": (lambda s: RepeatScreen(s, s.read(KEY)), ("5", "0")),
    "draw-down": (lambda s: DrawDownScreen(s.shelf_book, s.shelf_book.drawing(KEY)), ("enter",)),
    "bench": (lambda s: BenchScreen(s.resume(KEY)), ("enter", "1", "0", "0", "enter", "u")),
    "follow-up": (lambda s: FollowUpScreen(s, KEY, s.read(KEY)), ("enter",)),
    "tests that wait": (WaitingScreen, ("enter",)),
    "habits": (HabitsScreen, ("enter",)),
}


async def opened(studio: Path, files: Iterable[tuple[int, bytes]]) -> dict[str, str]:
    """Each file on one screen, turn by turn, in one run of the program; what was last seen on each screen."""
    services = Services(StudioFolder(studio), SystemClock())
    app = PotsideApp(lambda: services, Screen, bounce_s=0.0)
    file, seen = studio / "sessions" / f"{KEY}.jsonl", {}
    async with app.run_test(size=(100, 30)) as pilot:
        for number, raw in files:
            name = list(SCREENS)[number % len(SCREENS)]
            make, keys = SCREENS[name]
            file.write_bytes(raw)
            ground = len(app.screen_stack)
            try:
                await app.push_screen(make(services))
                seen[name] = await at_rest(app, pilot)
                await pilot.press(*keys)
                seen[name] += await at_rest(app, pilot)
            except Trouble as told:
                assert str(told).strip()
                seen[name] = str(told)
            except Exception as fault:
                raise AssertionError(f"seed {number} on {name}") from fault
            assert app._exception is None and app.is_running, f"seed {number} on {name}"
            services.let_go()
            while len(app.screen_stack) > ground:
                app.screen.dismiss()
                await pilot.pause()
            cleared(studio)
    return seen


async def at_rest(app: PotsideApp, pilot: Any) -> str:
    """All that stands on the screen once nothing is read any more, on one line."""
    await pilot.pause()
    for _ in range(500):
        if all(worker.is_finished for worker in app.workers):
            break
        await pilot.pause(0.01)
    await pilot.pause()
    strips = app.screen._compositor.render_strips()
    return " ".join("".join(part.text for strip in strips for part in strip).split())


def cleared(studio: Path) -> None:
    for made in [*(studio / "sessions").glob("20261120*"), *studio.glob("out*")]:
        made.unlink()


def sweep(studio: Path, files: Iterable[tuple[int, bytes]]) -> None:
    """Each file read as all that shows it does, and by one command, turn by turn."""
    file = studio / "sessions" / f"{KEY}.jsonl"
    for seed, raw in files:
        file.write_bytes(raw)
        try:
            looked_at(studio)
            commanded(studio, COMMANDS[seed % len(COMMANDS)], "\n\n100\ndone\n?\n")
        except Exception as fault:
            raise AssertionError(f"seed {seed}") from fault
        finally:
            cleared(studio)


def test_a_second_opening_a_table_of_no_way_and_a_colour_of_no_stock_are_told(
    forged_studio: Path, forger: Forger
) -> None:
    """Seeds that once ended in a fault."""
    for seed in (1045, 2783):
        sweep(forged_studio, forger.files(range(seed, seed + 1)))
    asyncio.run(opened(forged_studio, forger.files(range(2447, 2448))))


@pytest.mark.deep
@pytest.mark.parametrize("part", range(6))
def test_many_forged_files(forged_studio: Path, forger: Forger, part: int) -> None:
    files = list(forger.files(range(1000 + part * 250, 1120 + part * 250)))
    sweep(forged_studio, files)
    asyncio.run(opened(forged_studio, files))


@pytest.mark.deep
def test_screens_say_what_is_wrong_and_stay(forged_studio: Path, changed: Callable[..., bytes]) -> None:
    """Damaged in one line; an opening that does not fit; and with every key there but a value beyond all measure."""
    places = {name: number for number, name in enumerate(SCREENS)}
    damaged = changed("step.measured", whole=True, value="much")
    mad = changed("step.measured", value=1e300, fixed={"fibre.weight": 1e300})
    files = [(places[name], damaged) for name in ("home", "logbook", "session", "compare", "draw-down")]
    files += [(places[name], mad) for name in ("bench", "repeat")]
    seen = asyncio.run(opened(forged_studio, files))
    for name in ("logbook", "session", "compare", "draw-down"):
        assert "cannot be read (" in seen[name] and "value is not a number" in seen[name], seen[name]
    opening = changed("session.opened", title=7)
    seen = asyncio.run(opened(forged_studio, [(places["logbook"], opening)]))
    assert "session.opened: title is not a text" in seen["logbook"], seen["logbook"]


@pytest.fixture
def told(forged_studio: Path) -> Callable[[bytes, list[str]], tuple[int, str]]:
    """What a command says of a file that was forged so."""

    def run(raw: bytes, words: list[str]) -> tuple[int, str]:
        (forged_studio / "sessions" / f"{KEY}.jsonl").write_bytes(raw)
        said = commanded(forged_studio, words)
        cleared(forged_studio)
        return said

    return run


OF_ONE = [
    words for words in COMMANDS if KEY in words and not {"--continue", "html", "json", "labels"} & {*words}
]
"""The commands that read one session, export once; what is left out by going on in a new file is told before."""


def test_every_command_says_line_and_field(
    told: Any, changed: Callable[..., bytes], sample: list[Record]
) -> None:
    """By turns of a session that is over, as the draw-down asks for, and of one whose opening does not fit."""
    line = next(r.n for r in sample if r.kind == "step.measured")
    broken = changed("step.measured", whole=True, value="much")
    for words in OF_ONE:
        code, said = told(broken, words)
        sentence = f"Line {line} cannot be read ("
        assert code == 3 and sentence in said and "step.measured: value is not a number" in said, said
    code, said = told(broken, ["logbook", "--json"])
    assert code == 0 and "step.measured: value is not a number" in said
    opening = changed("session.opened", title=7)
    for words in OF_ONE[::4]:
        code, said = told(opening, words)
        assert code == 3 and "ine 1" in said and "session.opened: title is not a text" in said, said
    code, said = told(opening, ["resume", KEY, "--plain", "--continue"])
    assert code == 3 and "cannot be continued" in said


def test_a_file_of_a_later_format_is_read_past_the_keys_that_are_not_known(
    told: Any, changed: Callable[..., bytes]
) -> None:
    raw = changed("session.opened", format="potside-session/2", by_whom="Ailsa")
    code, said = told(raw, ["show", KEY])
    assert code == 0 and "Tidewrack stripes" in said and "cannot be read" not in said, said
    code, said = told(raw, ["resume", KEY, "--plain"])
    assert code == 3 and "as potside-session/2; this version can only show it" in said
