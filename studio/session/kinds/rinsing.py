"""Whether the colour is in the goods: looks at the bath, acid added to it, rinses graded, the goods set again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, ClassVar, Literal

from msgspec import Meta, field

from studio.plaintext import clean
from studio.quantity.showing import show
from studio.session.events import Head, OfAList, Typed, Undo, Words
from studio.session.kinds.steps import Closes, ClosesWithClocks

if TYPE_CHECKING:
    from studio.session.state import State

Grade = Annotated[int, Meta(ge=1, le=5)]
SetNumber = Annotated[int, Meta(ge=1)]


class BathLooked(ClosesWithClocks, OfAList, frozen=True, tag="bath.looked"):
    """The white spoon: the bath, or the liquid of a packet in the microwave, graded from 1 dark to 5 clear."""

    undo: ClassVar[Undo] = "free"
    into: ClassVar[str] = "looks"

    step: Annotated[str, Meta(description="Id of the step that asks for the look.")]
    grade: Grade
    clear: bool
    set_number: SetNumber = field(name="set")

    def says(self, state: State) -> str:
        return f"white spoon: {self.grade} of 5, {'clear' if self.clear else 'not clear, held on'}"


class AcidDosed(OfAList, frozen=True, tag="acid.dosed"):
    """Acid into a kettle's bath beyond the plan's, because it would not clear."""

    undo: ClassVar[Undo] = "free"
    into: ClassVar[str] = "acid_doses"

    amount: Annotated[float, Meta(gt=0)]
    unit: Literal["mL", "g"]
    typed: Typed

    def says(self, state: State) -> str:
        return f"more acid: {show(self.amount, self.unit, 4)}"


class RinseRound(Closes, OfAList, frozen=True, tag="rinse.round"):
    """One rinse, graded from 1, dark as the bath, to 5, clear."""

    undo: ClassVar[Undo] = "last"
    into: ClassVar[str] = "rounds"

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


KINDS = (BathLooked, AcidDosed, RinseRound, SetAdded)
