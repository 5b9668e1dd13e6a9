"""The DuckDB query of sessions/QUERIES.md, word for word, against a sum over replayed sessions in Python.

DuckDB reads the session files by itself: nothing of this program takes part in its answer.
"""

from __future__ import annotations

import random
import re
import shutil
from collections import defaultdict
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from studio.services.studio import Services
from studio.services.unattended import walk
from studio.session import commands as c
from studio.session.clock import NS, Reading, SteppedClock
from studio.session.folding import replay
from studio.session.path import current_step
from studio.session.run import Running
from studio.store.folder import StudioFolder
from studio.store.reading import read_session
from studio.store.repair import continue_in_new_file

duckdb = pytest.importorskip("duckdb")

ROOT = Path(__file__).resolve().parents[2]
Months = dict[str, tuple[float, float]]


(QUERY,) = re.findall(r"```sql\n(.*?)```", (ROOT / "sessions" / "QUERIES.md").read_text(), re.S)


def asked(studio: Path, monkeypatch: pytest.MonkeyPatch, query: str = QUERY) -> Months:
    """What the query of that page answers in a studio folder."""
    monkeypatch.chdir(studio)
    with duckdb.connect() as engine:
        return {month: (litres, grams) for month, litres, grams in engine.execute(query).fetchall()}


def summed(studio: Path) -> Months:
    """The same from the states that the sessions are replayed to."""
    found: dict[str, list[float]] = defaultdict(lambda: [0.0, 0.0])
    readings = [read_session(path) for path in StudioFolder(studio).session_paths()]
    went_on = {
        r.data["from"] for reading in readings for r in reading.records if r.kind == "session.continued"
    }
    for reading in readings:
        state = replay(reading.records)
        if state.rehearsal_speed is not None or reading.path.name in went_on:
            continue
        opened = datetime.fromtimestamp(state.opened.wall_ns / NS, UTC) + timedelta(
            minutes=state.utc_offset_min
        )
        month = found[f"{opened:%Y-%m}"]
        into_the_kettle = ["bath.water", "bath.dye"]
        into_the_kettle += [step.id for step in state.all_steps() if step.id.startswith("heat.dye-")]
        month[0] += sum(state.step(step).value or 0.0 for step in into_the_kettle)
        for colour in state.choices.colours:
            month[0] += state.step(f"paint.{colour.plan.slug}.mix").value or 0.0
        for stock in {s.slug: s for colour in state.choices.colours for s in colour.stocks}.values():
            weighed, poured, drops = (
                state.step(f"stocks.{stock.slug}.{what}").value or 0.0 for what in ("dye", "volume", "drops")
            )
            strength = stock.strength.value / 100 if stock.strength else 0.0
            month[1] += weighed + drops / state.choices.shelf.studio.drops_per_ml * strength
            if stock.dye.jar is None and not stock.dye.powder:
                month[1] += poured * strength
        for event in reading.records:
            if event.kind == "batch.mixed" and event.n not in state.gone:
                month[0] += event.data["ml"]
                if " at " in event.data["typed"]:
                    month[1] += event.data["stock_ml"] * event.data["strength_percent"] / 100
    return {month: (litres / 1000, grams) for month, (litres, grams) in found.items()}


def same(one: Months, other: Months) -> None:
    assert one.keys() == other.keys()
    for month, (litres, grams) in one.items():
        assert litres == pytest.approx(other[month][0], abs=0.0006)
        assert grams == pytest.approx(other[month][1], abs=0.006)


def test_over_the_sample_sessions(monkeypatch: pytest.MonkeyPatch) -> None:
    """What DuckDB finds in the sample sessions, and values added up line by line of the two Tidewrack
    sessions and the other two."""
    answer = asked(ROOT, monkeypatch)
    same(answer, summed(ROOT))
    # Tidewrack 0.39 + 0.26, kelp forest 0.77 of one jar + 0.20 + 0.15; its 10 mL of gorse more came from the jar.
    assert answer["2026-09"][1] == pytest.approx(0.65 + 1.12)
    # Tidewrack again 0.38 + 0.26; 80, 80 and 104 drops at 22 to the mL of 2, 2 and 1.5 % make 0.2189 g.
    assert answer["2026-10"][1] == pytest.approx(round(0.64 + (160 * 0.02 + 104 * 0.015) / 22, 2))


@pytest.fixture(scope="module")
def busy(tmp_path_factory: pytest.TempPathFactory, sampled: Callable[..., Any]) -> Path:
    """A year of sessions in which much goes wrong and is put right, with copies and a rehearsal among them."""
    tmp_path = tmp_path_factory.mktemp("busy")
    (tmp_path / "sessions").mkdir()
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    plans = sorted((tmp_path / "shared" / "plans").glob("*.plan.toml"))
    ready = plans[0].with_name("ready.plan.toml")
    text = next(p for p in plans if p.name.startswith("tidewrack")).read_text()
    ready.write_text(text.replace('dye = "deep water"\ndepth = "0.8 %"\nstock = "2 %"', READY_LIQUID))
    from_a_jar = plans[0].with_name("from-a-jar.plan.toml")
    from_a_jar.write_text(text.replace('dye = "studio rust"\ndepth = "1 %"\nstock = "3 %"', FROM_A_JAR))
    of_powder = plans[0].with_name("of-powder.plan.toml")
    of_powder.write_text(text.replace('dye = "studio rust"\ndepth = "1 %"\nstock = "3 %"', DROPS_OF_POWDER))
    once = [*plans, ready, from_a_jar, of_powder]
    for number, plan in enumerate(sampled([*once, *once], 4)):
        wall_ns = (1_790_000_000 + number * 40 * 86_400) * NS
        _one_session(tmp_path, plan, SteppedClock(Reading(wall_ns, 40_000 * NS, 38_000 * NS, "b")), number)
    clock = SteppedClock(Reading(1_795_000_000 * NS, 40_000 * NS, 38_000 * NS, "b"))
    services = Services(StudioFolder(tmp_path), clock)
    rehearsal = services.rehearse(clock=clock, origin=clock.now())
    walk(rehearsal, clock, random.Random(1), lambda _: None)
    services.let_go()
    return tmp_path


FROM_A_JAR = 'dye = "rust from the spring lot"\ndepth = "0.3 %"'
DROPS_OF_POWDER = 'dye = "studio rust"\ndrops = 500\nin = "3/4 cup"\nstock = "2 %"'
READY_LIQUID = 'dye = "pantry blue"\nliquid = "40 mL"\ndepth = "0.8 %"'


WEIGHED = ("stocks", "paint", "bath")


def _one_session(studio: Path, plan: Path, clock: SteppedClock, number: int) -> None:
    chance = random.Random(number)
    services = Services(StudioFolder(studio), clock)
    run = services.begin(services.work_out(plan))
    kept: list[str] = []
    while (step := current_step(run.state, clock.now())) is not None and step.id != "paint.apply":
        _to(run, clock, chance, step.id)
        if step.quantity not in ("mass", "volume", "count") or step.id.partition(".")[0] not in WEIGHED:
            walk(run, clock, chance, lambda _: None, until=lambda r, s=step.id: r.state.step(s).closed)
            continue
        _put_right(run, step.id, step.expected or 1.0, chance)
        kept.append(step.id)
    colour = run.state.choices.colours[0].plan.slug
    run.do(c.MixMore(colour, "10 mL", meant=True))
    run.do(c.MixMore(colour, "15 mL", meant=True))
    run.do(c.Undo())
    if run.state.choices.colours[0].plan.drops is None:
        run.do(c.MixMore(colour, "20 mL at 0.95 %", meant=True))
    if number % 3 == 0:
        run.do(c.Abandon("The gas ran out."))
    services.let_go()
    path = studio / "sessions" / run.name
    if number == 1:
        shutil.copy(path, path.with_name(f"{path.stem} (conflicted copy 2026-11-02).jsonl"))
    if number == 2:
        path.write_bytes(path.read_bytes() + b'{"at":"2026-11')
        services.resume(run.name)
        services.let_go()
    if number == 4:
        lines = path.read_bytes().split(b"\n")
        path.write_bytes(b"\n".join([*lines[:2], *lines[3:]]))
        continue_in_new_file(path, clock.now()).close()


def _put_right(run: Running, step: str, expected: float, chance: random.Random) -> None:
    """A value that stands, in one of the ways in which one comes to stand; or none at all."""
    run.do(c.Measure(step, f"{expected * chance.uniform(0.8, 1.2):.2f}", meant=True))
    way = chance.randrange(6)
    if way >= 1:
        run.do(c.Correct(step, f"{expected * chance.uniform(0.8, 1.2):.2f}", "misread", meant=True))
    if way >= 2:
        run.do(c.Undo())
    if way >= 3:
        run.do(c.Undo())
        run.do(c.Measure(step, f"{expected * chance.uniform(0.8, 1.2):.2f}", meant=True))
    if way == 4:
        run.do(c.Undo())
        run.do(c.Skip(step, "none was needed"))
    if way == 3:
        run.do(c.Undo())
        run.do(c.Undo(run.state.last_n))  # and brought back
    if way == 5:
        run.do(c.Undo())
        run.do(c.NotMeasured(step, "the scale died"))


def _to(run: Running, clock: SteppedClock, chance: random.Random, step_id: str) -> None:
    def there(session: Running) -> bool:
        step = current_step(session.state, session.clock.now())
        return step is not None and step.id == step_id

    walk(run, clock, chance, lambda _: None, until=there)


@pytest.mark.deep
def test_over_sessions_with_corrections_undos_copies_and_a_rehearsal(
    busy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What DuckDB finds in a year in which much goes wrong, against the states the sessions are replayed to."""
    answer = asked(busy, monkeypatch)
    assert len(answer) >= 6 and all(litres > 0 for litres, _ in answer.values())
    same(answer, summed(busy))


@pytest.mark.parametrize(
    ("part", "instead"),
    [
        (r"regexp_full_match\(.*?\) AND", ""),
        (r" AND clock IS NULL", ""),
        (r" AND file NOT IN \(.*?\)\n", "\n"),
        (r" ANTI JOIN undone USING \(file, n\)(?=\n)", ""),
        (r" ANTI JOIN undone USING \(file, n\)(?= WHERE)", ""),
        (r" AND \(file, n\) NOT IN \(.*?\)\n", "\n"),
        (
            r"steps AS .*?, 'corrected'",
            "steps AS (SELECT file, step, value FROM events e WHERE kind IN ('step.measured'",
        ),
        (r"n DESC", "n"),
        (r"'stocks\.%\.dye'", "'none'"),
        (r"'bath.water', 'bath.dye'", "'bath.water'"),
        (r"'heat.dye-%'", "'none'"),
        (r"drops > 0 OR ", ""),
        (r" OR NOT stock.dye.powder AND stock.dye.jar IS NULL", ""),
        (r" AND stock.dye.jar IS NULL", ""),
        (r"kind = 'batch.mixed'", "false"),
        (r"coalesce\(.*?, 0\)", "0"),
    ],
)
@pytest.mark.deep
def test_each_part_of_the_query_is_needed(
    busy: Path, monkeypatch: pytest.MonkeyPatch, part: str, instead: str
) -> None:
    """DuckDB finds something else without it: the sessions above hold what each part is there for."""
    changed, count = re.subn(part, instead, QUERY, count=1, flags=re.S if "?" in part else 0)
    assert count == 1 and asked(busy, monkeypatch, changed) != asked(busy, monkeypatch)


def test_a_month_of_many_studios_is_kept_as_parquet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """DuckDB with the statement of DEVELOPERS.md, over two studios with files of the same names: every event is there
    once."""
    (statement,) = re.findall(r"```sql\n(.*?)```", (ROOT / "DEVELOPERS.md").read_text(), re.S)
    samples = sorted((ROOT / "sessions").glob("*.jsonl"))
    for studio in ("skerry-lane", "north-shed"):
        folder = tmp_path / f"studio={studio}" / "year=2026" / "month=11"
        folder.mkdir(parents=True)
        for path in samples:
            shutil.copy(path, folder)
    monkeypatch.chdir(tmp_path)
    with duckdb.connect() as engine:
        engine.execute(statement)
        found = engine.execute(
            "SELECT studio, count(*), count(DISTINCT file), count(data) FROM read_parquet('events/*/*/*/*.parquet') "
            "GROUP BY studio ORDER BY studio"
        ).fetchall()
    lines = sum(path.read_bytes().count(b"\n") for path in samples)
    assert found == [(studio, lines, len(samples), lines) for studio in ("north-shed", "skerry-lane")]
