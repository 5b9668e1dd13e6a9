"""The commands of the shelf: `potside shelf` and `potside shopping`."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import click

Guard = Callable[[Callable[..., Any]], Callable[..., Any]]


def add_commands(main: click.Group, plain_errors: Guard) -> None:
    """Add both to the group; `plain_errors` turns what goes wrong into one sentence and an exit code."""
    main.command()(_shelved(click.pass_obj(plain_errors(shelf))))
    main.command()(_shopped(click.pass_obj(plain_errors(shopping))))


def _shelved(command: Callable[..., Any]) -> Callable[..., Any]:
    for option in (
        click.option("--yes", is_flag=True, help="With --draw-down: take all of it off without asking."),
        click.option("--draw-down", "session", metavar="SESSION", help="What a finished session takes off."),
        click.option(
            "--json", "as_json", is_flag=True, help="As JSON (potside-shelf/1, potside-draw-down/1)."
        ),
    ):
        command = option(command)
    return command


def _shopped(command: Callable[..., Any]) -> Callable[..., Any]:
    plans = click.argument(
        "plans", nargs=-1, required=True, metavar="PLAN...", type=click.Path(path_type=Path)
    )
    as_json = click.option("--json", "as_json", is_flag=True, help="The list as JSON (potside-shopping/1).")
    return plans(as_json(command))


def shelf(options: Any, as_json: bool, session: str | None, yes: bool) -> None:
    """What is on the shelf, what is old, and what is wrong in its files.

    With --draw-down a finished session proposes what it used up and what was left over; each change is
    asked about at a terminal, and none is ever made twice.
    """
    from studio.services.studio import open_services

    services = open_services(options)
    if session is None:
        if yes:
            raise click.UsageError("--yes goes with --draw-down SESSION.")
        from studio.cli.shelf_pages import print_shelf

        sys.exit(print_shelf(services, as_json=as_json, say=click.echo))
    from studio.cli.shelf_pages import draw_down

    may_ask = sys.stdin.isatty() and sys.stdout.isatty() and not as_json
    tell = partial(click.echo, err=True)
    ask = partial(click.prompt, type=str) if may_ask else None
    sys.exit(draw_down(services, session, yes=yes, as_json=as_json, say=click.echo, remark=tell, ask=ask))


def shopping(options: Any, plans: tuple[Path, ...], as_json: bool) -> None:
    """What plans need together, what of it is on hand, and what must be bought."""
    from studio.cli.shelf_pages import print_shopping
    from studio.services.studio import open_services

    tell = partial(click.echo, err=True)
    sys.exit(print_shopping(open_services(options), plans, as_json=as_json, say=click.echo, remark=tell))
