"""`potside day`: several plans and pieces in one order of work."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

Guard = Callable[[Callable[..., Any]], Callable[..., Any]]


def add_commands(main: click.Group, plain_errors: Guard) -> None:
    """Add the command to the group; `plain_errors` turns what goes wrong into one sentence and an exit code."""
    main.command("day")(_asked(click.pass_obj(plain_errors(day))))


def _asked(command: Callable[..., Any]) -> Callable[..., Any]:
    count = click.IntRange(1, 8)
    for option in (
        click.option("--json", "as_json", is_flag=True, help="The order as JSON (potside-day/1)."),
        click.option("--why", is_flag=True, help="With how each line's minutes come about."),
        click.option("--finish-by", callback=_minute, metavar="TIME", help='For example "17:00".'),
        click.option("--start", callback=_minute, metavar="TIME", help='For example "9:00".'),
        click.option("--places", type=count, metavar="N", help="Packets the steamer holds at once."),
        click.option(
            "--pieces",
            type=count,
            multiple=True,
            metavar="N",
            help="Of each plan in turn, instead of its own.",
        ),
        click.argument("plans", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="PLAN..."),
    ):
        command = option(command)
    return command


def _minute(ctx: click.Context, option: click.Parameter, value: str | None) -> float | None:
    """A time of day as its minute."""
    if value is None:
        return None
    from studio.plan.day import minute_of_day

    try:
        return minute_of_day(value)
    except ValueError as problem:
        raise click.BadParameter(str(problem), ctx, option) from None


def day(
    options: Any,
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
    from studio.report.printing import console, print_sections
    from studio.services.studio import open_services
    from studio.trouble import PROBLEM, USAGE, Trouble

    if len(pieces) > len(plans):
        raise Trouble(
            "--pieces is given more often than there are plans; once for each plan, in turn.", USAGE
        )
    counts = [*pieces, *[None] * (len(plans) - len(pieces))]
    services = open_services(options)
    sheet = services.day(
        list(zip(map(str, plans), counts, strict=True)), places, start=start, finish_by=finish_by
    )
    if as_json:
        click.echo(day_json(sheet))
    else:
        out = console()
        print_sections(day_sections(sheet, min(out.width, 110) - 2, why=why), out)
    sys.exit(PROBLEM if sheet.late_min >= 1 else 0)
