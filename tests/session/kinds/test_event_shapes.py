"""The types of the events' data are what the rules write: every kind, every key, nothing beside it.

Every test that drives a session in memory checks each event it makes too (`MemoryKeeper` in the conftest).
"""

from __future__ import annotations

import errno
import json
import random
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
import pytest
from jsonschema import Draft202012Validator

from studio.report.exports import session_schema
from studio.services.unattended import walk
from studio.session import commands as c
from studio.session.clock import NS, Reading, SteppedClock, time_of_day
from studio.session.events import data_of, parts
from studio.session.folding import fitted, kinds
from studio.session.path import current_step
from studio.session.run import Running
from studio.store.disk import Disk
from studio.store.folder import StudioFolder
from studio.store.repair import continue_in_new_file, prepare_to_resume

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture(scope="session")
def validator(closed) -> Draft202012Validator:
    """Takes a line that this version may write, and no other."""
    return Draft202012Validator(closed(session_schema()))


def lines(path: Path) -> Iterator[dict[str, Any]]:
    for line in path.read_text(encoding="ascii").splitlines():
        try:
            yield json.loads(line)
        except ValueError:
            assert line.startswith("{"), "the torn line of the history below"


def test_the_schema_is_one() -> None:
    """By the metaschema of draft 2020-12, as jsonschema ships it."""
    Draft202012Validator.check_schema(session_schema())


@pytest.mark.parametrize("path", sorted((ROOT / "sessions").glob("*.jsonl")), ids=lambda p: p.name)
@pytest.mark.one_in(3)
def test_every_line_of_the_samples_fits(path: Path, validator) -> None:
    for line in lines(path):
        validator.validate(line)


class FullAtFirst(Disk):
    """Takes nothing the first time."""

    full = True

    def write(self, descriptor: int, data: bytes) -> int:
        if self.full:
            self.full = False
            raise OSError(errno.ENOSPC, "full")
        return super().write(descriptor, data)


def until(running: Running, step_id: str) -> None:
    def there(session: Running) -> bool:
        step = current_step(session.state, session.clock.now())
        return step is not None and step.id == step_id

    walk(running, running.clock, random.Random(7), lambda _: None, until=there)  # type: ignore[arg-type]
    assert there(running), f"never came to {step_id}"


def _saved_late_and_gone_on_in_another_file(services: Any, root: Path, clock: SteppedClock) -> None:
    """On a disk that is full at first, then with a line lost."""
    damaged = services.begin(services.work_out(root / "shared/plans/tidewrack-stripes.plan.toml"))
    until(damaged, "presoak.water")
    services.let_go()
    path = root / "sessions" / damaged.name
    with prepare_to_resume(path, clock.now(), disk=FullAtFirst()) as journal:
        journal.append("noted", {"text": "while the disk is full", "step": ""}, clock.now())
        assert journal.trouble == "the disk is full"
        journal.retry(clock.now(), elsewhere=False)
    whole = path.read_bytes().split(b"\n")
    path.write_bytes(b"\n".join([*whole[:3], *whole[4:]]))
    continue_in_new_file(path, clock.now()).close()
    path.unlink()


@pytest.fixture(scope="module")
def history(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A studio in which everything that can be written was written once, by the rules and the store."""
    import shutil

    from studio.services.studio import Services

    root = tmp_path_factory.mktemp("history")
    (root / "sessions").mkdir()
    shutil.copytree(ROOT / "shared", root / "shared")
    clock = SteppedClock(Reading(1_790_000_000 * NS, 40_000 * NS, 38_000 * NS, "skerry00"))
    services = Services(StudioFolder(root), clock)
    plan = (root / "shared/plans/tidewrack-stripes.plan.toml").read_text()
    plan = plan.replace('thickness = "5 cm"', 'thickness = "12 cm"')  # a warning to be accepted
    (root / "shared/plans/thick.plan.toml").write_text(plan)
    services.rehearse()
    services.let_go()
    run = services.begin(services.work_out(root / "shared/plans/thick.plan.toml"))
    _up_to_the_steam(run, clock)
    services.let_go()
    path = next(p for p in (root / "sessions").iterdir() if run.name == p.name)
    with path.open("ab") as file:
        file.write(b'{"at":"20')  # torn by a power cut
    run = services.resume(run.name)
    _to_the_end(run, clock)
    services.let_go()
    services.remark(run.name, "Faded in June.")
    for command in (
        c.CountSwatch("rust 6 solid"),
        c.CountDrops("40 drops in 2 mL"),
        c.AddPhoto("photos/after.jpg"),
        c.PlanFollowUp("wash", "in 10 days"),
        c.PlanFollowUp("light", note="in the hall window"),
        c.PlanFollowUp("light", "2 weeks"),
        c.GradeFollowUp("wash", "4-5", "4"),
        c.GradeFollowUp("wash", "3", why="by lamp light"),
        c.CancelFollowUp("light", "the card fell down"),
    ):
        services.add_later(run.name, lambda state, command=command: command)
    kettle = services.begin(services.work_out(root / "shared/plans/slack-water.plan.toml"))
    until(kettle, "heat.clear")
    kettle.do(c.Measure("heat.clear", "3"))
    kettle.do(c.DoseAcid("10 mL"))
    services.let_go()
    given_up = services.begin(services.work_out(root / "shared/plans/tidewrack-stripes.plan.toml"))
    until(given_up, "presoak.acid")
    given_up.do(c.Skip("presoak.acid", "the bottle is empty"))
    given_up.do(c.Abandon("The gas ran out."))
    services.let_go()
    _saved_late_and_gone_on_in_another_file(services, root, clock)
    return root / "sessions"


def _up_to_the_steam(run: Running, clock: SteppedClock) -> None:
    run.do(c.Skip("ready.sound", "a quiet house"))
    until(run, "ready.weight")
    run.do(c.Measure("ready.weight", "98.5"))
    run.do(c.Correct("ready.weight", "101", "misread"))
    run.do(c.Undo())
    run.do(c.AddNote("The scale drifts."))
    run.do(c.CountSwatch("rust 6 solid 2 mixed"))
    run.do(c.CountDrops("40 drops in 2 mL"))
    run.do(c.NoteLate("14:14 lid lifted"))
    run.do(c.AddPhoto("photos/edge.jpg", "the edge"))
    run.do(c.NotMeasured("presoak.water", "the jug broke"))
    until(run, "paint.squeezed")
    until(run, "paint.apply")
    run.do(c.PaintLeft("rust", "9 mL"))
    run.do(c.MixMore("rust", "20 mL at 5 %"))
    run.do(c.MixMore("rust", "200 mL", meant=True))
    run.do(c.PaintBand(4))
    run.do(c.NoteLate(f"{time_of_day(clock.now().wall_ns, run.state.utc_offset_min)} done", meant=True))
    run.do(c.PaintBand(2, "rust"))
    run.do(c.PaintBand(2, "deep water"))
    run.do(c.PaintBand(2, face="back"))
    until(run, "steam.hold")
    run.do(c.ReadPot("900 mL left"))
    clock.change(wall_s=900)
    run.tick()
    clock.change(wall_s=500, boot_s=500)
    run.tick()
    run.do(c.Leave())


def _to_the_end(run: Running, clock: SteppedClock) -> None:
    run.do(c.TakeReading("lid", "98"))
    run.do(c.Refill("500 mL"))
    run.do(c.PacketIn("second blank"))
    run.do(c.PacketOut("packet-2"))
    run.do(c.ToggleSteam())
    clock.advance(600)
    run.do(c.ToggleSteam())
    for minutes_ago, told in ((9, "steam lost"), (8, "steam back"), (7, "steam started")):
        clock.advance(600)
        run.do(
            c.NoteLate(
                f"{time_of_day(clock.now().wall_ns - minutes_ago * 60 * NS, run.state.utc_offset_min)} {told}"
            )
        )
    at = [time_of_day(clock.now().wall_ns - ago * 60 * NS, run.state.utc_offset_min) for ago in (6, 4)]
    run.do(c.NoteLate(f"{at[0]} to {at[1]} steam lost"))
    now = clock.now()
    clock.change(wall_s=60, boot_s=30 - now.boot_ns / NS, mono_s=30 - now.mono_ns / NS, boot="skerry01")
    for timer in [t for t in run.state.timers.values() if t.running]:
        run.do(c.ConfirmElapsed(timer.id, 12))
    clock.advance(10 * 60)
    run.tick()
    for alarm in [a for a in run.state.alarms if a.standing][:1]:
        run.do(c.Snooze(alarm.n))
    run.do(c.Override("steam.hold", "hot enough", meant=True))
    until(run, "cool.wait")
    run.do(c.TakeReading("packet", "39", meant=True))
    run.do(c.Measure("cool.temperature", "60", meant=True))
    run.do(c.Override("cool.unwrap", "in a hurry"))
    until(run, "rinse.rounds")
    run.do(c.Measure("rinse.rounds", "3"))
    run.do(c.SetAgain("it bleeds"))
    until(run, "record.leftovers")
    run.do(c.KeepLeftover("rust", "3 mL out"))
    walk(run, clock, random.Random(7), lambda _: None)


@pytest.mark.deep
def test_whatever_rules_and_store_write_fits(history: Path, validator, sampled) -> None:
    for path in history.glob("*.jsonl"):
        for line in sampled(list(lines(path)), 6):
            validator.validate(line)


@pytest.mark.deep
def test_no_kind_and_no_key_of_a_shape_is_never_written(history: Path) -> None:
    """The other way round: what the schema names, some rule writes."""
    seen: dict[str, set[str]] = defaultdict(set)
    for path in history.glob("*.jsonl"):
        for line in lines(path):
            seen[line["kind"]] |= line["data"].keys()
            for part in parts(fitted(line["kind"], line["data"])):
                seen[part.kind] |= data_of(part).keys()
    within = {kind.within for kind in kinds().values()} - {""}
    named = {kind: {f.encode_name for f in msgspec.structs.fields(shape)} for kind, shape in kinds().items()}
    assert seen.keys() == kinds().keys()
    assert {kind: keys - within for kind, keys in seen.items()} == {
        kind: keys - within for kind, keys in named.items()
    }
    assert within == set.union(*seen.values()) & within, "each is written in some event"


MISFITS: list[tuple[str, dict[str, Any]]] = [
    ("step.measured", {"value": "24"}),
    ("step.measured", {"unti": "g"}),
    ("timer.started", {"priority": "urgent"}),
    ("rinse.round", {"staining": 6}),
    ("session.finished", {"sha256": "abc"}),
    ("undone", {"ref": 0}),
]


@pytest.mark.deep
def test_what_no_rule_writes_is_refused(history: Path, validator) -> None:
    first: dict[str, dict[str, Any]] = {}
    for path in sorted(history.glob("*.jsonl")):
        for line in lines(path):
            first.setdefault(line["kind"], line)
    for kind, change in MISFITS:
        line = first[kind]
        validator.validate(line)
        assert not validator.is_valid({**line, "data": {**line["data"], **change}}), (kind, change)
        assert not validator.is_valid({key: value for key, value in line.items() if key != "prev"})


@pytest.mark.deep
def test_the_published_schema_takes_a_kind_it_does_not_know_but_no_key(history: Path) -> None:
    published = Draft202012Validator(session_schema())
    line = next(x for path in history.glob("*.jsonl") for x in lines(path) if x["kind"] == "step.measured")
    published.validate({**line, "kind": "kettle.sang", "data": {"note": "a"}})
    for other in ({**line, "data": {**line["data"], "by_whom": "Ailsa"}}, {**line, "by_whom": "Ailsa"}):
        assert not published.is_valid(other), "the program does not take it"
