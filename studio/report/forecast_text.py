"""A forecast, printed; and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import msgspec

from studio.plaintext import clean
from studio.plan.colour_looks import Look
from studio.report.forecast_picture import Dot, grid
from studio.report.forecast_rows import band_section, honesty_section, skein_sections, yarn_section
from studio.report.json_text import printable_json
from studio.report.printing import console, print_sections
from studio.report.spans import Section, row

if TYPE_CHECKING:
    from rich.text import Text

    from studio.craft.stripe.forecast import Forecast
    from studio.craft.stripe.picture import Picture
    from studio.plan.foretelling import Foretelling
    from studio.plan.skein_foretelling import SkeinTold

ACROSS, CLOTH_DOWN = 74, 14


def forecast_json(found: Forecast) -> str:
    """The contract `potside-forecast/1`, indented by two, with a line end."""
    encoded = msgspec.json.encode(found.fields())
    return printable_json(encoded) + "\n"


def print_forecast(
    told: Foretelling,
    found: Forecast,
    picture: Picture,
    palette: dict[str, Look],
    painting: str,
    notes: Sequence[str],
) -> None:
    """Pictures in half blocks where there is colour, in signs where there is none; then the numbers."""
    out = console()
    print_sections((Section("", (row((clean(told.title, limit=70), "strong")),)),), out)
    coloured = out.color_system is not None
    for name, cloth, tall in (
        ("the blank, first row on the left", picture.blank, CLOTH_DOWN),
        ("the yarn, from the end that is knitted first", picture.yarn, 2),
        ("the fabric, first round on the left", picture.fabric, CLOTH_DOWN),
    ):
        out.print()
        out.print(f"  {name}")
        dots = grid(picture, cloth, palette, ACROSS, tall, lying=True)
        for upper in range(0, tall, 2):
            out.print(_cells("  ", dots[upper], dots[upper + 1], coloured))
    signs = "   ".join(f"{look.sign} {clean(look.name, limit=20)}" for look in palette.values())
    if not coloured:
        out.print(f"  {signs}   ~ mixed")
    out.print()
    print_sections(
        (band_section(found), yarn_section(told, found), honesty_section(found, painting, notes)), out
    )


def _cells(margin: str, upper: Sequence[Dot], lower: Sequence[Dot], coloured: bool) -> Text:
    from rich.text import Text

    line = Text(margin)
    for top, bottom in zip(upper, lower, strict=True):
        if coloured:
            line.append("▀", style=f"{top.hex} on {bottom.hex}")
        else:
            line.append(top.sign)
    return line


def print_skein(told: SkeinTold) -> None:
    """A skein's runs and pooling on standard output."""
    print_sections(skein_sections(told), console())
