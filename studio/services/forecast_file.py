"""The picture of a forecast, written to a file."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from studio.exit_codes import CANNOT_SAVE
from studio.plan.foreseen import Foreseen
from studio.report.forecast_svg import forecast_svg
from studio.store.atomic import write_whole
from studio.store.errors import StoreError
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.craft.stripe.forecast import Forecast


def save_picture(foreseen: Foreseen, found: Forecast, target: Path, *, overwrite: bool) -> None:
    """Write the SVG; Trouble with exit code 4 where it cannot be written."""
    svg = forecast_svg(foreseen.told.title, found, foreseen.picture(), foreseen.palette)
    try:
        write_whole(target, svg.encode("utf-8"), overwrite=overwrite)
    except StoreError as problem:
        hint = " --force writes over it." if os.path.isfile(target) and not overwrite else ""
        raise Trouble(f"{problem}{hint}", CANNOT_SAVE) from problem
