"""A session whose file ends after any whole event can be resumed and walked to its end.

A key writes one event, whole or not at all; what the clocks give at one instant is several. A process killed
between two events leaves a file that is clean and whole, from which the dyer goes on as if nothing was.
"""

from __future__ import annotations

import random
import shutil
from itertools import pairwise
from pathlib import Path

import pytest

from studio.services.studio import Services
from studio.services.unattended import walk
from studio.session.clock import Reading, SteppedClock, wall_ns_of
from studio.store.copies import verify
from studio.store.folder import StudioFolder
from studio.store.reading import read_session

ROOT = Path(__file__).resolve().parents[2]
START = Reading(1_790_000_000_000_000_000, 7_000_000_000_000, 6_000_000_000_000, "9f3a12cd")
PLANS = ("tidewrack-stripes", "warned")


def new_studio(folder: Path) -> Path:
    shutil.copytree(ROOT / "shared", folder / "shared")
    (folder / "sessions").mkdir()
    return folder


def plan_file(studio: Path, name: str) -> Path:
    """The sample plan, or the same with so much acid wished for that a warning has to be accepted."""
    path = studio / "shared" / "plans" / "tidewrack-stripes.plan.toml"
    if name == "warned":
        warned = path.with_name("warned.plan.toml")
        warned.write_text(path.read_text().replace('base = "harbour sock blank"', WARNED))
        return warned
    return path


WARNED = """blend = { wool = 60, cotton = 40 }
dry_weight = "100 g"
form = "blank"
rows = 220
stitches = 60"""


@pytest.fixture(scope="module", params=PLANS)
def whole(request, tmp_path_factory) -> Path:
    """The file of a session that was walked from opening to closing on a clock that is moved by hand."""
    studio = new_studio(tmp_path_factory.mktemp("whole"))
    clock = SteppedClock(START)
    services = Services(StudioFolder(studio), clock)
    running = services.begin(services.work_out(plan_file(studio, request.param)))
    walk(running, clock, random.Random(1), lambda told: None)
    services.let_go()
    (path,) = (studio / "sessions").iterdir()
    kept = [record.kind for record in read_session(path).records]
    assert kept[-1] == "session.finished"
    assert (request.param == "warned") == ("caution.accepted" in kept)
    return path


def around_the_clocks(path: Path) -> list[int]:
    """Numbers of events after which a clock has just started or stopped, or another event has the same instant."""
    records = read_session(path).records
    at_once = {a.n for a, b in pairwise(records) if a.at == b.at and a.boot_ns == b.boot_ns}
    clocks = {r.n for r in records if {"starts", "stops", "closes"} & r.data.keys()}
    return sorted((at_once | clocks) - {len(records)})


def resumed_and_finished(path: Path, count: int, studio: Path) -> None:
    """Keep the first `count` events, resume at that instant, and walk on to the end."""
    lines = path.read_bytes().splitlines(keepends=True)
    cut = studio / "sessions" / path.name
    cut.write_bytes(b"".join(lines[:count]))
    last = read_session(cut).records[-1]
    there = Reading(wall_ns_of(last.at), last.boot_ns, last.boot_ns, last.boot)
    clock = SteppedClock(there)
    services = Services(StudioFolder(studio), clock)
    running = services.resume(path.name)
    told: list[str] = []
    walk(running, clock, random.Random(2), told.append)
    state = running.state
    services.let_go()
    assert state.outcome == "finished", told[-3:]
    assert all(state.step(step.id).closed for step in state.all_steps())
    started = {timer.id for timer in state.worksheet.timers}
    assert started == set(state.timers), "a clock was never started"
    for timer in state.timers.values():
        waited = timer.stopped_after_s is not None and timer.stopped_after_s >= timer.minutes * 60 - 1
        assert waited or timer.repeats, f"{timer.label} ran {timer.stopped_after_s} s"
    verdict = verify(cut)
    assert verdict.exit_code == 0, verdict.sentences
    cut.unlink()


@pytest.mark.deep
def test_cut_around_the_clocks(whole, tmp_path, sampled):
    studio = new_studio(tmp_path)
    cuts = around_the_clocks(whole)
    assert len(cuts) >= 6
    for count in sampled(cuts, 2):
        resumed_and_finished(whole, count, studio)


@pytest.mark.deep
def test_cut_after_every_event(whole, tmp_path):
    studio = new_studio(tmp_path)
    for count in range(1, len(read_session(whole).records)):
        resumed_and_finished(whole, count, studio)
