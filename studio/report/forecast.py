"""A forecast in words, numbers and small pictures: kinds of band, solid and mixed rounds, odds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Annotated, Literal

import msgspec

from studio.plaintext import clean, counted
from studio.plan.preview import Look
from studio.report.printing import Row, Section, console, picked, print_sections, printable_json, row

if TYPE_CHECKING:
    from rich.text import Text

    from studio.craft.stripe.forecast import BandForecast, Forecast
    from studio.craft.stripe.picture import Cloth, Picture
    from studio.plan.forecast import Foreseen, Foretelling, SkeinTold


# A forecast in words and numbers: kinds of band, solid and mixed rounds, odds.


def count_text(low: int, middle: int, high: int) -> str:
    """`11 (10 to 12)`, or `11` where there is no spread."""
    return f"{middle}" if low == high else f"{middle} ({low} to {high})"


class BandWords(msgspec.Struct, frozen=True):
    """One kind of band in words, with its colour."""

    name: str
    hex: str
    rows: str
    times: str
    solid: str
    mixed: str
    odds: str


def band_words(kind: BandForecast, name: str, colour: str = "") -> BandWords:
    """What is said of one kind of band, under that name."""
    solid, mixed = count_text(*kind.solid), count_text(*kind.mixed)
    odds = f"{100 * kind.odds_solid:.0f} %"
    return BandWords(clean(name, limit=40), colour, f"{kind.rows:g}", f"{kind.times}", solid, mixed, odds)


LIKELY = 0.9
"""A colour whose chance of a solid round is lower stands out. House rule."""


def stands_out(kind: BandForecast) -> bool:
    """Whether a band of a colour may well come without one solid round."""
    return bool(kind.colour) and kind.odds_solid < LIKELY


WIDE = 68
"""Cells of a line of the table of bands; where there are fewer, its columns are set closer."""


def band_section(found: Forecast, width: int = WIDE) -> Section:
    """One line for each kind of band, `width` cells wide (at least 56)."""
    name, count, gap, solid, mixed = 16, 16, "   ", "solid rounds", "mixed rounds"
    if width < WIDE:
        name, count, gap, solid, mixed = 11, 14, " ", "solid", "mixed"
    heads = f"{'':<{name}}{'rows':>5}{'times':>6}{gap}{solid:<{count}}{mixed:<{count - 2}}chance"
    rows: list[Row] = [row((heads, "quiet"))]
    for band in found.kinds:
        said = band_words(band, band.colour or "bare")
        rows.append(
            row(
                (f"{clean(said.name, limit=name - 1):<{name}}", "plain"),
                (f"{said.rows:>5}{said.times:>6}{gap}", "quiet"),
                (f"{said.solid:<{count}}", "strong"),
                (f"{said.mixed:<{count}}", "plain"),
                (said.odds, "due" if stands_out(band) else "done"),
            )
        )
    return Section("bands", tuple(rows))


def yarn_section(told: Foretelling, found: Forecast) -> Section:
    """Metres and rounds, and where they come from."""
    strands = told.blank.strands
    pair = f", {strands} strands that match" if strands > 1 else ""
    said = [
        f"{found.yarn_m:.0f} m of yarn in a strand{pair}",
        f"{found.rounds:.0f} rounds of {told.knitting.stitches} stitches, {found.round_m:.3f} m each",
        *pair_sentences(told, found),
    ]
    rows = [row((sentence, "plain")) for sentence in said]
    rows.extend(row((clean(sentence, limit=300), "quiet")) for sentence in told.because)
    return Section("yarn", tuple(rows))


PAIR_WORDS = {
    "enough": "enough for an adult pair of socks",
    "perhaps": "perhaps enough for an adult pair of socks",
    "too little": "too little for an adult pair of socks",
}


def pair_sentences(told: Foretelling, found: Forecast) -> Iterator[str]:
    """Whether it makes a pair, and how well two strands match from the same end or from opposite ones."""
    from studio.craft.stripe.blank import pair_of
    from studio.craft.stripe.skein import pair_room

    yield f"{found.yarn_all_m:.0f} m in all: {PAIR_WORDS[pair_room(found.yarn_all_m)]} (estimate)"
    if told.blank.strands < 2:
        return
    same, turned = (pair_of(told.blank, told.bands, ends) for ends in (("last", "last"), ("last", "first")))
    yield (
        f"both strands started from the last row match to {same.offset_m:.1f} m; from opposite ends the same "
        f"colour lies side by side on {100 * turned.same_share:.0f} % (estimate)"
    )
    if not same.ends_differ:
        yield "the ends of the blank look alike: mark one, so that both strands start from the same end"


def estimates(foreseen: Foreseen) -> str:
    """What of the painting is an estimate; a spread of the studio's own is none."""
    return (
        "tilt and wander are estimates"
        if foreseen.spread_is
        else "all three are estimates until fitted to a swatch"
    )


def honesty_section(foreseen: Foreseen, found: Forecast) -> Section:
    """What the forecast rests on."""
    if found.exact:
        how = "exact geometry: no spread, no tilt, no wander"
    else:
        how = f"{found.paintings} simulated paintings; {foreseen.painted_by()}; {estimates(foreseen)}"
    rows = [row((how, "quiet")), row(("solid: one colour on 95 % of a round or more (house rule)", "quiet"))]
    rows.extend(row((clean(note, limit=400), "due")) for note in foreseen.notes)
    return Section("based on", tuple(rows))


KIND_WORDS = {
    "stack": "colours pool in columns",
    "spiral": "colours wind round",
    "stripes": "stripes of whole rounds",
    "scatter": "flecked all over",
}


def skein_sections(told: SkeinTold) -> tuple[Section, ...]:
    """Runs of each colour, and what it does at the stitch counts about this one."""
    runs = tuple(
        row(
            (f"{clean(run.colour or 'bare', limit=20):<22}", "plain"),
            (f"{run.stitches:6.1f} stitches", "strong"),
            (f"   {run.rounds:.2f} rounds", "quiet"),
        )
        for run in told.runs
    )
    near = tuple(
        row(
            (f"{'>' if p.stitches == told.stitches else ' '}{p.stitches:>4} stitches   ", "strong"),
            (f"{KIND_WORDS[p.kind]:<28}", "focus" if p.stitches == told.stitches else "plain"),
            (f"{p.shift_stitches:+.1f} stitches after {counted(p.every, 'round')}", "quiet"),
        )
        for p in told.nearby
    )
    return (
        Section("", (row((clean(told.title, limit=70), "strong")), row((told.because, "quiet")))),
        Section("runs along the yarn", runs),
        Section("at this stitch count and about it", near),
        Section("based on", (row(("arithmetic; the limits between the words are house rules", "quiet")),)),
    )


# The blank, the yarn and the fabric of a forecast as small grids of colours or letters.

MIXED = 0.05
"""A stitch with more than this of a second band is shown as mixed. House rule."""


class Dot(msgspec.Struct, frozen=True):
    """One point of a picture."""

    hex: str
    sign: str


def grid(
    picture: Picture, cloth: Cloth, palette: dict[str, Look], width: int, height: int
) -> list[list[Dot]]:
    """A cloth as `height` rows of `width` dots, the nearest stitch for each.

    It lies on its side: rows of stitches run from left to right. One row of stitches (the yarn) is laid along the
    width in every row of dots.
    """
    lead, second, share = (a.T if a.ndim > 1 else a[None, :] for a in (cloth.lead, cloth.second, cloth.share))
    looks_of = [palette[band.colour] for band in picture.bands]
    down, across = lead.shape
    found = []
    for y in range(height):
        r = min(down - 1, int((y + 0.5) * down / height))
        line = []
        for x in range(width):
            s = min(across - 1, int((x + 0.5) * across / width))
            line.append(_dot(looks_of[int(lead[r, s])], looks_of[int(second[r, s])], float(share[r, s])))
        found.append(line)
    return found


def _dot(one: Look, two: Look, share: float) -> Dot:
    if one is two or 1 - share <= MIXED:
        return Dot(one.hex, one.sign)
    return Dot(blend(one.hex, two.hex, share), "~")


def blend(one: str, other: str, share: float) -> str:
    """`share` of one colour with the rest of the other, mixed as light is: in linear sRGB.

    >>> blend("#ffffff", "#000000", 0.5)
    '#bcbcbc'

    **Source:** IEC 61966-2-1 transfer function. An approximation of two yarns seen side by side.
    """
    mixed = []
    for i in (1, 3, 5):
        a, b = (_linear(int(c[i : i + 2], 16) / 255) for c in (one, other))
        mixed.append(round(255 * _encoded(share * a + (1 - share) * b)))
    return "#" + "".join(f"{v:02x}" for v in mixed)


def _linear(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def _encoded(value: float) -> float:
    return 12.92 * value if value <= 0.0031308 else float(1.055 * value ** (1 / 2.4) - 0.055)


# A forecast, printed; and as JSON.

ACROSS, CLOTH_DOWN = 74, 14
_RANGE = Annotated[tuple[int, int, int], msgspec.Meta(description="5, 50 and 95 % of paintings")]


class ForecastBand(msgspec.Struct, frozen=True):
    """One painted band, or one left bare, in the order of the blank."""

    colour: Annotated[str, msgspec.Meta(description="Empty where the fibre stays bare.")]
    rows: float
    solid: _RANGE
    mixed: _RANGE
    odds_solid: Annotated[float, msgspec.Meta(description="Share of paintings with a solid round, 0 to 1.")]


class ForecastDocument(msgspec.Struct, frozen=True):
    """What `potside forecast --json` prints."""

    format: Literal["potside-forecast/1"]
    yarn_m: float
    rounds: float
    bands: tuple[ForecastBand, ...]


def forecast_json(found: Forecast) -> str:
    """The contract `potside-forecast/1`, indented by two, with a line end."""
    bands = tuple(ForecastBand(**picked(band, *ForecastBand.__struct_fields__)) for band in found.bands)
    contract = ForecastDocument("potside-forecast/1", found.yarn_m, found.rounds, bands)
    return printable_json(msgspec.json.encode(contract)) + "\n"


def print_forecast(foreseen: Foreseen, found: Forecast) -> None:
    """Pictures in half blocks where there is colour, in signs where there is none; then the numbers."""
    told, picture, palette, out = foreseen.told, foreseen.picture(), foreseen.palette, console()
    print_sections((Section("", (row((clean(told.title, limit=70), "strong")),)),), out)
    coloured = out.color_system is not None
    for name, cloth, tall in (
        ("the blank, first row on the left", picture.blank, CLOTH_DOWN),
        ("the yarn, from the end that is knitted first", picture.yarn, 2),
        ("the fabric, first round on the left", picture.fabric, CLOTH_DOWN),
    ):
        out.print()
        out.print(f"  {name}")
        dots = grid(picture, cloth, palette, ACROSS, tall)
        for upper in range(0, tall, 2):
            out.print(_cells("  ", dots[upper], dots[upper + 1], coloured))
    signs = "   ".join(f"{look.sign} {clean(look.name, limit=20)}" for look in palette.values())
    if not coloured:
        out.print(f"  {signs}   ~ mixed")
    out.print()
    sections = (band_section(found), yarn_section(told, found), honesty_section(foreseen, found))
    print_sections(sections, out)


def _cells(margin: str, upper: Sequence[Dot], lower: Sequence[Dot], coloured: bool) -> Text:
    from rich.text import Text

    line = Text(margin)
    for top, bottom in zip(upper, lower, strict=True):
        if coloured:
            line.append("▀", style=f"{top.hex} on {bottom.hex}")
        else:
            line.append(top.sign)
    return line
