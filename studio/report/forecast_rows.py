"""A forecast in words and numbers: kinds of band, solid and mixed rounds, odds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from studio.plaintext import clean
from studio.report.spans import Row, Section, row

if TYPE_CHECKING:
    from studio.craft.stripe.forecast import Forecast
    from studio.plan.foretelling import Foretelling
    from studio.plan.skein_foretelling import SkeinTold


def count_text(low: int, middle: int, high: int) -> str:
    """`11 (10 to 12)`, or `11` where there is no spread."""
    return f"{middle}" if low == high else f"{middle} ({low} to {high})"


WIDE = 68
"""Cells of a line of the table of bands; where there are fewer, its columns are set closer."""


def band_section(found: Forecast, width: int = WIDE) -> Section:
    """One line for each kind of band, `width` cells wide (at least 56)."""
    name_room, count_room, gap, heads = (16, 16, "   ", ("solid rounds", "mixed rounds"))
    if width < WIDE:
        name_room, count_room, gap, heads = (11, 14, "  ", ("solid", "mixed"))
    solid, mixed = heads
    rows: list[Row] = [
        row(
            (
                f"{'':<{name_room}}{'rows':>5}{'times':>6}{gap}{solid:<{count_room}}{mixed:<{count_room}}odds",
                "quiet",
            )
        )
    ]
    for band in found.kinds:
        name = clean(band.colour or "bare", limit=name_room - 1)
        odds = f"{100 * band.odds_solid:.0f} %"
        rows.append(
            row(
                (f"{name:<{name_room}}", "plain"),
                (f"{band.rows:>5g}{band.times:>6}{gap}", "quiet"),
                (f"{count_text(*band.solid):<{count_room}}", "strong"),
                (f"{count_text(*band.mixed):<{count_room}}", "plain"),
                (odds, "due" if band.colour and band.odds_solid < 0.9 else "done"),
            )
        )
    return Section("bands", tuple(rows))


def yarn_section(told: Foretelling, found: Forecast) -> Section:
    """Metres and rounds, and where they come from."""
    strands = told.blank.strands
    pair = f", {strands} strands that match" if strands > 1 else ""
    rows = [
        row((f"{found.yarn_m:.0f} m of yarn in a strand{pair}", "plain")),
        row(
            (
                f"{found.rounds:.0f} rounds of {told.knitting.stitches} stitches, {found.round_m:.3f} m each",
                "plain",
            )
        ),
    ]
    rows.extend(row((sentence, "plain")) for sentence in pair_sentences(told, found))
    rows.extend(row((clean(sentence, limit=300), "quiet")) for sentence in told.because)
    return Section("yarn", tuple(rows))


PAIR_WORDS = {
    "enough": "enough for an adult pair of socks",
    "perhaps": "perhaps enough for an adult pair of socks",
    "too little": "too little for an adult pair of socks",
}


def pair_sentences(told: Foretelling, found: Forecast) -> list[str]:
    """Whether it makes a pair, and how well two strands match from the same end or from opposite ones."""
    from studio.craft.stripe.sock_yarn import pair_room
    from studio.craft.stripe.strands import pair_of

    said = [f"{found.yarn_all_m:.0f} m in all: {PAIR_WORDS[pair_room(found.yarn_all_m)]} (estimate)"]
    if told.blank.strands < 2:
        return said
    same, turned = (pair_of(told.blank, told.bands, ends) for ends in (("last", "last"), ("last", "first")))
    said.append(
        f"both strands started from the last row match to {same.offset_m:.1f} m; from opposite ends the same "
        f"colour lies side by side on {100 * turned.same_share:.0f} % (estimate)"
    )
    if not same.ends_differ:
        said.append(
            "the ends of the blank look alike: mark one, so that both strands start from the same end"
        )
    return said


def honesty_section(found: Forecast, painting: str, notes: Sequence[str]) -> Section:
    """What the forecast rests on."""
    if found.exact:
        how = "exact geometry: no spread, no tilt, no wander"
    else:
        how = f"{found.paintings} simulated paintings; {painting}; all three are estimates until fitted to a swatch"
    rows = [row((how, "quiet")), row(("solid: one colour on 95 % of a round or more (house rule)", "quiet"))]
    rows.extend(row((clean(note, limit=400), "due")) for note in notes)
    return Section("what it rests on", tuple(rows))


KIND_WORDS = {
    "stack": "colours stack in columns",
    "spiral": "colours wind round",
    "stripes": "stripes of whole rounds",
    "scatter": "short lengths all over",
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
            (f"{p.shift_stitches:+.1f} stitches after {p.every} round{'s' if p.every > 1 else ''}", "quiet"),
        )
        for p in told.nearby
    )
    return (
        Section("", (row((clean(told.title, limit=70), "strong")), row((told.because, "quiet")))),
        Section("runs along the yarn", runs),
        Section("at this stitch count and about it", near),
        Section(
            "what it rests on", (row(("arithmetic; the limits between the words are house rules", "quiet")),)
        ),
    )
