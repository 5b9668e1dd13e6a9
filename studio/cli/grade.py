"""The command `potside grade`: how far two lots, or a cloth before and after, are apart."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

Guard = Callable[[Callable[..., Any]], Callable[..., Any]]


def add_commands(main: click.Group, plain_errors: Guard) -> None:
    """Add it to the group; `plain_errors` turns what goes wrong into one sentence and an exit code."""
    command: Callable[..., Any] = plain_errors(grade)
    for option in (
        click.option("--json", "as_json", is_flag=True, help="As JSON (potside-grade/1)."),
        click.option("--staining", is_flag=True, help="By the scale for staining of undyed cloth."),
        click.argument("second", metavar='"L a b"'),
        click.argument("first", metavar='"L a b"'),
    ):
        command = option(command)
    main.command()(command)


def grade(first: str, second: str, staining: bool, as_json: bool) -> None:
    """Grade two measured colours, 5 best, by the steps of the grey scale for change (ISO 105-A02).

    Each is L, a and b of CIELAB, for example "52 40 30" "53 38 28". The difference is CIELAB 1976.
    """
    from studio.cli.grade_lots import grade as graded
    from studio.report.printing import console, print_sections

    sections, told = graded(first, second, "staining" if staining else "change")
    if as_json:
        click.echo(told)
        return
    print_sections(sections, console())
