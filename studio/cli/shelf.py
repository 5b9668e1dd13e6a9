"""The shelf, shopping for plans, what a session takes off; and the habits of the studio."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from studio.cli.guard import answer, as_json, remark, services
from studio.plaintext import clean
from studio.trouble import OK, PROBLEM

if TYPE_CHECKING:
    from studio.plan.habits import Habit
    from studio.services.shelf import DrawDown, ShelfBook
    from studio.session.after.drawing_down import Taking


@click.command()
@as_json("As JSON (potside-shelf/1, potside-draw-down/1).")
@click.option("--draw-down", "session", metavar="SESSION", help="What a finished session takes off.")
@click.option("--yes", is_flag=True, help="With --draw-down: take all of it off without asking.")
def shelf(as_json: bool, session: str | None, yes: bool) -> None:
    """What is on the shelf, what is old, and what is wrong in its files.

    With --draw-down a finished session proposes what it used up and what was left over; each change is
    asked about at a terminal, and none is ever made twice.
    """
    from studio.report.shelf_rows import shelf_json, shelf_sections

    book = services().shelf_book
    if session is not None:
        sys.exit(_draw_down(book, session, yes=yes, as_json=as_json))
    if yes:
        raise click.UsageError("--yes goes with --draw-down SESSION.")
    seen = book.look()
    remarks = seen.shelf.remarks
    answer(
        as_json,
        lambda: shelf_json(seen.lines, seen.places, remarks, seen.shelf.read_on),
        lambda width: shelf_sections(seen.lines, remarks, width),
        margin=2,
    )
    sys.exit(PROBLEM if remarks else OK)


@click.command()
@click.argument("plans", nargs=-1, required=True, metavar="PLAN...", type=click.Path(path_type=Path))
@as_json("The list as JSON (potside-shopping/1).")
def shopping(plans: tuple[Path, ...], as_json: bool) -> None:
    """What plans need together, what of it is on hand, and what must be bought."""
    from studio.report.shelf_rows import shopping_json, shopping_sections

    studio = services()
    listed = studio.shop([str(plan) for plan in plans])
    answer(as_json, lambda: shopping_json(listed), lambda width: shopping_sections(listed, width), margin=2)
    remark(*(clean(sentence, limit=600) for sentence in studio.shelf.remarks))
    sys.exit(PROBLEM if listed.to_buy or listed.unknown else OK)


# Taking what a session used off the shelf, asked one by one, all at once, or only shown.

QUESTION = "  Take it off? y yes, n no and never ask again, l later, a all of them"


def _draw_down(book: ShelfBook, key: str, *, yes: bool, as_json: bool) -> int:
    """Show what a session changes on the shelf; change it with `yes`, or as is answered at a terminal.

    Returns the exit code: 1 where something could not be counted, 3 where the session is damaged.
    """
    drawn = book.drawing(key)
    if yes:
        # What was open is shown as done, with what it did.
        book.take(drawn, drawn.open)
    _show(drawn, as_json, done_now=yes)
    if not yes and sys.stdin.isatty() and sys.stdout.isatty() and not as_json:
        _ask(book, drawn)
    elif not yes and drawn.open:
        remark("nothing was changed; --yes takes all of it off the shelf.")
    remark(*(clean(sentence, limit=600) for sentence in (*drawn.remarks, *drawn.seen.shelf.remarks)))
    return max(drawn.exit_code, PROBLEM if any(t.hindrance for t in drawn.takings) else OK)


def _ask(book: ShelfBook, drawn: DrawDown) -> None:
    later: set[tuple[str, ...]] = set()
    while waiting := [t for t in drawn.open if t.ids not in later]:
        first = waiting[0]
        click.echo(clean(first.said, limit=300))
        answer = click.prompt(QUESTION, type=str).strip().casefold()[:1]
        if answer == "y":
            drawn = book.take(drawn, [first])
        elif answer == "n":
            drawn = book.leave(drawn, [first])
        elif answer == "a":
            drawn = book.take(drawn, waiting)
        elif answer == "l":
            later.add(first.ids)
    click.echo("Nothing is left to decide." if not drawn.open else f"{len(drawn.open)} left for later.")


def _sign(taking: Taking, done_now: bool) -> str:
    """`[x]` done, `[ ]` to be decided, `[!]` cannot be done."""
    if taking.done or (done_now and taking.open):
        return "[x]"
    return "[!]" if taking.hindrance else "[ ]"


def _show(drawn: DrawDown, as_json: bool, *, done_now: bool) -> None:
    from studio.report.printing import document, picked

    if as_json:
        changes = [
            {
                **picked(t, "table", "name", "ids", "said", "because"),
                "hindrance": t.hindrance or None,
                "done": t.done or (done_now and t.open),
            }
            for t in drawn.takings
        ]
        click.echo(document("potside-draw-down/1", {**picked(drawn, "session", "title"), "changes": changes}))
        return
    click.echo(f"{clean(drawn.title, limit=70)}, {clean(drawn.session, limit=120)}")
    if not drawn.takings:
        click.echo("  nothing was measured that comes off the shelf")
    for taking in drawn.takings:
        click.echo(f"{_sign(taking, done_now)} {clean(taking.said, limit=300)}")
        click.echo(f"    {clean(taking.because, limit=400)}")
        if taking.hindrance:
            click.echo(f"    {clean(taking.hindrance, limit=300)}")


# The habits of the studio.

HABITS = "What the finished sessions taught about this studio; pin or switch off."


@click.group(invoke_without_command=True, short_help=HABITS)
@click.pass_context
@as_json("The habits as JSON (potside-habits/1).")
def habits(ctx: click.Context, as_json: bool) -> None:
    """List the studio's habits: learned from its finished sessions, pinned, switched off, or the default.

    A plan that says nothing else takes them; potside habits why HABIT tells how one came about.
    """
    if ctx.invoked_subcommand is not None:
        return
    from studio.report.habits import habit_sections, habits_json

    studio = services()
    known = studio.shelf.habits
    answer(
        as_json,
        lambda: habits_json(known, studio.measurements()),
        lambda width: habit_sections(known, width),
    )
    if not as_json:
        remark(*(clean(sentence, limit=300) for sentence in studio.shelf.remarks))


@habits.command()
@click.argument("habit")
@click.argument("value")
def pin(habit: str, value: str) -> None:
    """Fix a habit to a value, for example: potside habits pin held "110 %"."""
    _told(services().pin_habit(habit, value))


@habits.command()
@click.argument("habit")
def off(habit: str) -> None:
    """Switch a habit off: plans take the default again."""
    _told(services().switch_habit(habit, on=False))


@habits.command()
@click.argument("habit")
def on(habit: str) -> None:
    """Learn a habit again that was pinned or switched off."""
    _told(services().switch_habit(habit, on=True))


@habits.command()
@click.argument("habit")
def why(habit: str) -> None:
    """How a habit is measured, from which sessions, and how it came to its value."""
    from studio.report.habits import habit_figure, habit_rows
    from studio.report.printing import Section, print_wide, row

    studio = services()
    found = studio.habit(habit)
    figure = habit_figure(found, studio.measurements().get(found.id, ()))
    told = (row((figure.because, "plain")), row((figure.source, "quiet")))
    print_wide(lambda width: [Section("", (*habit_rows(found, width), *told))])


def _told(found: Habit) -> None:
    from studio.report.habits import beside_text, standing_text, value_text

    click.echo(f"{found.id}: {value_text(found)}, {standing_text(found)} ({beside_text(found)})")


COMMANDS = (shelf, shopping, habits)
