"""The state of a session: everything that is known after some of its events."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Literal

import msgspec

from studio.plan.settled import Settled
from studio.plan.shapes import Figure, Step, Worksheet
from studio.session import events as e
from studio.session.clock import Moment
from studio.session.follow_up_records import FollowUp
from studio.session.records import (
    AlarmRecord,
    Batch,
    BathLook,
    ClockEvent,
    Coat,
    Dosed,
    DropsCounted,
    JarRead,
    Kept,
    Note,
    Photo,
    PotRead,
    Poured,
    Read,
    RinseRound,
    StepRecord,
    Swatch,
    TimerRecord,
)
from studio.session.standing import Log

NO_LOG = Log([])
OPEN_STEP = StepRecord()


class State(msgspec.Struct, frozen=True):
    """Everything that is known of a session after some of its events."""

    title: str
    worksheet: Worksheet
    """As it was begun; the steps and clocks of later sets are added. `sheet_now` has the figures of now."""
    plan_text: str
    opened: Moment
    last: Moment
    last_n: int
    utc_offset_min: int = 0
    choices: Settled | None = None
    """What the worksheet was worked out of; fixed when the session began."""
    rehearsal_speed: float | None = None
    program: str = ""
    steps: Mapping[str, StepRecord] = {}
    timers: Mapping[str, TimerRecord] = {}
    alarms: tuple[AlarmRecord, ...] = ()
    notes: tuple[Note, ...] = ()
    accepted: Mapping[str, str] = {}
    """Cautions taken on with the reason given."""
    clock_events: tuple[ClockEvent, ...] = ()
    log: Log = NO_LOG
    """Every event so far, whether it stands or not."""
    gone: frozenset[int] = frozenset()
    """Numbers of those that do not stand."""
    resumed: tuple[tuple[int, str], ...] = ()
    """When it was taken up again, wall time in ns, and by which version of the program."""
    gate_digit: int = 0
    """The digit that opened the newest gate; 0 before the first."""
    readings: tuple[Read, ...] = ()
    steam_off: tuple[tuple[Moment, Moment | None], ...] = ()
    """When the steam stopped, and when it rolled again."""
    refills: tuple[Poured, ...] = ()
    batches: tuple[Batch, ...] = ()
    paint_left: Mapping[str, JarRead] = {}
    """Each jar as it was last read."""
    coats: tuple[Coat, ...] = ()
    """On the bands, in the order they were painted."""
    rounds: tuple[RinseRound, ...] = ()
    looks: tuple[BathLook, ...] = ()
    """At the bath, or at the liquid of a packet in the microwave."""
    acid_doses: tuple[Dosed, ...] = ()
    sets: int = 1
    """How many times the goods are or were set."""
    leftovers: tuple[Kept, ...] = ()
    photos: tuple[Photo, ...] = ()
    swatches: tuple[Swatch, ...] = ()
    follow_ups: tuple[FollowUp, ...] = ()
    """Fastness tests planned after the end, in the order they were planned."""
    droppers: tuple[DropsCounted, ...] = ()
    pot_left: tuple[PotRead, ...] = ()
    outcome: Literal["", "finished", "abandoned"] = ""
    outcome_why: str = ""
    came_to: tuple[Figure, ...] = ()
    """Once it is closed: the figures that are not as they were begun."""
    unknown_kinds: tuple[str, ...] = ()
    """Kinds of event this version does not know; kept and shown, never dropped."""

    def step(self, step_id: str) -> StepRecord:
        """How that step stands."""
        return self.steps.get(step_id, OPEN_STEP)

    def all_steps(self) -> Iterable[Step]:
        """The steps of the procedure, in order."""
        for stage in self.worksheet.procedure:
            yield from stage.steps

    def find_step(self, step_id: str) -> Step | None:
        """The step of the procedure with that id, or None."""
        return next((s for s in self.all_steps() if s.id == step_id), None)

    @property
    def sound_heard(self) -> bool:
        """Whether the alarm was heard before the session began, or nobody was asked."""
        asked = self.worksheet.step_for("sound")
        return asked is None or self.step(asked.id).state != "skipped"

    @property
    def closed(self) -> bool:
        """Whether the session has ended, well or not."""
        return bool(self.outcome)


Fold = Callable[[State, e.Event, Moment], State]
"""What one kind of event does to a state."""
