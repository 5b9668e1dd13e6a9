"""What a plan comes to, around its fields: strip and table above, the job below, figures and forecast beside."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

from textual import work
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from studio.craft.stripe.forecast import PREVIEW_PAINTINGS, BandForecast
from studio.plaintext import clean, counted
from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import place_of
from studio.plan.errors import PlanError
from studio.plan.model import Plan
from studio.plan.preview import UNDYED, Look, looks, main_hue, strip_bands
from studio.plan.shapes import Caution, Figure
from studio.plan.shelf import Shelf
from studio.report.forecast import grid, stands_out
from studio.screens.draw import plan as draw
from studio.screens.draw.bench import TALL
from studio.screens.draw.cautions import COLUMN, NEXT, caution_line, caution_list
from studio.screens.draw.clocks import plan_day
from studio.screens.draw.cloth import cloth, strip
from studio.screens.draw.keys import MARGIN, leads, wrapped
from studio.screens.keyed import app_of, put
from studio.screens.plan.fields import Fields
from studio.screens.plan.rows import FieldRow, colour_table, job
from studio.screens.plan.saving import RESTS_S
from studio.services.plans import refusal_text
from studio.trouble import Trouble
from studio.words.table import spoken

if TYPE_CHECKING:
    from studio.craft.stripe.picture import Picture
    from studio.methods.day import DaySheet
    from studio.services.studio import Services

FORETOLD = ("layout", "knit")
"""The tables beside which the forecast stands; where there is much room it stands beside the colours too."""
ROOMY = (110, 32)
"""Columns and rows that have that much. House rule."""
CLOTH_ROWS, CLOTH_CELLS = 8, 48
FORETOLD_ROWS = 8
"""Around the cloth and what each kind of band gives, with the figures of the layout."""
MOST_PIECES = 2
"""Pieces whose hours are shown. House rule."""
SURE = 0.995
"""Chance of a solid round that is told as certain. House rule."""
Hues = tuple[dict[str, Look], dict[str, tuple[tuple[float, str], ...]]]
"""How each colour looks, and from pale to deep."""


class Side(VerticalScroll, can_focus=False):
    """Hues and the forecast take longer than a key may: they follow once the keys rest, never for an older plan."""

    class Came(Message):
        """Hues, and a forecast where one was asked for, are those of the plan as it stands."""

    def __init__(self, services: Services, draft: PlanDraft) -> None:
        super().__init__(id="plan-side")
        self.services = services
        self.draft = draft
        self.looks: dict[str, Look] = {}
        """How each colour is drawn; by its sign until its hue is worked out."""
        self.ladders: dict[str, tuple[tuple[float, str], ...]] = {}
        """Each colour at the depths of a ladder."""
        self._bands: tuple[BandForecast, ...] = ()
        """What each kind of band becomes when it is knitted."""
        self._picture: tuple[Picture, dict[str, Look]] | None = None
        """The knitted piece, with the hues of its colours."""
        self._no_forecast = ""
        """Why there is none."""
        self._day: DaySheet | None = None
        """Its hours, where it could share a day with others."""
        self._bars: dict[tuple[int, str], list[Content]] = {}
        """They, drawn, by width and hue: they stay from key to key."""
        self._ahead_of: tuple[str, bool, bool] | None = None

    def compose(self) -> ComposeResult:
        yield Static(id="plan-figures", markup=False)

    def foretells(self, table: str, width: int, height: int) -> bool:
        """Whether the forecast is shown: where bands are, and beside the colours where there is much room."""
        knits = self.draft.settled is not None and self.draft.settled.form == "blank"
        roomy = width >= ROOMY[0] and height >= ROOMY[1]
        return table in FORETOLD or (table == "colour" and roomy and knits)

    def least(self, width: int, height: int) -> int:
        """Rows that never give way to a list: the fields, and beside them the forecast with its cloth."""
        kinds = 1 + len(self.draft.colour_names())
        beside = CLOTH_ROWS + FORETOLD_ROWS + 2 * kinds
        return beside if self.foretells("colour", width, height) else FEWEST_FIELDS

    def draw(self, figures: Sequence[Figure], width: int, height: int, *, foretell: bool) -> None:
        """What belongs beside a section; the knitted piece too, where there is room for it."""
        lines = draw.figures(figures, width)
        if foretell:
            lines = [*self._foretold(width), *lines]
            if len(lines) + CLOTH_ROWS + 2 <= height:
                lines = [*self._cloth(min(width, CLOTH_CELLS)), *lines]
        put(self.query_one(Static), Content("\n").join(lines))

    def _cloth(self, cells: int) -> list[Content]:
        if self._picture is None:
            return []
        picture, palette = self._picture
        dots = grid(picture, picture.fabric, palette, cells, 2 * CLOTH_ROWS)
        drawn = cloth(dots, coloured=app_of(self.screen).glyphs.coloured, margin="")
        return [Content.styled("knitted, first round at the left", "$quiet"), drawn, Content("")]

    def follow(self, foretell: bool, height: int) -> None:
        """Bring hues, and where they are shown forecast and hours, up to the plan as it stands, if it can be read."""
        draft = self.draft
        names = draft.colour_names()
        if any(name not in self.looks for name in ("", *names)):
            self.looks = {**looks(names, (), UNDYED), **self.looks}
        wanted = (draft.text, foretell, height >= TALL)
        if wanted == self._ahead_of or draft.trouble is not None or draft.plan is None:
            return
        self._ahead_of = wanted
        self._work_out(draft.plan, *wanted)

    @work(exclusive=True, group="ahead")
    async def _work_out(self, plan: Plan, text: str, foretell: bool, timed: bool) -> None:
        await asyncio.sleep(RESTS_S)
        found, ladders = await asyncio.to_thread(hues, plan, self.draft.shelf)
        bands, picture, trouble = tuple[BandForecast, ...](), None, ""
        if foretell:
            try:
                foreseen = await asyncio.to_thread(self.services.foresee_text, text)
                forecast = await asyncio.to_thread(foreseen.forecast, PREVIEW_PAINTINGS)
                bands = tuple(forecast.kinds)
                picture = (await asyncio.to_thread(foreseen.picture), foreseen.palette)
            except (Trouble, ValueError) as problem:
                trouble = refusal_text(problem)
        day = await asyncio.to_thread(self._hours, plan) if timed else None
        if text != self.draft.text:
            self._ahead_of = None
            return
        self._day, self._bars = day, {}
        self.looks, self.ladders = found or self.looks, ladders
        if foretell:
            self._bands, self._picture, self._no_forecast = bands, picture, trouble
        self.post_message(self.Came())

    def _hours(self, plan: Plan) -> DaySheet | None:
        """None where it has no place in a day, or so many pieces that the day's own page tells them better."""
        if (plan.fibre.pieces or 1) > MOST_PIECES:
            return None
        with suppress(Trouble):
            return self.services.day([(plan, None)])
        return None

    def hours(self, width: int) -> list[Content]:
        """The plan's hours as bars, as soon as they are known."""
        settled, day = self.draft.settled, self._day
        if day is None or settled is None or self.draft.trouble is not None:
            return []
        bands = strip_bands(settled, {name: look.hex for name, look in self.looks.items() if name})
        drawn = width, main_hue(bands)
        if drawn not in self._bars:
            self._bars[drawn] = plan_day(day, *drawn, COLUMN, app_of(self.screen).glyphs)
        return self._bars[drawn]

    def _foretold(self, width: int) -> list[Content]:
        """The forecast in a few lines, or why there is none."""
        if self._no_forecast:
            told = f"No forecast: {clean(self._no_forecast, limit=300)}"
            return [*wrapped(told, "$quiet", width, 0), Content("")]
        lines = [Content.styled("each band gives", "$quiet")] if self._bands else []
        for band in self._bands:
            name = clean(band.colour or "bare", limit=20)
            low, _, high = band.solid
            solid = f"{'' if low == high else f'{low:g} to '}{counted(high, 'solid round')}"
            often = "every time" if band.odds_solid >= SURE else f"{100 * band.odds_solid:.0f} times in 100"
            odds = f", {often}" if band.colour else ""
            style = "$due" if stands_out(band) else "$text"
            said = Content.styled(f"{name}, {counted(band.rows, 'row')}: {solid}{odds}", style)
            lines.extend(
                line.pad_left(0 if n == 0 else 4) for n, line in enumerate(said.wrap(max(16, width - 6)))
            )
        if self._bands:
            lines.append(Content.styled(spoken("estimate; {plan.forecast} shows more"), "$quiet"))
        return [*lines, Content("")] if lines else []


WIDEST = 100
"""Columns from which the table has all of its columns. House rule."""
AIRY = 24
"""Rows from which groups stand apart. House rule."""
LEAST_LIST, MOST_LIST = 3, 7
"""Rows of a list of cautions that says more than a line of them, and that it takes at most. House rule."""
FEWEST_FIELDS = 12
"""Rows of the longest section, and of what is told below a field: they never give way to a list. House rule."""


class Above(Static):
    """The painted strip with its legend, the sections, and among the colours their table."""

    def __init__(self, draft: PlanDraft) -> None:
        super().__init__(markup=False)
        self.draft = draft

    def draw(self, fields: Fields, looks: dict[str, Look], width: int, height: int) -> tuple[int, int]:
        """How many lines it takes; and how many with the table of colours, so that what is below stands still."""
        glyphs = app_of(self.screen).glyphs
        gap = [Content("")] * (height >= AIRY)
        sections = draw.strip(fields.sections, fields.section, self.draft, width, glyphs)
        lines = [*self._cloth(looks, width, 2 if height < TALL else 3), *gap, sections]
        lines = [line.pad_left(MARGIN) for line in lines]
        most, with_table = max(3, (height - 12) // 3), len(lines) + 1
        if self.draft.settled is not None:
            mixes = (len(one.stocks) for one in self.draft.settled.colours)
            with_table += len(gap) + 1 + min(most, sum(1 + dyes * (dyes > 1) for dyes in mixes))
        heads, colours = (
            colour_table(self.draft, wide=width >= WIDEST) if fields.here.table == "colour" else ((), [])
        )
        if colours:
            lines.extend(gap)
            lines.extend(draw.colour_table(heads, colours, fields.number(), width + 2, most, looks, glyphs))
        lines.append(Content(""))
        put(self, Content("\n").join(lines))
        return len(lines), max(len(lines), with_table)

    def _cloth(self, looks: dict[str, Look], width: int, rows: int) -> list[Content]:
        """The whole piece as it is laid out; nothing as long as the plan cannot be worked out."""
        settled = self.draft.settled
        if settled is None:
            return []
        glyphs = app_of(self.screen).glyphs
        bands = strip_bands(settled, {name: look.hex for name, look in looks.items() if name})
        return [*strip(bands, width, rows, glyphs), *draw.legend(bands, width, glyphs)]


class Below(Static):
    """The job, and what is to be known; a caution that was gone to takes the room of both."""

    def __init__(self, draft: PlanDraft, fields: Fields, side: Side) -> None:
        super().__init__(markup=False)
        self.draft, self.fields, self.side = draft, fields, side
        self._gone_to: Caution | None = None
        self._number = 0
        """Of the one gone to, from 0: where it is mended, the next one has its place."""
        self._led_to = (0, 0)
        """Section and row: away from there it is one among others."""

    def _cautions(self) -> tuple[Caution, ...]:
        return self.draft.worksheet.cautions if self.draft.worksheet else ()

    def go_on(self, number: int = NEXT) -> str:
        """To the caution of that number, else to the one after the last, and its field; how it is told."""
        cautions, fields = self._cautions(), self.fields
        if not cautions:
            return "No cautions."
        at = cautions.index(self._gone_to) + 1 if self._gone_to in cautions else self._number
        self._number = at % len(cautions) if number == NEXT else number
        caution = self._gone_to = cautions[self._number]
        fields.go_to(place_of(caution.where, self.draft.data))
        self._led_to = (fields.section, fields.cursor)
        alone = "" if caution.where else " No single field sets it."
        return f"{self._number + 1} of {len(cautions)}, {caution.level}.{alone}"

    def draw(self, width: int, height: int, room: int, least: int, *, foretell: bool) -> int:
        """How many lines it takes of the `room` of this section; a list of cautions goes by the `least` of any."""
        fields, glyphs, all_of_them = self.fields, app_of(self.screen).glyphs, self._cautions()
        row, still = fields.row(), self._led_to == (fields.section, fields.cursor)
        at = all_of_them.index(self._gone_to) if still and self._gone_to in all_of_them else None
        here = row.place if isinstance(row, FieldRow) or (row is not None and fields.typing) else None
        gap, tall = [Content("")] * (height >= AIRY), height >= TALL
        listed, job_now = list[Content](), draw.job_lines(job(self.draft, tall=tall), width)
        beside = self.side.least(width + 2 * MARGIN, height)
        most = least - beside - len(job_now) - 2 * len(gap)
        if tall and self.draft.trouble is None and most >= LEAST_LIST:
            listed = [*gap, *caution_list(all_of_them, at, width, min(most, MOST_LIST), glyphs)]
        elif at is not None:
            job_now = []
        if not listed:
            told = caution_line(self.draft, at, here, width, 1 + tall, glyphs)
            listed = [leads(line, "caution", NEXT) for line in told]
        lines = [*gap, *job_now, *listed]
        hours, own = self.side.hours(width), beside if foretell else FEWEST_FIELDS
        shown = len(fields.here.fields) if fields.here.table == "colour" else len(fields.rows())
        if hours and len(gap) + len(hours) + len(lines) + max(own, shown + 2) <= room:
            lines = [*gap, *hours, *lines]
        put(self, Content("\n").join(line.pad_left(MARGIN) for line in lines))
        return len(lines)


def hues(plan: Plan, shelf: Shelf) -> Hues:
    """How each colour and the bare yarn look, and each colour's ladder; empty where the plan cannot be worked out."""
    from studio.plan.preview import ladder, looks_of
    from studio.plan.settled import settle

    try:
        settled = settle(plan, shelf)
    except PlanError:
        return {}, {}
    ladders = {colour.plan.name: ladder(settled, colour.plan.name) for colour in settled.colours}
    return looks_of(settled), ladders
