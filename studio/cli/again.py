"""The commands that go back to finished sessions: `potside compare` and `potside repeat`."""

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
    main.command()(_compared(click.pass_obj(plain_errors(compare))))
    main.command()(_repeated(click.pass_obj(plain_errors(repeat))))


def _compared(command: Callable[..., Any]) -> Callable[..., Any]:
    named = click.argument("sessions", nargs=-1, required=True, metavar="A B [C] [D]")
    as_json = click.option(
        "--json", "as_json", is_flag=True, help="The differences as JSON (potside-compare/1)."
    )
    return named(as_json(command))


def _repeated(command: Callable[..., Any]) -> Callable[..., Any]:
    for option in (
        click.option("--force", is_flag=True, help="Write over a file that is there (never over a session)."),
        click.option("-o", "target", type=click.Path(path_type=Path), help="Write the plan to this file."),
        click.option("--same-jars", is_flag=True, help="List what a matching second lot must hold equal."),
        click.option(
            "--base",
            default="",
            help="A base of the shelf to repeat it on; its own weight unless --weight says another.",
        ),
        click.option(
            "--weight", help='Dry weight of the new fibre, for example "150 g"; else as it was weighed.'
        ),
        click.argument("session"),
    ):
        command = option(command)
    return command


def compare(options: Any, sessions: tuple[str, ...], as_json: bool) -> None:
    """Hold two to four sessions side by side: only what differs."""
    from studio.cli.comparing import compare_sessions
    from studio.services.studio import open_services

    tell = partial(click.echo, err=True)
    sys.exit(compare_sessions(open_services(options), sessions, as_json=as_json, say=click.echo, remark=tell))


def repeat(
    options: Any,
    session: str,
    weight: str | None,
    base: str,
    same_jars: bool,
    target: Path | None,
    force: bool,
) -> None:
    """A new plan from what was really done in a session, at its own weight or another, on its base or another.

    The plan goes to standard output or to a file; what changes against the old one is told beside it.
    """
    from studio.cli.repeat_session import repeat_session
    from studio.services.studio import open_services

    tell, plan = partial(click.echo, err=True), partial(click.echo, nl=False)
    code = repeat_session(
        open_services(options),
        session,
        weight=weight,
        base=base,
        same_jars=same_jars,
        target=target,
        force=force,
        say=plan,
        remark=tell,
    )
    sys.exit(code)
