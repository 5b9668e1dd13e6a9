"""Shared fixtures: a small painted session, a clock that is moved by hand, a keeper in memory."""

from __future__ import annotations

import gc
import json
import os
import signal
import sys
import tempfile
from collections import defaultdict
from collections.abc import Callable, Generator, Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, settings
from hypothesis.internal.conjecture import providers

from studio.methods import METHODS
from studio.plan.reading import read_plan
from studio.plan.settled import Settled, settle
from studio.plan.shapes import Caution, Worksheet
from studio.plan.sheet import lay_sheet, work_sheet
from studio.plan.shelf import KitItem, Shelf, StudioFacts
from studio.plan.ways import announce
from studio.plan.work.worked import work_all
from studio.session.clock import NS, Reading, SteppedClock
from studio.session.events import FORMAT, data_of
from studio.session.folding import replay
from studio.session.kinds.course import Opened, opening
from studio.session.run import Running
from tests.once import WALKS, Hand, MemoryKeeper, Walk, steps_walked

announce(lambda: METHODS)

# Tests rewritten for their asserts are kept beside pytest's own cache, even where no bytecode is written elsewhere:
# to rewrite them takes each worker half of what it needs to find the tests.
sys.dont_write_bytecode = False
HERE = Path(__file__).resolve().parent
sys.pycache_prefix = str(HERE.parent / ".pytest_cache" / "bytecode")

# What the program keeps in the user's cache (the logbook's index, units, sounds) goes to a folder of the run.
os.environ["XDG_CACHE_HOME"] = tempfile.mkdtemp(prefix="potside-cache-")

# The fixtures that properties use are plain makers of values, so that nothing needs to be reset.
CALM = [HealthCheck.too_slow, HealthCheck.function_scoped_fixture]
settings.register_profile("quick", deadline=None, max_examples=10, suppress_health_check=CALM)
settings.register_profile("deep", deadline=None, max_examples=300, suppress_health_check=CALM)
PROFILE = os.environ.get("HYPOTHESIS_PROFILE", "quick")
settings.load_profile(PROFILE)
if PROFILE == "quick":
    # To read all there is for its constants, which are tried now and then, takes each worker two seconds.
    providers._get_local_constants = lambda: providers._local_constants  # type: ignore[assignment]


def examples(deep: int) -> settings:
    """So many of a property that takes long in the deep profile, and one in six of them in the quick one."""
    return settings(max_examples=deep if PROFILE == "deep" else max(5, deep // 6))


def pytest_xdist_auto_num_workers() -> int:
    """Half as many again as processors: some tests wait for a terminal, a key or a clock."""
    return (os.cpu_count() or 1) * 3 // 2


FOLDERS = [*sorted(one for one in HERE.iterdir() if one.is_dir()), HERE.parent / "studio"]


def pytest_configure(config: pytest.Config) -> None:
    """Each worker looks for tests in a share of the folders first: what it has compiled and rewritten there, the
    others read. On a clean machine that takes longer than all else they do before the first test."""
    workers = int(os.environ.get("PYTEST_XDIST_WORKER_COUNT", "1"))
    number = int(os.environ.get("PYTEST_XDIST_WORKER", "gw0").removeprefix("gw"))
    if workers > 1 and config.args == config.getini("testpaths"):
        mine = sorted(range(len(FOLDERS)), key=lambda place: (place - number) % workers)
        config.args[:] = [str(FOLDERS[place]) for place in mine]


@pytest.hookimpl(wrapper=True)
def pytest_collect_file() -> Generator[None, list[pytest.Collector], list[pytest.Collector]]:
    """Tests hold no examples in their docstrings; to look for some takes each worker seconds."""
    return [one for one in (yield) if type(one) is pytest.Module]


def pytest_collection_finish() -> None:
    """What stands once the tests are found stays to the end, so that no collection of garbage looks through it."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 50)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What the deep profile runs longer is `fuzz`; of a family `one_in` so many is quick, the rest is deep."""
    places = {folder: place for place, folder in enumerate(FOLDERS)}
    items.sort(key=lambda item: min(places.get(folder, len(places)) for folder in item.path.parents))
    families: dict[str, int] = defaultdict(int)
    for item in items:
        made = getattr(getattr(item, "obj", None), "is_hypothesis_test", False)
        if made or "sampled" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.fuzz)
        family = item.get_closest_marker("one_in")
        if family is not None:
            place = item.nodeid.split("[")[0]
            if families[place] % family.args[0]:
                item.add_marker(pytest.mark.deep)
            families[place] += 1


@pytest.fixture(scope="session")
def sampled() -> Callable[[Sequence[Any], int], Sequence[Any]]:
    """All there is to try in the deep profile; in the quick one only one in so many, from the first."""
    return lambda whole, one_in: whole if PROFILE == "deep" else whole[::one_in]


def closed(schema: Any) -> Any:
    """The same schema, with no key allowed in any record but those it names."""
    if isinstance(schema, dict):
        schema = {key: closed(value) for key, value in schema.items()}
        record = schema.get("type") == "object" and "properties" in schema
        return {"additionalProperties": False, **schema} if record else schema
    return [closed(value) for value in schema] if isinstance(schema, list) else schema


@pytest.fixture(scope="session", name="closed")
def closed_fixture() -> Callable[[Any], Any]:
    """`closed`, for tests of schemas."""
    return closed


START = Reading(1_790_000_000 * NS, 5_000 * NS, 4_000 * NS, "boot-a")


@contextmanager
def _no_hang(seconds: int = 60) -> Iterator[None]:
    """Ends a test that hangs. A net, not a measurement: what takes how long is measured in tests/bench."""

    def give_up(*_: object) -> None:
        raise AssertionError(f"still at it after {seconds} s")

    before = signal.signal(signal.SIGALRM, give_up)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


@pytest.fixture
def no_hang() -> Callable[..., Any]:
    """A context in which a test may not hang."""
    return _no_hang


@pytest.fixture
def clock() -> SteppedClock:
    """A clock that stands still until it is moved."""
    return SteppedClock(START)


@pytest.fixture
def keeper() -> MemoryKeeper:
    """Events in a list."""
    return MemoryKeeper()


def walk_to(session: Running, step_id: str) -> None:
    """Let the practised hand work until that step is the current one."""
    assert step_id in steps_walked(session), f"never reached {step_id}"


@pytest.fixture(scope="session", name="walk_to")
def walk_to_fixture() -> Callable[[Running, str], None]:
    """`walk_to`, for a session that was given something before."""
    return walk_to


@pytest.fixture
def begin(clock: SteppedClock, keeper: MemoryKeeper) -> Callable[..., Running]:
    """Open a session on a worksheet and hand back the running session, at its first step or walked to another.

    By the practised hand, or by one that is known by its name.
    """

    def _begin(
        sheet: Worksheet | None = None,
        choices: Settled | None = None,
        to: str = "",
        by: tuple[str, Hand] = ("practised", steps_walked),
    ) -> Running:
        allows = sheet.allows if sheet is not None else ("lose steam",)
        method = "kettle" if "more acid" in allows else "steam" if "lose steam" in allows else "microwave"
        choices = choices or settled(PLANS[method])
        sheet = sheet or work_sheet(choices)
        plan = 'title = "Tidewrack stripes"'
        told = opening(Opened(FORMAT, sheet.title, plan, sheet, "0.1.0", 1, "host", 60, choices))
        mine = keeper if not keeper.events else MemoryKeeper()
        mine.append(told.kind, data_of(told), clock.now())
        running = Running(replay(mine.events), clock, mine)
        if not to:
            return running
        name, hand = by
        key = msgspec.json.encode((clock.now(), data_of(told))), name
        if key not in WALKS:
            WALKS[key] = Walk(told, clock.now(), hand)
        events, state, now = WALKS[key].to(to)
        mine.events[:] = events
        clock._now = now
        running = Running(state, clock, mine)
        running.tick()
        return running

    return _begin


STRIPES = (HERE / "plans" / "stripes.plan.toml").read_text()
IN_A_KETTLE = (HERE / "plans" / "in-a-kettle.plan.toml").read_text()
WRAPPED = (HERE / "plans" / "wrapped.plan.toml").read_text()
PLANS = {
    "steam": STRIPES.replace(
        'hold = "60 min"', 'hold = "36 min"\nhob = "940.2269917 W"\nhob_efficiency = 1.0'
    )
    .replace('"3 L"', '"1500 mL"')
    .replace('"5 cm"', '"4 cm"')
    .replace('"14 cm"', '"24 cm"')
    .replace("rows = 100", 'rows = 100\nstitches = 60\nyarn_length = "96 m"')
    + '[knit]\nstitches = 60\ngauge = "26 st / 4 in"\n',
    "kettle": IN_A_KETTLE,
    "microwave": WRAPPED,
}
"""Of each method, what `begin` takes where a test names nothing. The hob of the first boils off 25 mL a minute."""


@cache
def settled(text: str) -> Settled:
    """A plan settled on a shelf of a pot and a scale that belong to dyeing, in a room of 20 °C."""
    kit = (
        KitItem(name="steamer pot", kept_for="dye only"),
        KitItem(name="scale", kept_for="dye only", resolution_g=0.001),
    )
    shelf = Shelf(kit=kit, studio=StudioFacts(room_c=20.0))
    return settle(read_plan(text, name="stripes.plan.toml"), shelf)


@pytest.fixture(scope="session")
def choices() -> Settled:
    """A painted blank of 100 g, settled: 40 g a colour at 0.5 % of a 1 % stock; 40 mL of paint, 48 with a fifth more,
    24 of them stock, in 100 mL of room."""
    return settled(STRIPES)


@pytest.fixture(scope="session")
def settled_of() -> Callable[..., Settled]:
    """The usual plan of a method, settled, with pieces of its text put otherwise."""

    def made(*changes: tuple[str, str], method: str = "steam") -> Settled:
        text = PLANS[method]
        for old, new in changes:
            assert old in text, f"no {old} in the plan"
            text = text.replace(old, new)
        return settled(text)

    return made


@pytest.fixture
def sheet_of() -> Callable[..., Worksheet]:
    """The worksheet of the usual plan of a method, with the cautions that a test names in place of its own."""

    def made(*cautions: Caution, method: str = "steam") -> Worksheet:
        return lay_sheet(work_all(settled(PLANS[method])), cautions)

    return made


FREE_TEXT = {"text", "why", "typed", "label", "because", "source", "done", "name", "dye", "title", "plan"}
FREE_TEXT |= {"where", "happened_at", "action", "program", "use_by"}
MEASURED_AT = {"packet", "lid", "bath", "room"}
"""Where a temperature is read; a file that says another place is damaged."""


def put_into(value: Any, text: str) -> Any:
    """The same data with `text` wherever a person, or a file of theirs, may have put words."""
    if isinstance(value, dict):
        return {
            key: text
            if key in FREE_TEXT and isinstance(found, str) and found not in MEASURED_AT
            else put_into(found, text)
            for key, found in value.items()
        }
    return [put_into(found, text) for found in value] if isinstance(value, list) else value


@pytest.fixture(scope="session")
def injected() -> Callable[[Any, str], Any]:
    """`put_into`, for tests that make a foreign file."""
    return put_into


@pytest.fixture(scope="session")
def evil_corpus() -> list[str]:
    """Text that wants to be markup, a formula, a control sequence or another line."""
    return list(json.loads((HERE / "evil.json").read_text()))
