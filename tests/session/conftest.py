"""Walking a session with the very values a test names, so that every figure can be worked out by hand."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cache
from pathlib import Path

import msgspec
import pytest

from studio.plan.settled import Settled
from studio.plan.shapes import Caution, Figure, Step, Worksheet
from studio.report.telling import tell
from studio.services.studio import Services
from studio.session import alarms
from studio.session import commands as c
from studio.session.asked import ReallyMeant
from studio.session.clock import NS, Reading, SteppedClock
from studio.session.folding import Record
from studio.session.live.thinking import effective, think
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.sheet import sheet_now
from studio.session.state import NO_LOG, State
from studio.session.step_rules import gate_digit, open_warnings
from studio.session.timers import view
from studio.store.folder import StudioFolder
from tests.once import Hand

ROOT = Path(__file__).parents[2]


def now_step(session: Running) -> Step | None:
    return current_step(session.state, session.clock.now())


def answer(session: Running, step: Step, given: Mapping[str, str]) -> c.Command:
    """The plain answer to a step: the value the test gives, else the one that is expected."""
    if step.kind == "gate":
        return c.PassGate(step.id, gate_digit(session.state, step.id))
    if step.kind != "measure":
        return c.Close(step.id, meant=True)
    if step.role in ("rinse rounds", "look"):
        return c.Measure(step.id, "5")
    return c.Measure(
        step.id, given.get(step.id, f"{step.expected if step.expected is not None else 4:g}"), meant=True
    )


def steps_exactly(session: Running, given: Mapping[str, str]) -> Iterator[str]:
    """The step that is the current one, each answered once it is told; no time passes but where a clock must run
    out."""
    for _ in range(200):
        step = now_step(session)
        if step is None:
            return
        yield step.id
        timer = session.state.timers.get(step.timer) if step.kind == "wait" else None
        going = [view(t, session.clock.now()).left_s for t in session.state.timers.values() if t.running]
        if timer is None and step.kind == "wait" and going:
            # A clock that follows on another: that one runs out first.
            session.clock.advance(max(0.0, min(going)))  # type: ignore[attr-defined]
            session.tick()
            for alarm in alarms.standing(session.state):
                session.do(c.Acknowledge(alarm.n))
            continue
        if timer is not None:
            left_s = view(timer, session.clock.now()).left_s
            session.clock.advance(max(0.0, left_s))  # type: ignore[attr-defined]
            session.tick()
        for alarm in alarms.standing(session.state):
            session.do(c.Acknowledge(alarm.n))
        if step.role == "accept cautions":
            for warned in open_warnings(session.state):
                session.do(c.AcceptCaution(warned.id, "seen and meant"))
            continue
        session.do(answer(session, effective(session.state, step), given))


def walk_exactly(session: Running, step_id: str, given: Mapping[str, str] | None = None) -> None:
    """Go to a step by answering every one before it."""
    assert step_id in steps_exactly(session, given or {}), f"never reached {step_id}"


def exactly(given: Mapping[str, str] | None) -> tuple[str, Hand]:
    """The hand that answers so."""
    return f"exactly {given or {}}", lambda session: steps_exactly(session, given or {})


def doubted(session: Running, command: c.Command, *says: str) -> None:
    """The command is doubted, changes nothing, and says this in one sentence and a way on."""
    before = session.state
    with pytest.raises(ReallyMeant) as caught:
        session.do(command)
    said = str(caught.value)
    assert all(part in said for part in says), said
    assert said.endswith(("?", ".")) and said.count("?") == 1
    assert session.state == before


def meant(session: Running, command: c.Command, kind: str) -> Record:
    """The same command, meant: its event of a kind, marked in file, state and record."""
    events = session.do(msgspec.structs.replace(command, meant=True))
    event = next(ev for ev in events if ev.kind == kind)
    assert event.data["flagged"] is True
    assert "doubted, confirmed" in tell(event, session.state)
    return event


@pytest.fixture
def exactly_at(begin: Callable[..., Running]) -> Callable[..., Running]:
    """A session on a worksheet that stays as it began, at a step, reached with planned values but for those given."""

    def at(step_id: str, given: Mapping[str, str] | None = None, sheet: object = None) -> Running:
        return begin(sheet, to=step_id, by=exactly(given))

    return at


@pytest.fixture
def worked_at(begin: Callable[..., Running], choices: Settled) -> Callable[..., Running]:
    """The same of a session on `choices`, or on other ones, whose sheet is worked out anew from what is measured."""

    def at(step_id: str, given: Mapping[str, str] | None = None, settled: Settled = choices) -> Running:
        return begin(choices=settled, to=step_id, by=exactly(given))

    return at


def _without_history(state: State) -> State:
    """What counts of a state: no record of what was taken back, nor of which alarms a clock has raised already."""
    steps = {
        name: msgspec.structs.replace(record, earlier=())
        for name, record in state.steps.items()
        if record.closed
    }
    timers = {
        name: msgspec.structs.replace(timer, raised=frozenset()) for name, timer in state.timers.items()
    }
    return msgspec.structs.replace(
        state, steps=steps, timers=timers, log=NO_LOG, gone=frozenset(), last=state.opened, last_n=0,
        gate_digit=0,
    )  # fmt: skip


@pytest.fixture(scope="session")
def without_history() -> Callable[[State], State]:
    """Two states are the same work where they are equal by this."""
    return _without_history


@pytest.fixture
def walk() -> Callable[..., None]:
    return walk_exactly


@pytest.fixture
def figure() -> Callable[[Running, str], Figure]:
    """The figure of that id, live at the step of now or of the sheet; fails with those there are."""

    def find(session: Running, figure_id: str) -> Figure:
        sheet = sheet_now(session.state)
        found = {f.id: f for f in (*sheet.figures, *_thought(session).figures)}
        assert figure_id in found, f"no {figure_id} among {sorted(found)}"
        return found[figure_id]

    return find


@pytest.fixture
def warned(figure: object) -> Callable[[Running], dict[str, str]]:
    """The live warnings at the step of now, by id."""

    def find(session: Running) -> dict[str, str]:
        warnings: tuple[Caution, ...] = _thought(session).warnings
        return {w.id: w.text for w in warnings}

    return find


def _thought(session: Running):  # type: ignore[no-untyped-def]
    step = now_step(session)
    assert step is not None
    return think(session.state, effective(session.state, step), session.clock.now())


@cache
def _worked_out(name: str) -> Worksheet:
    services = Services(StudioFolder(ROOT), SteppedClock(Reading(1_790_000_000 * NS, 0, 0, "boot-0")))
    return services.work_out(ROOT / "shared" / "plans" / f"{name}.plan.toml").worksheet


@pytest.fixture
def sample_sheet() -> Callable[[str], Worksheet]:
    """A sample plan worked out, by its name."""
    return _worked_out
