"""The state of a session: everything that is known after some of its events."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Literal

import msgspec

from studio.plan.settled import Settled
from studio.plan.shapes import Figure, Step, Worksheet
from studio.session.clock import Moment
from studio.session.events import Kept
from studio.session.records import AlarmRecord, Note, StepRecord, TimerRecord
from studio.session.standing import Log

if TYPE_CHECKING:
    from studio.session.kinds.fastness import FollowUp
    from studio.session.kinds.notes import DropsCounted, PhotoAdded, SwatchCounted
    from studio.session.kinds.paint import BandPainted, BatchMixed, JarRead, LeftoverKept
    from studio.session.kinds.rinsing import AcidDosed, BathLooked, RinseRound
    from studio.session.kinds.steam import PotRead, PotRefilled, ReadingTaken

NO_LOG = Log([])
OPEN_STEP = StepRecord()


class State(msgspec.Struct, frozen=True):
    """Everything that is known of a session after some of its events."""

    title: str
    worksheet: Worksheet
    """As it was begun; the steps and clocks of later sets are added. `sheet_now` has the figures of now."""
    choices: Settled
    """What the worksheet was worked out of; fixed when the session began."""
    plan_text: str
    opened: Moment
    last: Moment
    last_n: int
    utc_offset_min: int = 0
    rehearsal_speed: float | None = None
    program: str = ""
    steps: Mapping[str, StepRecord] = {}
    timers: Mapping[str, TimerRecord] = {}
    alarms: tuple[AlarmRecord, ...] = ()
    notes: tuple[Note, ...] = ()
    accepted: Mapping[str, str] = {}
    """Cautions taken on with the reason given."""
    log: Log = NO_LOG
    """Every event so far, whether it stands or not."""
    gone: frozenset[int] = frozenset()
    """Numbers of those that do not stand."""
    resumed: tuple[tuple[int, str], ...] = ()
    """When it was taken up again, wall time in ns, and by which version of the program."""
    gate_digit: int = 0
    """The digit that opened the newest gate; 0 before the first."""
    readings: tuple[Kept[ReadingTaken], ...] = ()
    steam_off: tuple[tuple[Moment, Moment | None], ...] = ()
    """When the steam stopped, and when it rolled again."""
    refills: tuple[Kept[PotRefilled], ...] = ()
    batches: tuple[Kept[BatchMixed], ...] = ()
    paint_left: Mapping[str, Kept[JarRead]] = {}
    """Each jar as it was last read."""
    coats: tuple[Kept[BandPainted], ...] = ()
    """On the bands, in the order they were painted."""
    rounds: tuple[Kept[RinseRound], ...] = ()
    looks: tuple[Kept[BathLooked], ...] = ()
    """At the bath, or at the liquid of a packet in the microwave."""
    acid_doses: tuple[Kept[AcidDosed], ...] = ()
    sets: int = 1
    """How many times the goods are or were set."""
    leftovers: tuple[Kept[LeftoverKept], ...] = ()
    photos: tuple[Kept[PhotoAdded], ...] = ()
    swatches: tuple[Kept[SwatchCounted], ...] = ()
    follow_ups: tuple[FollowUp, ...] = ()
    """Fastness tests planned after the end, in the order they were planned."""
    droppers: tuple[Kept[DropsCounted], ...] = ()
    pot_left: tuple[Kept[PotRead], ...] = ()
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
