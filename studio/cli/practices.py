"""`potside practices`: what is published on the dose of acid and the time at heat, and who said it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

Guard = Callable[[Callable[..., Any]], Callable[..., Any]]


def add_commands(main: click.Group, plain_errors: Guard) -> None:
    """Add the command to the group; `plain_errors` turns what goes wrong into one sentence and an exit code."""
    command = click.pass_obj(plain_errors(practices))
    command = click.option(
        "--json", "as_json", is_flag=True, help="The practices as JSON (potside-practices/1)."
    )(command)
    command = click.option(
        "--weight", default="100 g", show_default=True, help="Dry weight of the fibre the doses are for."
    )(command)
    command = click.option(
        "--acid", default="", metavar="ACID", help="Doses in this acid, of the shelf or by a common name."
    )(command)
    main.command()(command)


def practices(options: Any, acid: str, weight: str, as_json: bool) -> None:
    """List published doses of acid and times at heat, each with its source.

    A plan picks one with practice = "..." under [presoak] or [set]. They differ eightfold; none is right.
    """
    from studio.plan.errors import PlanError
    from studio.plan.practices import list_practices
    from studio.quantity.kinds import QuantityError
    from studio.quantity.reading import parse
    from studio.report.habits import practices_json, practices_sections
    from studio.report.printing import console, print_sections
    from studio.services.studio import open_services
    from studio.trouble import USAGE, Trouble

    try:
        grams = parse(weight, "mass").value
        listed = list_practices(open_services(options).shelf, acid, grams)
    except (QuantityError, PlanError) as problem:
        raise Trouble(str(problem), USAGE) from problem
    if as_json:
        click.echo(practices_json(listed), nl=False)
    else:
        out = console()
        print_sections(practices_sections(listed, out.width), out)
