"""What a plan sees of the shelf: dyes and their looks, acids, thickeners, bases, kit, jars and their age."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from typing import Literal, TypeVar

import msgspec

from studio.craft.shade import AGE_LIMITS
from studio.plaintext import counted
from studio.plan.errors import PlanError, quoted
from studio.plan.habits import Habit
from studio.plan.model import Form
from studio.plan.shapes import Origin
from studio.plan.shares import number_text
from studio.quantity.kinds import Quantity, QuantityError
from studio.quantity.reading import parse
from studio.quantity.reading_in import UnitSystem
from studio.tables.finding import dyes_with, find_dye, meant
from studio.tables.rows import DyeRow, dyes

# What a dye looks like: a colour and the depth it was seen at, or a dye that looks like it.

EXAMPLE = "#b5532a at 1 %"
DEPTH_PERCENT = 1.0
"""The depth of a swatch where none is said: the one dyers compare dyes at. House rule."""
MOST_DEPTH_PERCENT = 20.0

_HEX = r"(?i)#?(?P<six>[0-9a-f]{6})|#(?P<three>[0-9a-f]{3})"
_AT = r"(?i)(?P<what>.+?)[\s,]+(?:at\s+)?(?P<depth>[0-9][^a-z]*(?:%|per\s*cent))"


class Looks(msgspec.Struct, frozen=True, kw_only=True):
    """A colour with its depth, or a stand-in; one of the two."""

    given: str
    """The colour or the dye as it was written."""
    hex: str = ""
    """`#rrggbb`; empty where a dye stands in."""
    depth_percent: float = DEPTH_PERCENT
    like: str = ""
    """Name of the table dye that looks like it."""

    @property
    def text(self) -> str:
        """As a shelf file holds it."""
        return f"{self.given} at {number_text(self.depth_percent)} %" if self.hex else self.given

    @property
    def told(self) -> str:
        """What it is taken for."""
        return f"{self.hex} at {number_text(self.depth_percent)} %" if self.hex else f"like {self.given}"


def read_looks(text: str) -> Looks:
    """The looks of `#b5532a at 1 %`, `peru`, `peru 2 %`, `like acid orange 7`; PlanError, one sentence, for others.

    >>> read_looks("saddle brown at 2 %").told, read_looks("orange 7").told
    ('#8b4513 at 2 %', 'like C.I. Acid Orange 7')
    """
    found = re.fullmatch(_AT, text.strip())
    what, depth = (found["what"], _depth(found["depth"])) if found else (text.strip(), DEPTH_PERCENT)
    colour = hex_of(what)
    if colour:
        return Looks(given=what, hex=colour, depth_percent=depth)
    row = _stand_in(what)
    return Looks(given=row.ci or row.name, like=row.name)


def hex_of(text: str) -> str:
    """`#rrggbb` of a hex value or of a colour name of CSS; empty where it is neither.

    **Source:** CSS Color Module Level 4, section 6.1 (named colours), by the library coloraide.

    >>> hex_of("#B5532A"), hex_of("Saddle Brown"), hex_of("#fff"), hex_of("kelp")
    ('#b5532a', '#8b4513', '#ffffff', '')
    """
    if found := re.fullmatch(_HEX, text.strip()):
        six = found["six"] or "".join(2 * digit for digit in found["three"])
        return f"#{six.lower()}"
    from coloraide import Color

    name = re.sub(r"[\s-]+", "", text).casefold()
    if not name.isalpha() or name == "transparent" or (match := Color.match(name, fullmatch=True)) is None:
        return ""
    return match.color.to_string(hex=True)


def _depth(typed: str) -> float:
    try:
        percent = parse(typed, "share").value
    except QuantityError as problem:
        raise PlanError(f"The depth: {problem}") from None
    if not 0 < percent <= MOST_DEPTH_PERCENT:
        raise PlanError(
            f"A depth lies above 0, up to {MOST_DEPTH_PERCENT:g} %, not at {quoted(typed)}; write {EXAMPLE}."
        )
    return percent


def _stand_in(text: str) -> DyeRow:
    """The dye that is named, or the only one in whose name the words stand, with a curve to go by."""
    name = re.sub(r"^(?:looks\s+)?like\s+", "", text, flags=re.IGNORECASE)
    exact = find_dye(name)
    found = (exact,) if exact else dyes_with(name)
    fitting = [row for row in found if row.peak_nm is not None and row.absorptivity_l_g_cm is not None]
    if len(fitting) == 1:
        return fitting[0]
    names = [row.ci or row.name for row in fitting]
    if exact is not None:
        raise PlanError(
            f"No colour is published for {quoted(name)}; write a colour, {EXAMPLE}, or another dye."
        )
    if names:
        more = ", ..." if len(names) > 4 else ""
        raise PlanError(f"{quoted(name)} may be {', '.join(names[:4])}{more}; write one of them.")
    otherwise = f"write {EXAMPLE}, peru, or a dye that looks like it."
    hint = meant(name, [row.ci or row.name for row in dyes().values()], otherwise)
    raise PlanError(f"{quoted(name)} is no colour and no dye of the tables; {hint}")


# The shelf: what sessions share. Dyes, acids, bases, kit, leftover jars, and facts of the studio. Each
# entry is one TOML table. A bad entry is left out and named in `remarks`; the rest still loads.

DyeForm = Literal["powder", "liquid"]


class Price(msgspec.Struct, frozen=True):
    """What a pack costs: money in the studio's currency for so many g, mL or pieces."""

    money: float
    amount: float
    unit: str
    """`g`, `mL` or `1`."""

    @property
    def per_unit(self) -> float:
        """Money for one g, mL or piece."""
        return self.money / self.amount


class ShelfDye(msgspec.Struct, frozen=True, kw_only=True):
    """A dye the studio owns, by the studio's own name."""

    name: str
    dye: str = ""
    """The table row it is, `food red` or `C.I. Acid Orange 7`; empty where it is no single known dye."""
    dye_class: str = ""
    """Id of the dye class; from the table row where empty."""
    form: DyeForm = "powder"
    strength_percent: float | None = None
    """g per 100 mL, for a ready liquid; None where its label does not say, and then it is used by drops."""
    mixture: bool | None = None
    """Whether the maker mixed it of several dyes; from the table row where None."""
    components: tuple[str, ...] = ()
    """The dyes the maker says are in it."""
    looks: Looks | None = None
    """Of the studio's own dry swatch, or of a dye that stands in."""
    price: Price | None = None
    on_hand: Quantity | None = None
    """g of a powder, mL of a liquid; None where nobody wrote it down."""
    sheet: str = ""
    """Where the maker's safety data sheet is; text to show, never opened by the program."""


class ShelfAcid(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    acid: str
    """The table row it is, `white vinegar`."""
    strength_percent: float | None = None
    """Where the label says another strength than the table row."""
    strength_by: Literal["volume", "weight"] = "volume"
    """What the label's per cent is of: g in 100 mL, or g in 100 g."""
    price: Price | None = None
    on_hand: Quantity | None = None
    """mL of a liquid, g of a powder."""
    sheet: str = ""


class ShelfThickener(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    thickener: str
    """The table row it is, `guar`."""
    price: Price | None = None
    on_hand: Quantity | None = None


class ShelfBase(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    blend: tuple[tuple[str, float], ...]
    form: Form | Literal[""] = ""
    """Empty where the shelf does not say."""
    dry_weight_g: float | None = None
    yarn_length_m: float | None = None
    strands: int | None = None
    rows: int | None = None
    stitches: int | None = None
    white_hex: str = ""
    """Colour of the undyed yarn, `#rrggbb`."""
    price: Price | None = None
    on_hand: int | None = None
    """Pieces."""


class KitItem(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    kept_for: Literal["dye only", "kitchen"]
    kind: str = ""
    """What it is, where that matters: `microwave`."""
    resolution_g: float | None = None
    """Of a scale: its smallest step."""
    volume_ml: float | None = None
    """What a pot, basin or jar holds to the brim."""
    power_w: float | None = None
    """Of a hob, of a pot that heats itself, or of an oven."""
    steam_time_min: float | None = None
    """How long this studio steams in it, found by trying."""

    @property
    def oven(self) -> bool:
        """Whether it is a microwave oven."""
        return self.kind.casefold() == "microwave"


class Jar(msgspec.Struct, frozen=True, kw_only=True):
    """Leftover stock."""

    name: str
    dye: str
    strength_percent: float
    volume_ml: float
    made: str = ""
    """Date on the label."""
    use_by: str = ""
    """Day as `2026-12-24`; empty where the label has none."""
    kind: str = ""
    """A key of `craft.shade.AGE_LIMITS`; empty is taken for `stock`."""
    session: str = ""
    """The session it was left over from, by the name of its file."""


def folded(name: str) -> str:
    """A name as things of the shelf are looked up by it, however it is spaced and written large."""
    return " ".join(name.casefold().split())


Entry = TypeVar("Entry", bound=ShelfDye | ShelfAcid | ShelfThickener | ShelfBase | KitItem | Jar)


def entry_called(entries: Iterable[Entry], name: str) -> Entry | None:
    """The entry of that name; None where there is none."""
    wanted = folded(name)
    return next((entry for entry in entries if folded(entry.name) == wanted), None)


class StudioFacts(msgspec.Struct, frozen=True, kw_only=True):
    """What is always so in this studio; None where nobody measured it."""

    name: str = ""
    units: UnitSystem = "metric"
    """What typed quantities are echoed in."""
    currency: str = ""
    energy_price: float | None = None
    """Money for one kWh."""
    hourly_rate: float | None = None
    """Money for an hour of hands-on work."""
    margin_percent: float | None = None
    """Gross margin wanted, per cent of the price."""
    scale_resolution_g: float | None = None
    drops_per_ml: float = 20.0
    hob_w: float | None = None
    altitude_m: float | None = None
    alkalinity_mg_l: float | None = None
    water_ph: float | None = None
    room_c: float | None = None


class LeftOut(msgspec.Struct, frozen=True):
    """An entry that could not be used, or a whole file: then table and name are empty."""

    file: str
    table: str
    name: str
    sentence: str
    """What is wrong there."""
    on_screen: str
    """The same in the words of a screen."""


class Shelf(msgspec.Struct, frozen=True, kw_only=True):
    dyes: tuple[ShelfDye, ...] = ()
    acids: tuple[ShelfAcid, ...] = ()
    thickeners: tuple[ShelfThickener, ...] = ()
    bases: tuple[ShelfBase, ...] = ()
    kit: tuple[KitItem, ...] = ()
    jars: tuple[Jar, ...] = ()
    studio: StudioFacts = StudioFacts()
    habits: tuple[Habit, ...] = ()
    """What the studio's sessions taught; empty where nobody asked them."""
    left_out: tuple[LeftOut, ...] = ()
    """What could not be used."""
    drawn: Mapping[str, tuple[str, ...]] = {}
    """What finished sessions have taken off the shelf already: ids of what was taken, by session."""
    read_on: str = ""
    """The day it was read, `2026-11-25`, by which jars are old or not; empty where nobody said."""

    @property
    def remarks(self) -> tuple[str, ...]:
        """One sentence for each entry or file that could not be used."""
        return tuple(one.sentence for one in self.left_out)

    def hidden(self, name: str, *tables: str) -> LeftOut | None:
        """Why an entry of that name may be missing: it was left out, or the file of its kind was; else None."""
        for one in self.left_out:
            whole_file = not one.table and FILES.get(one.file, tables[0]) in tables
            if whole_file or (one.table in tables and folded(one.name) == folded(name)):
                return one
        return None


FILES = {
    "dyes.toml": "dye",
    "acids.toml": "acid",
    "thickeners.toml": "thickener",
    "bases.toml": "base",
    "kit.toml": "kit",
    "jars.toml": "jar",
    "studio.toml": "studio",
}
"""Which entries a shelf file of that name holds; one of another name may hold any."""

EMPTY_SHELF = Shelf()


# How old a jar is: past its label's day, or past what is published for stock.

Standing = Literal["good", "old", "unknown"]


class JarAge(msgspec.Struct, frozen=True):
    """What its dates say of a jar on a day."""

    standing: Standing
    told: str
    """A few words: `use by 2026-12-29, 4 days over`."""
    origin: Origin
    source: str


def read_day(text: str) -> date | None:
    """The day of a text such as `2026-12-24`; None for anything else.

    >>> read_day("2026-12-24"), read_day("spring"), read_day("20261224")
    (datetime.date(2026, 12, 24), None, None)
    """
    try:
        found = date.fromisoformat(text)
    except ValueError:
        return None
    return found if found.isoformat() == text else None


def use_by_of(jar: Jar) -> tuple[date, Origin, str] | None:
    """The last day of a jar, and who says so; None without a date that can be read.

    **Source:** the label; else `craft.shade.AGE_LIMITS` counted from the day it was made.
    """
    labelled = read_day(jar.use_by)
    if labelled is not None:
        return labelled, "yours", "the jar's label"
    made = read_day(jar.made)
    if made is None:
        return None
    limit = AGE_LIMITS[jar.kind or "stock"]
    try:
        last = made + timedelta(days=limit.days)
    except OverflowError:
        last = date.max
    return last, "published" if limit.standing == "published" else "house rule", limit.source


def age_of(jar: Jar, today: date | None) -> JarAge:
    """Whether the jar is still good by its dates on a day; `unknown` without a date or without a day.

    **Source:** as `use_by_of`.
    Breaks for a jar that smells, has mould on it or was not kept cool and dark: age is not all.
    """
    found = use_by_of(jar)
    if found is None:
        return JarAge("unknown", "no date that can be read", "yours", "the jar's label")
    last, origin, source = found
    kept = f"use by {last.isoformat()}"
    if not read_day(jar.use_by):
        kept = f"made {jar.made}, keeps to {last.isoformat()}"
    if today is None or today <= last:
        return JarAge("good" if today else "unknown", kept, origin, source)
    return JarAge("old", f"{kept}, {counted((today - last).days, 'day')} over", origin, source)
