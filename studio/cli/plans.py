"""What is asked of plans and the shelf: worksheet, forecast, published practices, a day of several plans; what is
there, what must be bought, what a session takes off; and the habits of the studio.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from studio.cli.guard import answer, as_json, remark, services
from studio.plaintext import clean, counted
from studio.trouble import OK, PROBLEM, USAGE, Trouble

if TYPE_CHECKING:
    from studio.plan.habits import Habit
    from studio.services.shelf import DrawDown, ShelfBook
    from studio.session.after.drawing_down import Taking

PLAN = click.Path(path_type=Path)


@click.command()
@click.argument("plan", type=PLAN)
@as_json("The worksheet as JSON (potside-worksheet/1).")
@click.option("--why", is_flag=True, help="Add the equation and the source of every figure.")
def worksheet(plan: Path, as_json: bool, why: bool) -> None:
    """Work out a plan: figures, cautions and procedure."""
    from studio.report.worksheet import worksheet_json, worksheet_sections

    sheet = services().work_out(plan).worksheet
    answer(as_json, lambda: worksheet_json(sheet), lambda width: worksheet_sections(sheet, width, why=why))
    sys.exit(PROBLEM if sheet.stops else OK)


@click.command()
@click.argument("plan", type=PLAN)
@click.option("--spread", type=float, help="Rows by which each edge spreads (0.8).")
@click.option("--tilt", type=float, help="Rows an edge lies higher on one side at most (1).")
@click.option("--wander", type=float, help="Rows an edge wanders about its line (0.4).")
@click.option(
    "--solid", type=click.IntRange(1, 500), help="Say how wide a band must be for so many solid rounds."
)
@click.option("--odds", type=click.FloatRange(1, 99), default=90.0, help="At this chance, in per cent (90).")
@as_json("The forecast as JSON (potside-forecast/1).")
@click.option("-o", "target", type=PLAN, help="Write a picture to this SVG file.")
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def forecast(
    plan: Path,
    spread: float | None,
    tilt: float | None,
    wander: float | None,
    solid: int | None,
    odds: float,
    as_json: bool,
    target: Path | None,
    force: bool,
) -> None:
    """What the painted blank becomes when it is unravelled and knitted."""
    from studio.report.export_html import forecast_svg
    from studio.report.forecast import forecast_json, print_forecast, skein_sections
    from studio.report.printing import print_wide
    from studio.services.exporting import write_document

    asked = services()
    if asked.is_skein(plan):
        if as_json or target is not None or solid is not None:
            raise Trouble("A skein has no bands of rows; potside forecast PLAN prints its runs.", USAGE)
        told = asked.foretell_skein(plan)
        print_wide(lambda _: skein_sections(told))
        return
    foreseen = asked.foresee(plan, spread, tilt, wander)
    try:
        found = foreseen.forecast(1000)
        least = foreseen.least_rows(solid, odds / 100) if solid is not None else None
    except ValueError as problem:
        raise Trouble(str(problem), USAGE) from problem
    if solid is not None and least is not None and not as_json:
        rounds = counted(solid, "solid round")
        click.echo(
            f"For {rounds}, with a chance of {odds:g} %, paint {counted(least.rows, 'row')} ({100 * least.odds:.0f} %)."
        )
    if target is not None:
        write_document(target, forecast_svg(foreseen, found), overwrite=force)
        remark(f"wrote {target}")
    if as_json:
        click.echo(forecast_json(found), nl=False)
    else:
        print_forecast(foreseen, found)


@click.command()
@click.option(
    "--acid", default="", metavar="ACID", help="Doses in this acid, of the shelf or by a common name."
)
@click.option(
    "--weight", default="100 g", show_default=True, help="Dry weight of the fibre the doses are for."
)
@as_json("The practices as JSON (potside-practices/1).")
def practices(acid: str, weight: str, as_json: bool) -> None:
    """List published doses of acid and times at heat, each with its source.

    A plan picks one with practice = "..." under [presoak] or [set]. They differ eightfold; none is right.
    """
    from studio.plan.practices import list_practices
    from studio.quantity.reading import parse
    from studio.report.habits import practices_json, practices_sections

    listed = list_practices(services().shelf, acid, parse(weight, "mass").value)
    answer(as_json, lambda: practices_json(listed), lambda width: practices_sections(listed, width))


def _minute(ctx: click.Context, option: click.Parameter, value: str | None) -> float | None:
    """A time of day as its minute."""
    if value is None:
        return None
    from studio.methods.day import minute_of_day

    try:
        return minute_of_day(value)
    except ValueError as problem:
        raise click.BadParameter(str(problem), ctx, option) from None


_COUNT = click.IntRange(1, 8)


@click.command()
@click.argument("plans", nargs=-1, required=True, type=PLAN, metavar="PLAN...")
@click.option(
    "--pieces", type=_COUNT, multiple=True, metavar="N", help="Of each plan in turn, instead of its own."
)
@click.option("--places", type=_COUNT, metavar="N", help="Packets the steamer holds at once.")
@click.option("--start", callback=_minute, metavar="TIME", help='For example "9:00".')
@click.option("--finish-by", callback=_minute, metavar="TIME", help='For example "17:00".')
@click.option("--why", is_flag=True, help="With how each line's minutes come about.")
@as_json("The order as JSON (potside-day/1).")
def day(
    plans: tuple[Path, ...],
    pieces: tuple[int, ...],
    places: int | None,
    start: float | None,
    finish_by: float | None,
    why: bool,
    as_json: bool,
) -> None:
    """One order of work for several plans or pieces that share your hands and the steamer."""
    from studio.report.day_rows import day_json, day_sections

    if len(pieces) > len(plans):
        raise Trouble(
            "--pieces is given more often than there are plans; once for each plan, in turn.", USAGE
        )
    counts = [*pieces, *[None] * (len(plans) - len(pieces))]
    named = list(zip(map(str, plans), counts, strict=True))
    sheet = services().day(named, places, start=start, finish_by=finish_by)
    answer(as_json, lambda: day_json(sheet), lambda width: day_sections(sheet, width, why=why), margin=2)
    sys.exit(PROBLEM if sheet.late_min >= 1 else OK)


# The shelf.


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
@click.argument("plans", nargs=-1, required=True, metavar="PLAN...", type=PLAN)
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


COMMANDS = (worksheet, forecast, practices, day, shelf, shopping, habits)
