"""Files that someone forged: every check sum is right and what they say is not. One sentence, never a fault or the end.

A value is dropped, made another kind of thing, emptied or driven beyond all measure, a key or a kind is put in that is
not known, lines change places; then the file is read by every command that reads a session, and opened on every screen.
"""

from __future__ import annotations

import asyncio
import copy
import random
import re
import shutil
from collections.abc import Callable, Iterable, Iterator
from hashlib import sha256
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
from studio.screens.logbook.compare import CompareScreen
from studio.screens.logbook.follow_up import FollowUpScreen, WaitingScreen
from studio.screens.logbook.logbook import LogbookScreen
from studio.screens.logbook.repeat import RepeatScreen
from studio.screens.logbook.session import SessionScreen
from studio.screens.shelf.shopping import DrawDownScreen
from studio.services.exporting import documents
from studio.services.studio import Services
from studio.session.folding import KINDS, Misfit, NotASession, fitted, replay
from studio.session.sheet import sheet_now
from studio.store.disk import Unstorable
from studio.store.folder import StudioFolder
from studio.store.line import FIRST_PREV, Record, encode
from studio.store.reading import read_session, read_text
from studio.store.repair import continue_in_new_file
from studio.store.system_clock import SystemClock
from studio.trouble import Trouble

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = sorted((ROOT / "sessions").glob("*.jsonl"))
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


def forged_data(data: dict[str, Any], chance: random.Random) -> dict[str, Any]:
    """The same with one key dropped, or another thing in its place."""
    made = copy.deepcopy(data)
    found = list(places(made))
    if not found:
        return {"x": 1}
    top = [place for place in found if len(place) == 1]
    *way, last = chance.choice(top if chance.random() < 0.3 else found)
    holder: Any = made
    for key in way:
        holder = holder[key]
    old = holder[last]
    how = chance.choice([0, 1, 1, 1, 2])
    if how == 0:
        del holder[last]
    elif how == 1 and isinstance(old, int | float) and not isinstance(old, bool):
        holder[last] = type(old)(old * chance.choice([-1, 0, 1000, -1000, 10**9]))
    elif how == 1 and isinstance(old, str):
        holder[last] = chance.choice([old + "x", old[:-1], *chance.sample(TEXTS, 3)])
    else:
        holder[last] = chance.choice(EXTREMES)
    return made


TEXTS: list[str] = []
"""Every text of the samples, each once: one that may stand in a key, but names something else."""


def sealed(records: list[Record]) -> bytes:
    """The lines with check sums, chain and closing sum as they should be."""
    prev, lines = FIRST_PREV, []
    for n, record in enumerate(records, start=1):
        data = record.data
        if record.kind == "session.finished" and "sha256" in data:
            data = {**data, "sha256": sha256(b"".join(lines)).hexdigest()}
        lines.append(encode(msgspec.structs.replace(record, n=n, data=data), prev))
        prev = lines[-1][-11:-3].decode()
    return b"".join(lines)


READ = {path: read_session(path).records for path in SAMPLES}

TEXTS += sorted(
    {
        text
        for records in READ.values()
        for record in records[1:]
        for text in record.data.values()
        if isinstance(text, str)
    }
)


def forged(seed: int) -> bytes:
    """A sample with one to three keys of one line not what they were, and often more that no rule writes.

    Its end or some event is missing, a key or a kind is not known, or two lines have changed places.
    """
    chance = random.Random(seed)
    records = list(READ[chance.choice(SAMPLES)])
    if chance.random() < 0.4:
        records = records[: chance.randrange(2, len(records))]
    if chance.random() < 0.2:
        del records[chance.randrange(1, len(records))]  # what later events refer to hangs, or names another
    if chance.random() < 0.1 and len(records) > 2:
        one, other = chance.sample(range(1, len(records)), 2)
        records[one], records[other] = records[other], records[one]
    kinds = sorted({r.kind for r in records})
    kind = "session.opened" if chance.random() < 0.3 else chance.choice(kinds)
    place = chance.choice([i for i, r in enumerate(records) if r.kind == kind])
    data = records[place].data
    for _ in range(chance.choice([1, 1, 1, 3])):
        data = forged_data(data, chance)
    if chance.random() < 0.1:
        data = {**data, "by_whom": chance.choice(EXTREMES)}
    if chance.random() < 0.1:
        kind = chance.choice([*KINDS, "kind.of.the.future"])
    records[place] = msgspec.structs.replace(records[place], kind=kind, data=data)
    return sealed(records)


@pytest.fixture(scope="module")
def studio(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("forged")
    (root / "sessions").mkdir()
    shutil.copytree(ROOT / "shared", root / "shared")
    for path in SAMPLES:
        if path.stem == OTHER:
            shutil.copy(path, root / "sessions")
    return root


def commanded(studio: Path, words: list[str]) -> None:
    """One of the exit codes that are written down, and no fault."""
    path = str(studio / "sessions" / f"{KEY}.jsonl")
    told = [
        {"OUT": str(studio / "out.txt"), KEY: path if words[0] == "verify" else KEY}.get(w, w) for w in words
    ]
    done = CliRunner().invoke(main, ["--studio", str(studio), *told], input="\n\n100\ndone\n?\n")
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    assert done.exit_code in (0, 1, 2, 3, 4), done.output
    assert "fault of the program" not in done.output and "Traceback" not in done.output, done.output
    if done.exit_code and not done.stdout.strip():
        assert done.stderr.strip(), "it must say why"


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
    "repeat": (lambda s: RepeatScreen(s, KEY, s.read(KEY)), ("5", "0")),
    "draw-down": (lambda s: DrawDownScreen(s.shelf_book, s.shelf_book.drawing(KEY)), ("enter",)),
    "bench": (lambda s: BenchScreen(s.resume(KEY)), ("enter", "1", "0", "0", "enter", "u")),
    "follow-up": (lambda s: FollowUpScreen(s, KEY, s.read(KEY)), ("enter",)),
    "tests that wait": (WaitingScreen, ("enter",)),
    "habits": (HabitsScreen, ("enter",)),
}


async def opened(studio: Path, files: Iterable[tuple[int, bytes]]) -> dict[str, str]:
    """Each file on one screen, turn by turn, in one run of the program; what was last seen on each screen."""
    services = Services(StudioFolder(studio), SystemClock())
    app = PotsideApp(lambda: services, lambda: WaitingScreen(services), bounce_s=0.0)
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


def sweep(studio: Path, seeds: range, commands: int) -> None:
    file = studio / "sessions" / f"{KEY}.jsonl"
    for seed, raw in written(seeds):
        file.write_bytes(raw)
        try:
            looked_at(studio)
            for number in range(commands):
                file.write_bytes(raw)
                commanded(studio, COMMANDS[(seed * commands + number) % len(COMMANDS)])
        except Exception as fault:
            raise AssertionError(f"seed {seed}") from fault
        finally:
            cleared(studio)


def written(seeds: range) -> Iterator[tuple[int, bytes]]:
    """What no line can hold is forged by nobody."""
    for seed in seeds:
        try:
            yield seed, forged(seed)
        except Unstorable:
            continue


def test_a_second_opening_a_table_of_no_way_and_a_colour_of_no_stock_are_told(studio: Path) -> None:
    """Seeds that once ended in a fault."""
    for seed in (1045, 2783):
        sweep(studio, range(seed, seed + 1), 1)
    asyncio.run(opened(studio, written(range(2447, 2448))))


@pytest.mark.deep
@pytest.mark.parametrize("part", range(10))
def test_many_forged_files(studio: Path, part: int) -> None:
    seeds = range(1000 + part * 250, 1250 + part * 250)
    sweep(studio, seeds, 1)
    asyncio.run(opened(studio, written(seeds)))


def every_kind() -> dict[str, dict[str, Any]]:
    """The fullest data of each kind that the samples hold."""
    found: dict[str, dict[str, Any]] = {}
    for records in READ.values():
        for record in records:
            if len(record.data) >= len(found.get(record.kind, ())):
                found[record.kind] = record.data
    return found


def misfit(kind: str, data: dict[str, Any], *, newer: bool = False) -> str:
    """What does not fit; empty where all does."""
    try:
        fitted(kind, data, newer=newer)
    except Misfit as problem:
        return str(problem)
    return ""


def test_each_kind_with_each_key_missing_of_another_type_or_beside_is_told_by_its_field() -> None:
    for kind, data in every_kind().items():
        shape = {f.encode_name: f for f in msgspec.structs.fields(KINDS[kind])}
        assert misfit(kind, data) == ""
        assert misfit(kind, {**data, "by_whom": 1}) == f"{kind}: by_whom is no key of it"
        assert misfit(kind, {**data, "by_whom": 1}, newer=True) == ""
        for key in data:
            if key == "format":
                continue  # of a newer file it is to be said that it is one
            without = {k: v for k, v in data.items() if k != key}
            assert misfit(kind, without) == (f"{kind}: {key} is missing" if shape[key].required else "")
            for newer in (False, True):
                told = misfit(kind, {**data, key: {"a": [1]}}, newer=newer)
                assert told.startswith(f"{kind}: {key}"), told


def test_screens_say_what_is_wrong_and_stay(studio: Path) -> None:
    """Damaged in one line; an opening that does not fit; and with every key there but a value beyond all measure."""
    places = {name: number for number, name in enumerate(SCREENS)}
    damaged = changed("step.measured", whole=True, value="much")
    mad = changed("step.measured", value=1e300, fixed={"fibre.weight": 1e300})
    seen = asyncio.run(
        opened(
            studio,
            [
                *((places[name], damaged) for name in ("home", "logbook", "session", "compare", "draw-down")),
                *((places[name], mad) for name in ("bench", "repeat")),
            ],
        )
    )
    for name in ("logbook", "session", "compare", "draw-down"):
        assert "cannot be read (" in seen[name] and "value is not a number" in seen[name], seen[name]
    seen = asyncio.run(opened(studio, [(places["logbook"], changed("session.opened", title=7))]))
    assert "session.opened: title is not a text" in seen["logbook"], seen["logbook"]


def changed(kind: str, *, whole: bool = False, **keys: Any) -> bytes:
    """The first sample, without its end, with keys of its first event of a kind changed; None takes one out."""
    records = list(READ[SAMPLES[0]])[: None if whole else 40]
    place = next(i for i, record in enumerate(records) if record.kind == kind)
    data = {key: value for key, value in {**records[place].data, **keys}.items() if value is not None}
    records[place] = msgspec.structs.replace(records[place], data=data)
    return sealed(records)


@pytest.fixture
def told(studio: Path) -> Any:
    """What a command says of a forged file: its exit code and all it printed, on one line."""

    def run(raw: bytes, words: list[str]) -> tuple[int, str]:
        file = studio / "sessions" / f"{KEY}.jsonl"
        file.write_bytes(raw)
        paths = {"OUT": str(studio / "out.txt"), KEY: str(file) if words[0] == "verify" else KEY}
        done = CliRunner().invoke(
            main, ["--studio", str(studio), *(paths.get(w, w) for w in words)], input=""
        )
        assert "fault of the program" not in done.output, done.output
        cleared(studio)
        return done.exit_code, " ".join(done.output.split())

    return run


OF_ONE = [
    words for words in COMMANDS if KEY in words and not {"--continue", "html", "json", "labels"} & {*words}
]
"""The commands that read one session, export once; what is left out by going on in a new file is told before."""


def test_every_command_says_line_and_field(told: Any) -> None:
    """By turns of a session that is over, as the draw-down asks for, and of one whose opening does not fit."""
    line = next(r.n for r in READ[SAMPLES[0]] if r.kind == "step.measured")
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


def _without_rows() -> dict[str, Any]:
    """The choices of the first sample with a band that is neither so many rows nor a share."""
    choices: dict[str, Any] = copy.deepcopy(READ[SAMPLES[0]][0].data["choices"])
    choices["plan"]["layout"]["order"][0]["rows"] = None
    return choices


WITHOUT_ROWS = _without_rows()


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ({"worksheet": None}, "worksheet is missing"),
        ({"clock": {"speed": "fast"}}, "clock.speed is not a number"),
        ({"choices": []}, "choices is not a table"),
        ({"choices": WITHOUT_ROWS}, "choices.plan.layout.order[0] is not one of the values it may have"),
        ({"utc_offset_min": 10**9}, "utc_offset_min must be a whole number <= 1440"),
    ],
)
def test_an_opening_that_does_not_fit_is_one_sentence(keys: dict[str, Any], says: str) -> None:
    reading = read_text(Path("x.jsonl"), changed("session.opened", **keys))
    assert f"Line 1 cannot be read: session.opened: {says}." in [p.text for p in reading.problems]
    with pytest.raises(NotASession, match=f"line 1.*session.opened: {re.escape(says)}"):
        replay(reading.records)


def test_a_file_of_a_later_format_is_read_past_the_keys_that_are_not_known(told: Any) -> None:
    raw = changed("session.opened", format="potside-session/2", by_whom="Ailsa")
    code, said = told(raw, ["show", KEY])
    assert code == 0 and "Tidewrack stripes" in said and "cannot be read" not in said, said
    code, said = told(raw, ["resume", KEY, "--plain"])
    assert code == 3 and "as potside-session/2; this version can only show it" in said


def test_an_unknown_kind_is_shown_and_handed_on_byte_for_byte(studio: Path) -> None:
    records = list(READ[SAMPLES[0]])[:20]
    strange = {"b": [1, 1e-7, 1e21, "caf\u00e9"], "a": {"deep": [[{}]]}}
    records.insert(9, msgspec.structs.replace(records[8], kind="kettle.sang", data=strange))
    raw = sealed(records)
    path = studio / "sessions" / f"{KEY}.jsonl"
    path.write_bytes(raw.replace(raw.split(b"\n")[15], b"torn"))
    with continue_in_new_file(path, SystemClock().now()) as journal:
        assert raw.split(b"\n")[9] in journal.path.read_bytes().split(b"\n")
        state = replay(journal.records)
    (top, *_) = session_page(state, "x", (), 80)
    assert any("kettle.sang" in span[0] for line in top.rows for span in line)
    cleared(studio)


def test_an_unknown_kind_is_kept_and_a_reference_that_hangs_changes_nothing() -> None:
    """Steps, clocks, alarms and events that are not there: the state is as it was before."""
    records = list(READ[SAMPLES[0]])
    state = replay(records)
    last = records[-1]
    hanging: list[tuple[str, dict[str, Any]]] = [
        ("kind.of.the.future", {"step": 3}),
        ("undone", {"ref": 999, "undone": "noted"}),
        ("timer.stopped", {"timer": "no clock", "elapsed_s": 1.0}),
        ("timer.extended", {"timer": "no clock", "minutes": 1.0, "why": "x"}),
        ("timer.confirmed", {"timer": "no clock", "elapsed_s": 1.0, "clock_said_s": 2.0}),
        ("alarm.acknowledged", {"alarm": 999, "latency_s": 1.0}),
        ("alarm.snoozed", {"alarm": 999, "minutes": 1.0}),
        ("follow_up.graded", {"number": 99, "test": "light", "change": "4", "staining": "", "note": ""}),
    ]
    for kind, data in hanging:
        after = replay([*records, msgspec.structs.replace(last, n=last.n + 1, kind=kind, data=data)])
        for field in ("steps", "timers", "alarms", "follow_ups", "outcome"):
            assert getattr(after, field) == getattr(state, field), (kind, field)
