"""The heat: steam lost and back, the pot filled and read, temperatures; a bath looked at, rinses, the
goods set again.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

import msgspec
from msgspec import Meta, field

from studio.plaintext import clean
from studio.quantity.reading_in import told
from studio.quantity.showing import show
from studio.session.clock import Moment, before
from studio.session.events import Doubted, Head, Ml, OfAList, Typed, Undo, Words
from studio.session.kinds.clocks import (
    AlarmAcknowledged,
    Ends,
    Happened,
    TimerExtended,
    TimerStarted,
    in_order,
    stood_still,
    stopped_anew,
)
from studio.session.kinds.steps import Closes, ClosesWithClocks, doubted
from studio.session.state import State, TimerRecord

# The heat under the goods: steam lost and back, water into the pot and what is left of it, temperatures
# read.

ReadAt = Literal["packet", "lid", "bath", "room"]


class SteamTurned(Ends, frozen=True, kw_only=True):
    """What needs the steam stands still, or goes on; after a long loss the set takes longer."""

    undo: ClassVar[Undo] = "last"

    happened: Happened | None = None
    extends: tuple[TimerExtended, ...] = ()


class SteamStopped(SteamTurned, frozen=True, kw_only=True, tag="steam.stopped"):
    """The steam stopped; what needs it stands still, until it was back where it was told later."""

    again: Happened | None = None

    def apply(self, state: State, head: Head) -> None:
        if self.again is None:
            state.timers = {k: _paused(t, head.at) for k, t in state.timers.items()}
            state.steam_off = (*state.steam_off, (head.at, None))
            return
        again = self.again.moment
        state.timers = {
            k: stopped_anew(stood_still(t, head.at, again)) if t.needs_steam else t
            for k, t in state.timers.items()
        }
        state.steam_off = in_order(state.steam_off, (head.at, again))

    def says(self, state: State) -> str:
        if self.again is not None:
            return f"steam back at {clean(self.again.time, limit=5)}, lost"
        return "steam lost" if self.happened is not None else "steam lost; what needs it stands still"


class SteamAgain(SteamTurned, frozen=True, kw_only=True, tag="steam.again"):
    """The steam rolls again."""

    def apply(self, state: State, head: Head) -> None:
        state.timers = {k: _going_on(t, head.at) for k, t in state.timers.items()}
        off = state.steam_off
        if off and off[-1][1] is None:
            state.steam_off = (*off[:-1], (off[-1][0], head.at))

    def says(self, state: State) -> str:
        return "steam rolls again"


class PotRefilled(OfAList, frozen=True, tag="pot.refilled"):
    """Boiling water went into the pot."""

    ml: Ml
    typed: Typed
    ends: tuple[AlarmAcknowledged, ...] = ()
    starts: tuple[TimerStarted, ...] = ()

    def says(self, state: State) -> str:
        return f"pot filled up with {told(self.ml, 'mL', kitchen=True)}"


class PotRead(OfAList, frozen=True, tag="pot.read"):
    """Water that was left in the pot after some steam."""

    ml: Ml
    typed: Typed

    def says(self, state: State) -> str:
        return f"pot: {told(self.ml, 'mL', 4, kitchen=True)} of water left"


class ReadingTaken(ClosesWithClocks, OfAList, frozen=True, tag="reading.taken"):
    """A temperature; one that ends a wait closes it, and the clock of the cooling ends when the readings say."""

    where: ReadAt
    value: Annotated[float, Meta(description="degC")]
    unit: Literal["degC"]
    typed: Typed
    flagged: Doubted = False
    extends: tuple[TimerExtended, ...] = ()

    def says(self, state: State) -> str:
        return f"read at the {clean(self.where)}: {told(self.value, 'degC')}{doubted(self.flagged)}"


def _paused(timer: TimerRecord, when: Moment) -> TimerRecord:
    if not timer.needs_steam or not timer.running or timer.paused is not None:
        return timer
    return stood_still(timer, when, None)


def _going_on(timer: TimerRecord, when: Moment) -> TimerRecord:
    if timer.paused is None:
        return timer
    # Kept late, it may have been back before this clock began; over a restart the wall clock decides nothing.
    never = timer.paused.boot == when.boot and not before(timer.paused, when)
    stood = () if never else ((timer.paused, when),)
    return msgspec.structs.replace(timer, off=(*timer.off[:-1], *stood))


# Whether the colour is in the goods: looks at the bath, acid added to it, rinses graded, the goods set
# again.

Grade = Annotated[int, Meta(ge=1, le=5)]
SetNumber = Annotated[int, Meta(ge=1)]


class BathLooked(ClosesWithClocks, OfAList, frozen=True, tag="bath.looked"):
    """The white spoon: the bath, or the liquid of a packet in the microwave, graded from 1 dark to 5 clear."""

    step: Annotated[str, Meta(description="Id of the step that asks for the look.")]
    grade: Grade
    clear: bool
    set_number: SetNumber = field(name="set")

    def says(self, state: State) -> str:
        return f"white spoon: {self.grade} of 5, {'clear' if self.clear else 'not clear, held longer'}"


class AcidDosed(OfAList, frozen=True, tag="acid.dosed"):
    """Acid into a kettle's bath beyond the plan's, because it would not clear."""

    amount: Annotated[float, Meta(gt=0)]
    unit: Literal["mL", "g"]
    typed: Typed

    def says(self, state: State) -> str:
        return f"more acid: {show(self.amount, self.unit, 4)}"


class RinseRound(Closes, OfAList, frozen=True, tag="rinse.round"):
    """One rinse, graded from 1, dark as the bath, to 5, clear."""

    undo: ClassVar[Undo] = "last"

    staining: Grade
    clear: bool
    set_number: SetNumber = field(name="set")
    round: Annotated[int, Meta(ge=1)]

    def says(self, state: State) -> str:
        return f"rinse {self.round}: water graded {self.staining} of 5"


class SetAdded(Closes, frozen=True, tag="set.added"):
    """A second set: heat, cool and rinse once more, as stages `steam-2` and so on."""

    undo: ClassVar[Undo] = "last"

    number: Annotated[int, Meta(ge=2)]
    why: Words

    def apply(self, state: State, head: Head) -> None:
        from studio.session.sheet import with_second_set  # of the sheet's making, which most do without

        state.sets += 1
        closed = frozenset(s.id for s in state.all_steps() if state.step(s.id).closed)
        state.worksheet = with_second_set(state.worksheet, state.sets, closed)

    def says(self, state: State) -> str:
        return f"a second set was added - {clean(self.why, limit=400)}"
