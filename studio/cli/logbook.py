"""What `potside logbook` asks and prints: a search as options, and the list that meets it."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from datetime import date

    from studio.trouble import Options

MOST_LISTED = 500
"""Rows that are printed; the rest is counted. With --json all are. House rule."""
TOLD_EVERY = 100
"""Files between two lines of progress. House rule."""

_DAY = re.compile(r"([0-9]{4})(?:-([0-9]{2})(?:-([0-9]{2}))?)?", re.ASCII)


def _day(last: bool) -> Callable[[click.Context, click.Parameter, str | None], date | None]:
    """Reads a day; a month or a year stands for its first day, or for its `last`."""

    def read(ctx: click.Context, option: click.Parameter, value: str | None) -> date | None:
        if value is None:
            return None
        from calendar import monthrange
        from datetime import date

        told = _DAY.fullmatch(value.strip())
        try:
            if told is None:
                raise ValueError
            year = int(told[1])
            month = int(told[2] or (12 if last else 1))
            ends = monthrange(year, month)[1] if last else 1
            return date(year, month, int(told[3] or ends))
        except ValueError:
            from studio.plaintext import clean

            sentence = f'"{clean(value, limit=40)}" is no day; write for example 2026-09-12, 2026-09 or 2026.'
            raise click.BadParameter(sentence, ctx, option) from None

    return read


_OPTIONS: tuple[Callable[[Callable[..., Any]], Callable[..., Any]], ...] = (
    click.option("--find", "text", default="", metavar="TEXT", help="Words of title, notes, dyes, cautions."),
    click.option("--dye", default="", metavar="DYE", help="A dye, or the beginning of its name."),
    click.option("--base", default="", metavar="BASE", help="A base of the shelf, or a fibre."),
    click.option("--method", default="", metavar="METHOD", help="The way of dyeing, as the plan says it."),
    click.option(
        "--rating", type=click.IntRange(1, 5), metavar="N", help="Rated, and nothing lower than that."
    ),
    click.option("--since", callback=_day(last=False), metavar="DATE", help="Opened on that day or later."),
    click.option("--until", callback=_day(last=True), metavar="DATE", help="Opened on that day or before."),
    click.option("--unfinished", is_flag=True, help="Still open."),
)


def search_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Adds the options of a search to a command."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def list_sessions(
    options: Options,
    as_json: bool,
    *,
    text: str,
    dye: str,
    base: str,
    method: str,
    rating: int | None,
    since: date | None,
    until: date | None,
    unfinished: bool,
) -> None:
    """Print the sessions that meet all that is given, newest first."""
    from studio.report.logbook_list import logbook_json, print_logbook
    from studio.services.studio import open_services

    services = open_services(options)
    services.read_logbook(_progress)
    cards, total = services.find(
        text,
        dye=dye,
        base=base,
        method=method,
        least_rating=rating,
        since=since,
        until=until,
        unfinished=unfinished,
        limit=None if as_json else MOST_LISTED,
        refresh=False,
    )
    if as_json:
        click.echo(logbook_json(cards))
        return
    if total == 0 and any((text, dye, base, method, rating, since, until, unfinished)):
        click.echo("potside: no session meets that; fewer words or a wider span of days may.", err=True)
        return
    print_logbook(cards)
    for sentence in (*services.odd_files().values(), *services.kept_elsewhere()):
        click.echo(f"potside: {sentence}", err=True)
    if total > len(cards):
        click.echo(
            f"potside: the newest {len(cards)} of {total}; --find, --since and --until narrow it.", err=True
        )


def _progress(done: int, total: int) -> None:
    """A line now and then while many sessions are read for the first time."""
    if total >= 2 * TOLD_EVERY and (done % TOLD_EVERY == 0 or done == total) and sys.stderr.isatty():
        end = "\n" if done == total else ""
        told = f"\rpotside: read {done} of {total} sessions; Ctrl+C stops, what is read is kept"
        click.echo(told + end, err=True, nl=False)
