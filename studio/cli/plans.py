"""What is asked of plans: the worksheet, the forecast, published practices, one order of work for several."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from studio.cli.guard import answer, as_json, remark, services
from studio.plaintext import counted
from studio.trouble import OK, PROBLEM, USAGE, Trouble

PLAN = click.Path(path_type=Path)


@click.command()
@click.argument("plan", type=PLAN)
@as_json("The worksheet as JSON (potside-worksheet/1).")
@click.option("--why", is_flag=True, help="Add the equation and the source of every figure.")
def worksheet(plan: Path, as_json: bool, why: bool) -> None:
    """Work out a plan: figures, cautions and procedure."""
    from studio.report.worksheet import worksheet_json, worksheet_sections

    sheet = services().work_out(plan).worksheet
    answer(as_json, lambda: worksheet_json(sheet), lambda width: worksheet_sections(sheet, width, why=why))
    sys.exit(PROBLEM if sheet.stops else OK)


@click.command()
@click.argument("plan", type=PLAN)
@click.option("--spread", type=float, help="Rows by which each edge spreads (0.8).")
@click.option("--tilt", type=float, help="Rows an edge lies higher on one side at most (1).")
@click.option("--wander", type=float, help="Rows an edge wanders about its line (0.4).")
@click.option(
    "--solid", type=click.IntRange(1, 500), help="Say how wide a band must be for so many solid rounds."
)
@click.option("--odds", type=click.FloatRange(1, 99), default=90.0, help="At this chance, in per cent (90).")
@as_json("The forecast as JSON (potside-forecast/1).")
@click.option("-o", "target", type=PLAN, help="Write a picture to this SVG file.")
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def forecast(
    plan: Path,
    spread: float | None,
    tilt: float | None,
    wander: float | None,
    solid: int | None,
    odds: float,
    as_json: bool,
    target: Path | None,
    force: bool,
) -> None:
    """What the painted blank becomes when it is unravelled and knitted."""
    from studio.report.forecast import forecast_json, print_forecast, skein_sections
    from studio.report.forecast_svg import forecast_svg
    from studio.report.printing import print_wide
    from studio.services.exporting import write_document

    asked = services()
    if asked.is_skein(plan):
        if as_json or target is not None or solid is not None:
            raise Trouble("A skein has no bands of rows; potside forecast PLAN prints its runs.", USAGE)
        told = asked.foretell_skein(plan)
        print_wide(lambda _: skein_sections(told))
        return
    foreseen = asked.foresee(plan, spread, tilt, wander)
    try:
        found = foreseen.forecast(1000)
        least = foreseen.least_rows(solid, odds / 100) if solid is not None else None
    except ValueError as problem:
        raise Trouble(str(problem), USAGE) from problem
    if solid is not None and least is not None and not as_json:
        rounds = counted(solid, "solid round")
        click.echo(
            f"For {rounds}, with a chance of {odds:g} %, paint {counted(least.rows, 'row')} ({100 * least.odds:.0f} %)."
        )
    if target is not None:
        write_document(target, forecast_svg(foreseen, found), overwrite=force)
        remark(f"wrote {target}")
    if as_json:
        click.echo(forecast_json(found), nl=False)
    else:
        print_forecast(foreseen, found)


@click.command()
@click.option(
    "--acid", default="", metavar="ACID", help="Doses in this acid, of the shelf or by a common name."
)
@click.option(
    "--weight", default="100 g", show_default=True, help="Dry weight of the fibre the doses are for."
)
@as_json("The practices as JSON (potside-practices/1).")
def practices(acid: str, weight: str, as_json: bool) -> None:
    """List published doses of acid and times at heat, each with its source.

    A plan picks one with practice = "..." under [presoak] or [set]. They differ eightfold; none is right.
    """
    from studio.plan.practices import list_practices
    from studio.quantity.reading import parse
    from studio.report.habits import practices_json, practices_sections

    listed = list_practices(services().shelf, acid, parse(weight, "mass").value)
    answer(as_json, lambda: practices_json(listed), lambda width: practices_sections(listed, width))


def _minute(ctx: click.Context, option: click.Parameter, value: str | None) -> float | None:
    """A time of day as its minute."""
    if value is None:
        return None
    from studio.methods.day import minute_of_day

    try:
        return minute_of_day(value)
    except ValueError as problem:
        raise click.BadParameter(str(problem), ctx, option) from None


_COUNT = click.IntRange(1, 8)


@click.command()
@click.argument("plans", nargs=-1, required=True, type=PLAN, metavar="PLAN...")
@click.option(
    "--pieces", type=_COUNT, multiple=True, metavar="N", help="Of each plan in turn, instead of its own."
)
@click.option("--places", type=_COUNT, metavar="N", help="Packets the steamer holds at once.")
@click.option("--start", callback=_minute, metavar="TIME", help='For example "9:00".')
@click.option("--finish-by", callback=_minute, metavar="TIME", help='For example "17:00".')
@click.option("--why", is_flag=True, help="With how each line's minutes come about.")
@as_json("The order as JSON (potside-day/1).")
def day(
    plans: tuple[Path, ...],
    pieces: tuple[int, ...],
    places: int | None,
    start: float | None,
    finish_by: float | None,
    why: bool,
    as_json: bool,
) -> None:
    """One order of work for several plans or pieces that share your hands and the steamer."""
    from studio.report.day_rows import day_json, day_sections

    if len(pieces) > len(plans):
        raise Trouble(
            "--pieces is given more often than there are plans; once for each plan, in turn.", USAGE
        )
    counts = [*pieces, *[None] * (len(plans) - len(pieces))]
    named = list(zip(map(str, plans), counts, strict=True))
    sheet = services().day(named, places, start=start, finish_by=finish_by)
    answer(as_json, lambda: day_json(sheet), lambda width: day_sections(sheet, width, why=why), margin=2)
    sys.exit(PROBLEM if sheet.late_min >= 1 else OK)


COMMANDS = (worksheet, forecast, practices, day)
