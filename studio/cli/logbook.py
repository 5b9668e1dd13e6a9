"""The studio's sessions as a list: found by what is asked, and the fastness tests that wait."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from studio.cli.guard import as_json, remark, services

if TYPE_CHECKING:
    from datetime import date

    from studio.session.commands import Command

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


@click.command()
@click.option("--find", "text", default="", metavar="TEXT", help="Words of title, notes, dyes, cautions.")
@click.option("--dye", default="", metavar="DYE", help="A dye, or the beginning of its name.")
@click.option("--base", default="", metavar="BASE", help="A base of the shelf, or a fibre.")
@click.option("--method", default="", metavar="METHOD", help="The way of dyeing, as the plan says it.")
@click.option(
    "--rating",
    "least_rating",
    type=click.IntRange(1, 5),
    metavar="N",
    help="Rated, and nothing lower than that.",
)
@click.option("--since", callback=_day(last=False), metavar="DATE", help="Opened on that day or later.")
@click.option("--until", callback=_day(last=True), metavar="DATE", help="Opened on that day or before.")
@click.option("--unfinished", is_flag=True, help="Still open.")
@as_json("The list as JSON (potside-logbook/1).")
def logbook(as_json: bool, **asked: Any) -> None:
    """List the sessions, newest first; or those that meet all that is asked."""
    from studio.report.logbook import logbook_json, print_logbook

    found = services()
    found.read_logbook(_progress)
    cards, total = found.find(**asked, limit=None if as_json else MOST_LISTED, refresh=False)
    if as_json:
        click.echo(logbook_json(cards))
        return
    if total == 0 and any(asked.values()):
        remark("No match. Try fewer words or wider dates.")
        return
    print_logbook(cards)
    remark(*found.odd_files().values(), *found.kept_elsewhere())
    if total > len(cards):
        remark(f"the newest {len(cards)} of {total}; --find, --since and --until narrow it.")


def _progress(done: int, total: int) -> None:
    """A line now and then while many sessions are read for the first time."""
    if total >= 2 * TOLD_EVERY and (done % TOLD_EVERY == 0 or done == total) and sys.stderr.isatty():
        end = "\n" if done == total else ""
        told = f"\rpotside: read {done} of {total} sessions; Ctrl+C stops, what is read is kept"
        click.echo(told + end, err=True, nl=False)


TESTS = "TEST is wash, light or rub."


@click.command()
@click.argument("session", required=False)
@click.option("--plan", metavar="TEST", help=f"Plan a home test, or move one that waits. {TESTS}")
@click.option("--due", default="", metavar="WHEN", help='With --plan: 2026-12-02, "2 weeks", "in 10 days".')
@click.option("--how", default="", metavar="TEXT", help="With --plan: how it is done, in your own words.")
@click.option("--grade", metavar="TEST", help="Grade a test on the grey scales, 5 best to 1.")
@click.option("--change", default="", metavar="GRADE", help="With --grade: change in colour, 4-5.")
@click.option("--staining", default="", metavar="GRADE", help="With --grade: staining of undyed cloth, 4.")
@click.option("--cancel", metavar="TEST", help="Call off a test that waits; needs --why.")
@click.option("--note", default="", metavar="TEXT", help="With --plan or --grade: a few words.")
@click.option("--why", default="", metavar="TEXT", help="Why it is called off, or why a grade was wrong.")
@as_json("What is listed as JSON (potside-follow/1).")
def follow(session: str | None, as_json: bool, **asked: Any) -> None:
    """Fastness tests after a session: what waits, and when.

    Alone it lists the tests that wait over the whole studio. With a session it lists that one's, or plans,
    grades or calls off a test. They are home tests, not those of the standards.
    """
    from datetime import date

    from studio.report.logbook import follow_ups_json, print_follow_ups, print_waiting, waiting_json
    from studio.report.telling import tell

    command, studio = _asked(**asked), services()
    if session is None:
        if command is not None:
            raise click.UsageError("Say of which session: potside follow SESSION --plan wash.")
        waiting, today = studio.waiting(), date.fromisoformat(studio.today())
        if as_json:
            click.echo(waiting_json(waiting, today))
        else:
            print_waiting(waiting, today)
        return
    if command is not None:
        studio.add_later(session, lambda state: command)
    read = studio.read(session)
    if command is not None:
        remark(tell(read.events[-1], read.state))
    if as_json:
        click.echo(follow_ups_json(read))
    elif command is None:
        print_follow_ups(read)
    remark(*read.told)
    sys.exit(read.exit_code)


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


COMMANDS = (logbook, follow)
