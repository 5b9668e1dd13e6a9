"""The command `potside habits`: what the sessions taught, and fixing or switching off a habit."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

Guard = Callable[[Callable[..., Any]], Callable[..., Any]]


def add_commands(main: click.Group, plain_errors: Guard) -> None:
    """Add the group; `plain_errors` turns what goes wrong into one sentence and an exit code."""
    group = main.group(name="habits", invoke_without_command=True, short_help=SHORT)(
        _listed(plain_errors(habits))
    )
    name = click.argument("habit")
    group.command(name="pin")(name(click.argument("value")(click.pass_obj(plain_errors(pin)))))
    group.command(name="off")(name(click.pass_obj(plain_errors(off))))
    group.command(name="on")(name(click.pass_obj(plain_errors(on))))
    group.command(name="why")(name(click.pass_obj(plain_errors(why))))


SHORT = "What the finished sessions taught about this studio; pin or switch off."


def _listed(command: Callable[..., Any]) -> Callable[..., Any]:
    as_json = click.option("--json", "as_json", is_flag=True, help="The habits as JSON (potside-habits/1).")
    return as_json(click.pass_context(command))


def habits(ctx: click.Context, as_json: bool) -> None:
    """List the studio's habits: learned from its finished sessions, pinned, switched off, or the default.

    A plan that says nothing else takes them; potside habits why HABIT tells how one came about.
    """
    if ctx.invoked_subcommand is not None:
        return
    from studio.report.habits import habit_sections, habits_json
    from studio.report.printing import console, print_sections
    from studio.services.studio import open_services

    services = open_services(ctx.obj)
    if as_json:
        click.echo(habits_json(services.habits(), services.measurements()))
        return
    out = console()
    print_sections(habit_sections(services.habits(), min(out.width, 100)), out)
    _troubles(services)


def pin(options: Any, habit: str, value: str) -> None:
    """Fix a habit to a value, for example: potside habits pin held "110 %"."""
    from studio.services.studio import open_services

    _told(open_services(options).pin_habit(habit, value))


def off(options: Any, habit: str) -> None:
    """Switch a habit off: plans take the default again."""
    from studio.services.studio import open_services

    _told(open_services(options).switch_habit(habit, on=False))


def on(options: Any, habit: str) -> None:
    """Learn a habit again that was pinned or switched off."""
    from studio.services.studio import open_services

    _told(open_services(options).switch_habit(habit, on=True))


def why(options: Any, habit: str) -> None:
    """How a habit is measured, from which sessions, and how it came to its value."""
    from studio.report.habits import habit_figure, habit_rows
    from studio.report.printing import Section, console, print_sections, row
    from studio.services.studio import open_services

    services = open_services(options)
    found = services.habit(habit)
    figure = habit_figure(found, services.measurements().get(found.id, ()))
    out = console()
    told = (row((figure.because, "plain")), row((figure.source, "quiet")))
    print_sections((Section("", (*habit_rows(found, min(out.width, 100)), *told)),), out)


def _told(found: Any) -> None:
    from studio.report.habits import beside_text, standing_text, value_text

    click.echo(f"{found.id}: {value_text(found)}, {standing_text(found)} ({beside_text(found)})")


def _troubles(services: Any) -> None:
    from studio.plaintext import clean

    for sentence in services.shelf_troubles:
        click.echo(f"potside: {clean(sentence, limit=300)}", err=True)
