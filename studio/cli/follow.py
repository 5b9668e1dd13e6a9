"""The command `potside follow`: fastness tests that wait, and planning, grading and calling off those of a session."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from studio.services.studio import Services
    from studio.session.commands import Command

Guard = Callable[[Callable[..., Any]], Callable[..., Any]]
TESTS = "TEST is wash, light or rub."

_OPTIONS: tuple[Callable[[Callable[..., Any]], Callable[..., Any]], ...] = (
    click.argument("session", required=False),
    click.option("--plan", metavar="TEST", help=f"Plan a home test, or move one that waits. {TESTS}"),
    click.option(
        "--due", default="", metavar="WHEN", help='With --plan: 2026-12-02, "2 weeks", "in 10 days".'
    ),
    click.option("--how", default="", metavar="TEXT", help="With --plan: how it is done, in your own words."),
    click.option("--grade", metavar="TEST", help="Grade a test on the grey scales, 5 best to 1."),
    click.option("--change", default="", metavar="GRADE", help="With --grade: change in colour, 4-5."),
    click.option(
        "--staining", default="", metavar="GRADE", help="With --grade: staining of undyed cloth, 4."
    ),
    click.option("--cancel", metavar="TEST", help="Call off a test that waits; needs --why."),
    click.option("--note", default="", metavar="TEXT", help="With --plan or --grade: a few words."),
    click.option("--why", default="", metavar="TEXT", help="Why it is called off, or why a grade was wrong."),
    click.option("--json", "as_json", is_flag=True, help="What is listed as JSON (potside-follow/1)."),
)


def add_commands(main: click.Group, plain_errors: Guard) -> None:
    """Add it to the group; `plain_errors` turns what goes wrong into one sentence and an exit code."""
    command: Callable[..., Any] = click.pass_obj(plain_errors(follow))
    for option in reversed(_OPTIONS):
        command = option(command)
    main.command()(command)


def follow(options: Any, session: str | None, as_json: bool, **asked: Any) -> None:
    """Fastness tests after a session: what waits, and when.

    Alone it lists the tests that wait over the whole studio. With a session it lists that one's, or plans,
    grades or calls off a test. They are home tests, not those of the standards.
    """
    from datetime import date

    from studio.report.logbook_list import follow_ups_json, print_follow_ups, print_waiting, waiting_json
    from studio.services.studio import open_services

    command = _asked(**asked)
    services = open_services(options)
    if session is None:
        if command is not None:
            raise click.UsageError("Say of which session: potside follow SESSION --plan wash.")
        waiting, today = services.waiting(), date.fromisoformat(services.today())
        if as_json:
            click.echo(waiting_json(waiting, today))
        else:
            print_waiting(waiting, today)
        return
    if command is not None:
        _carry_out(services, session, command)
    found = services.read(session)
    if as_json:
        click.echo(follow_ups_json(found.state, found.name))
    elif command is None:
        print_follow_ups(found.state, found.name)
    for sentence in found.told:
        click.echo(f"potside: {sentence}", err=True)
    sys.exit(found.exit_code)


def _asked(
    *,
    plan: str | None,
    due: str,
    how: str,
    grade: str | None,
    change: str,
    staining: str,
    cancel: str | None,
    note: str,
    why: str,
) -> Command | None:
    """The command that is meant; UsageError where options do not go together."""
    from studio.session import commands as c

    chosen = [
        name for name, test in (("plan", plan), ("grade", grade), ("cancel", cancel)) if test is not None
    ]
    if len(chosen) > 1:
        raise click.UsageError(f"--{' and --'.join(chosen)}: one at a time.")
    known = {
        "plan": {"due": due, "how": how, "note": note},
        "grade": {"change": change, "staining": staining, "note": note, "why": why},
        "cancel": {"why": why},
    }
    mine = known[chosen[0]] if chosen else {}
    given = {"due": due, "how": how, "change": change, "staining": staining, "note": note, "why": why}
    stray = next((name for name, text in given.items() if text and name not in mine), None)
    if stray is not None:
        needs = " or ".join(f"--{name}" for name, words in known.items() if stray in words)
        raise click.UsageError(f"--{stray} goes with {needs}.")
    if plan is not None:
        return c.PlanFollowUp(plan, due, how, note)
    if grade is not None:
        return c.GradeFollowUp(grade, change, staining, note, why)
    return c.CancelFollowUp(cancel, why) if cancel is not None else None


def _carry_out(services: Services, session: str, command: Command) -> None:
    """Do it, and tell on standard error what was written down."""
    from studio.report.telling import tell

    services.add_later(session, lambda state: command)
    found = services.read(session)
    click.echo(f"potside: {tell(found.events[-1], found.state)}", err=True)
