"""What takes longer than a key may: the hues of the colours and the forecast, worked out once the keys
rest.
"""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from textual import work
from textual.content import Content
from textual.message import Message
from textual.timer import Timer
from textual.widget import Widget

from studio.craft.stripe.forecast import PREVIEW_PAINTINGS, BandForecast
from studio.plaintext import clean
from studio.plan.draft.draft import PlanDraft
from studio.plan.errors import PlanError
from studio.plan.model import Plan
from studio.plan.preview import Look, looks
from studio.plan.shelf import Shelf
from studio.services.refusal import refusal_text
from studio.trouble import Trouble
from studio.words.table import spoken

if TYPE_CHECKING:
    from studio.services.plan_files import PlanFile
    from studio.services.studio import Services


RESTS_S = 0.3
FORETOLD = ("layout", "knit")
"""The tables beside which the forecast stands."""


class Ahead(Widget):
    """Follows the plan at a distance, and shows nothing itself: an older answer never comes for a newer plan."""

    DEFAULT_CSS = "Ahead { display: none; }"

    class Came(Message):
        """Hues, and a forecast where one was asked for, are those of the plan as it stands."""

    def __init__(self, services: Services) -> None:
        super().__init__()
        self.services = services
        self.looks: dict[str, Look] = {}
        """How each colour is drawn; empty until that is worked out."""
        self.bands: tuple[BandForecast, ...] = ()
        """What each kind of band becomes when it is knitted."""
        self.no_forecast = ""
        """Why there is none."""
        self._ahead_of: tuple[str, bool] | None = None

    def follow(self, draft: PlanDraft, table: str) -> None:
        """Bring hues, and beside some tables the forecast, up to the plan as it stands, if it can be read."""
        wanted = (draft.text, table in FORETOLD)
        if wanted == self._ahead_of or draft.trouble is not None or draft.plan is None:
            return
        self._ahead_of = wanted
        self._work_out(draft, draft.plan, *wanted)

    @work(exclusive=True, group="ahead")
    async def _work_out(self, draft: PlanDraft, plan: Plan, text: str, foretell: bool) -> None:
        await asyncio.sleep(RESTS_S)
        found = await asyncio.to_thread(hues, plan, draft.shelf)
        bands: tuple[BandForecast, ...] = ()
        trouble = ""
        if foretell:
            try:
                foreseen = await asyncio.to_thread(self.services.foresee_text, text)
                forecast = await asyncio.to_thread(foreseen.forecast, PREVIEW_PAINTINGS)
                bands = tuple(forecast.kinds)
            except (Trouble, ValueError) as problem:
                trouble = refusal_text(problem)
        if text != draft.text:
            return
        self.looks = found or self.looks
        if foretell:
            self.bands, self.no_forecast = bands, trouble
        self.post_message(self.Came())

    def foretold(self, width: int) -> list[Content]:
        """The forecast in a few lines, or why there is none."""
        if self.no_forecast:
            told = Content.styled(f"No forecast: {clean(self.no_forecast, limit=300)}", "$quiet")
            return [*(line.pad_left(1) for line in told.wrap(max(16, width - 3))), Content("")]
        lines = [Content.styled(" knitted, each band gives", "$quiet")] if self.bands else []
        for band in self.bands:
            name = clean(band.colour or "bare", limit=20)
            low, _, high = band.solid
            solid = f"{low:g}" if low == high else f"{low:g} to {high:g}"
            odds = "" if not band.colour else f", odds of one {100 * band.odds_solid:.0f} %"
            style = "$due" if band.colour and band.odds_solid < 0.9 else "$text"
            told = Content.styled(f"{name} {band.rows:g}: {solid} solid rounds{odds}", style)
            lines.extend(
                line.pad_left(1 if n == 0 else 5) for n, line in enumerate(told.wrap(max(16, width - 6)))
            )
        if self.bands:
            lines.append(Content.styled(spoken(" estimate; {plan.forecast} shows more"), "$quiet"))
        return [*lines, Content("")] if lines else []


def hues(plan: Plan, shelf: Shelf) -> dict[str, Look]:
    """How each colour and the bare yarn look; empty where that cannot be worked out."""
    from studio.plan.preview import colours_seen, undyed_hex

    try:
        seen = colours_seen(plan, shelf)
        return looks([colour.name for colour in plan.colours], seen, undyed_hex(plan, shelf))
    except (PlanError, ValueError):
        return {}


# Edits of a plan that are not saved: kept beside its file, so that no kill and no other program loses
# them.

AGAIN_S = 1.0
"""Where that failed, it is tried again after so long. House rule."""


class UnsavedEdits(Widget):
    """Writes them down at a distance, and shows nothing itself."""

    DEFAULT_CSS = "UnsavedEdits { display: none; }"

    class Tried(Message):
        """They were written down; or `problem` says why not, and it is tried again."""

        def __init__(self, problem: str = "") -> None:
            super().__init__()
            self.problem = problem

    def __init__(self, services: Services) -> None:
        super().__init__()
        self.services = services
        self._rest: Timer | None = None
        self._kept_text: str | None = None

    def keep(self, file: PlanFile, text: str, rests_s: float = RESTS_S) -> None:
        """Write the text beside the file, once the keys rest."""
        if self._rest is not None:
            self._rest.stop()
        self._rest = self.set_timer(rests_s, lambda: self.keep_now(file, text))

    def forget(self) -> None:
        """The file holds them, or they are not wanted."""
        self._kept_text = None
        if self._rest is not None:
            self._rest.stop()

    @work(exclusive=True, group="unsaved")
    async def keep_now(self, file: PlanFile, text: str) -> None:
        """Write them now, off the drawing loop."""
        files = self.services.plan_files
        if text == self._kept_text:
            return
        try:
            if text == file.text:
                await asyncio.to_thread(files.forget_unsaved, file)
            else:
                await asyncio.to_thread(files.keep_unsaved, file, text)
        except Trouble as problem:
            self.keep(file, text, AGAIN_S)
            self.post_message(self.Tried(f"Unsaved edits cannot be kept: {problem}"))
        else:
            self._kept_text = text
            self.post_message(self.Tried())
