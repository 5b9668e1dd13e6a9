"""Files that someone forged: every check sum is right and one key is not. One sentence, never a fault, never the end.

A value is dropped, made another kind of thing, emptied or driven beyond all measure; then the file is read by every
command that reads a session, and as the screens do.
"""

from __future__ import annotations

import copy
import random
import shutil
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

import msgspec
import pytest
from click.testing import CliRunner

from studio.cli import main
from studio.report.session_page import session_page
from studio.services.exporting import documents, source_of
from studio.services.studio import Services
from studio.session.folding import replay
from studio.session.sheet import sheet_now
from studio.store.errors import Unstorable
from studio.store.folder import StudioFolder
from studio.store.line import FIRST_PREV, Record, encode
from studio.store.reading import read_session
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
    """A sample with one to three keys of one line not what they were, and often without its end or some event."""
    chance = random.Random(seed)
    records = list(READ[chance.choice(SAMPLES)])
    if chance.random() < 0.4:
        records = records[: chance.randrange(2, len(records))]
    if chance.random() < 0.2:
        del records[chance.randrange(1, len(records))]  # what later events refer to hangs, or names another
    kinds = sorted({r.kind for r in records})
    kind = "session.opened" if chance.random() < 0.3 else chance.choice(kinds)
    place = chance.choice([i for i, r in enumerate(records) if r.kind == kind])
    data = records[place].data
    for _ in range(chance.choice([1, 1, 1, 3])):
        data = forged_data(data, chance)
    records[place] = msgspec.structs.replace(records[place], data=data)
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
    """As the screens read it: the record, the bench with its sheet, the exports."""
    services = Services(StudioFolder(studio), SystemClock())
    try:
        read = services.read(KEY)
    except Trouble as told:
        assert str(told).strip()
        return
    session_page(read.state, read.name, read.remarks, 80)
    sheet_now(read.state)
    source, _ = source_of(services, KEY)
    documents(services, source, "csv")


def sweep(studio: Path, seeds: range, commands: int) -> None:
    file = studio / "sessions" / f"{KEY}.jsonl"
    for seed in seeds:
        try:
            file.write_bytes(forged(seed))
        except Unstorable:
            continue  # what no line can hold is forged by nobody
        try:
            looked_at(studio)
            for number in range(commands):
                file.write_bytes(forged(seed))
                commanded(studio, COMMANDS[(seed * commands + number) % len(COMMANDS)])
        except Exception as fault:
            raise AssertionError(f"seed {seed}") from fault
        finally:
            for made in [*(studio / "sessions").glob("20261120*"), *studio.glob("out*")]:
                made.unlink()


def test_a_few_forged_files(studio: Path) -> None:
    sweep(studio, range(150), 1)


@pytest.mark.deep
@pytest.mark.parametrize("part", range(10))
def test_many_forged_files(studio: Path, part: int) -> None:
    sweep(studio, range(1000 + part * 250, 1250 + part * 250), 3)


def changed(kind: str, **keys: Any) -> bytes:
    """The first sample without its end, with keys of its first event of a kind changed; None takes one out."""
    records = list(READ[SAMPLES[0]])[:40]
    place = next(i for i, record in enumerate(records) if record.kind == kind)
    data = {key: value for key, value in {**records[place].data, **keys}.items() if value is not None}
    records[place] = msgspec.structs.replace(records[place], data=data)
    return sealed(records)


@pytest.fixture
def told(studio: Path) -> Iterator[Any]:
    """What a command says of a forged file: its exit code and all it printed, on one line."""

    def run(raw: bytes, *words: str) -> tuple[int, str]:
        file = studio / "sessions" / f"{KEY}.jsonl"
        file.write_bytes(raw)
        done = CliRunner().invoke(main, ["--studio", str(studio), *words], input="")
        assert "fault of the program" not in done.output, done.output
        return done.exit_code, " ".join(done.output.split())

    yield run
    for made in (studio / "sessions").glob("20261120*"):
        made.unlink()


def test_a_key_of_another_kind_is_damage_that_names_line_and_field(studio: Path, told: Any) -> None:
    raw = changed("step.measured", value="much")
    line = next(r.n for r in READ[SAMPLES[0]] if r.kind == "step.measured")
    sentence = f"Line {line} cannot be read ("
    for words in (
        ["verify", str(studio / "sessions" / f"{KEY}.jsonl")],
        ["show", KEY],
        ["resume", KEY, "--plain"],
    ):
        code, said = told(raw, *words)
        assert code == 3 and sentence in said and "step.measured: value is not a number" in said, said
    code, said = told(raw, "logbook")
    assert code == 0 and "damaged" in said


def test_a_key_that_is_missing_is_named(told: Any) -> None:
    code, said = told(changed("step.measured", unit=None), "show", KEY)
    assert code == 3 and "step.measured: unit is missing" in said


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ({"title": 7}, "title is not a text"),
        ({"worksheet": None}, "worksheet is missing"),
        ({"clock": {"speed": "fast"}}, "clock.speed is not a number"),
        ({"choices": []}, "choices is not a table"),
        ({"utc_offset_min": 10**9}, "utc_offset_min must be a whole number <= 1440"),
    ],
)
def test_an_opening_that_does_not_fit_is_one_sentence(
    studio: Path, told: Any, keys: dict[str, Any], says: str
) -> None:
    raw = changed("session.opened", **keys)
    for words in (
        ["verify", str(studio / "sessions" / f"{KEY}.jsonl")],
        ["show", KEY],
        ["resume", KEY, "--plain"],
        ["export", KEY, "--as", "csv", "-o", str(studio / "out.csv")],
    ):
        code, said = told(raw, *words)
        assert code == 3 and "ine 1" in said and f"session.opened: {says}" in said, said
    code, said = told(raw, "resume", KEY, "--plain", "--continue")
    assert code == 3 and "cannot be continued" in said
    assert len(list((studio / "sessions").glob("20261120*"))) == 1


def test_an_unknown_kind_is_kept_and_a_reference_that_hangs_changes_nothing() -> None:
    """Steps, clocks, alarms and events that are not there: the state is as it was before."""
    records = list(READ[SAMPLES[0]])
    state = replay(records)
    last = records[-1]
    hanging: list[tuple[str, dict[str, Any]]] = [
        ("kind.of.the.future", {"step": 3}),
        ("undone", {"ref": 999, "step": "no.step", "why": "x"}),
        ("timer.stopped", {"timer": "no clock", "elapsed_s": 1.0, "by": ""}),
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
