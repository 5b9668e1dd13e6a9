"""The command `potside schema`: the formats of the program's files and documents, for other programs."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

Guard = Callable[[Callable[..., Any]], Callable[..., Any]]
NAMES = ("session", "worksheet", "forecast")


def add_commands(main: click.Group, plain_errors: Guard) -> None:
    """Add it to the group; `plain_errors` turns what goes wrong into one sentence and an exit code."""
    named = click.argument("form", type=click.Choice(NAMES), default="session")
    main.command()(named(plain_errors(schema)))


def schema(form: str) -> None:
    """Print the JSON Schema of a session file's lines, a worksheet or a forecast."""
    from studio.report.json_schemas import schema_json

    click.echo(schema_json(form), nl=False)
