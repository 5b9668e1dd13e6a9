"""What is asked of sessions: found, read, compared, repeated, handed over, checked; the fastness tests that wait."""

from __future__ import annotations

import re
import sys
from collections import defaultdict
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from studio.cli.guard import answer, as_json, remark, services
from studio.trouble import OK, PROBLEM, USAGE, Trouble

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
    from studio.report.logbook import logbook_json, logbook_sections

    found = services()
    found.read_logbook(_progress)
    cards, total = found.find(**asked, limit=None if as_json else MOST_LISTED, refresh=False)
    if total == 0 and any(asked.values()) and not as_json:
        remark("No match. Try fewer words or wider dates.")
        return
    answer(as_json, lambda: logbook_json(cards), lambda width: logbook_sections(cards, width))
    if as_json:
        return
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

    from studio.report import logbook as told
    from studio.report.telling import tell

    command, studio = _asked(asked), services()
    if session is None:
        if command is not None:
            raise click.UsageError("Say of which session: potside follow SESSION --plan wash.")
        waiting, today = studio.waiting(), date.fromisoformat(studio.today())
        answer(
            as_json,
            lambda: told.waiting_json(waiting, today),
            lambda width: told.waiting_sections(waiting, today, width),
        )
        return
    if command is not None:
        studio.add_later(session, lambda state: command)
    read = studio.read(session)
    if command is not None:
        remark(tell(read.events[-1], read.state))
    if as_json or command is None:
        answer(as_json, lambda: told.follow_ups_json(read), lambda _: told.follow_up_sections(read))
    remark(*read.told)
    sys.exit(read.exit_code)


BESIDE = {
    "plan": ("due", "how", "note"),
    "grade": ("change", "staining", "note", "why"),
    "cancel": ("why",),
}
"""What may be said with each, in the order its command takes it."""


def _asked(asked: Mapping[str, str | None]) -> Command | None:
    """The command that is meant; UsageError where options do not go together."""
    from studio.session import commands as c

    chosen = [name for name in BESIDE if asked[name] is not None]
    if len(chosen) > 1:
        raise click.UsageError(f"--{' and --'.join(chosen)}: one at a time.")
    mine = BESIDE[chosen[0]] if chosen else ()
    words = ("due", "how", "change", "staining", "note", "why")
    stray = next((name for name in words if asked[name] and name not in mine), None)
    if stray is not None:
        needs = " or ".join(f"--{name}" for name, own in BESIDE.items() if stray in own)
        raise click.UsageError(f"--{stray} goes with {needs}.")
    build: dict[str, Callable[..., Command]] = {
        "plan": c.PlanFollowUp,
        "grade": c.GradeFollowUp,
        "cancel": c.CancelFollowUp,
    }
    return build[chosen[0]](asked[chosen[0]], *(asked[name] for name in mine)) if chosen else None


@click.command()
@click.argument("session")
@as_json("Opening, events and what follows from them as JSON.")
def show(session: str, as_json: bool) -> None:
    """Read one session: planned against actual, stage times, overrides, notes."""
    from studio.report.exports import session_json
    from studio.report.session_page import session_page

    read = services().read(session)
    answer(
        as_json,
        lambda: session_json(read),
        lambda width: session_page(read.state, read.name, read.remarks, width),
    )
    sys.exit(read.exit_code)


@click.command()
@click.argument("sessions", nargs=-1, required=True, metavar="A B [C] [D]")
@as_json("The differences as JSON (potside-compare/1).")
def compare(sessions: tuple[str, ...], as_json: bool) -> None:
    """Hold two to four sessions side by side: only what differs."""
    from studio.report.comparing import compare_json, compare_sections
    from studio.session.after.comparing import compare as compared

    studio = services()
    read = [studio.read(key) for key in sessions]
    try:
        differences = compared([one.state for one in read])
    except ValueError as problem:
        raise Trouble(f"{problem} Write for example: potside compare FIRST SECOND.", USAGE) from problem
    answer(
        as_json,
        lambda: compare_json(read, differences),
        lambda width: compare_sections(read, differences, width),
        margin=2,
    )
    remark(*(sentence for one in read for sentence in one.told))
    sys.exit(max(one.exit_code for one in read))


@click.command()
@click.argument("session")
@click.option("--weight", help='Dry weight of the new fibre, for example "150 g"; else as it was weighed.')
@click.option(
    "--base",
    default="",
    help="A base of the shelf to repeat it on; its own weight unless --weight says another.",
)
@click.option("--same-jars", is_flag=True, help="List what a matching second lot must hold equal.")
@click.option("-o", "target", type=click.Path(path_type=Path), help="Write the plan to this file.")
@click.option("--force", is_flag=True, help="Write over a file that is there (never over a session).")
def repeat(
    session: str, weight: str | None, base: str, same_jars: bool, target: Path | None, force: bool
) -> None:
    """A new plan from what was really done in a session, at its own weight or another, on its base or another.

    The plan goes to standard output or to a file; what changes against the old one is told beside it.
    """
    from studio.plaintext import clean
    from studio.report.comparing import repeat_sections, same_lot_section
    from studio.report.printing import WIDEST, console, print_sections
    from studio.services.exporting import write_document
    from studio.services.repeats import repeat_session_as

    studio = services()
    read = studio.read(session)
    if weight is not None and not weight.strip():
        raise Trouble('--weight is empty; write for example "150 g".', USAGE)
    repeated = repeat_session_as(read.name, read.state, studio.shelf, weight or "", base)
    if target is not None:
        write_document(target, repeated.text, overwrite=force)
    else:
        shown = clean(repeated.text, limit=len(repeated.text) + 1, multiline=True)
        click.echo(shown if sys.stdout.isatty() else repeated.text, nl=False)
    remark(*read.told)
    out = console()
    out.stderr = target is None
    sections = repeat_sections(read.state.worksheet, repeated, min(out.width, WIDEST) - 2)
    print_sections((*sections, same_lot_section(repeated)) if same_jars else sections, out)
    if target is not None:
        remark(f"wrote {clean(str(target), limit=300)}")
    sys.exit(max(read.exit_code, PROBLEM if repeated.worksheet.stops else OK))


@click.command()
@click.argument("session")
@click.option(
    "--as",
    "kind",
    type=click.Choice(["markdown", "html", "csv", "json", "labels"]),
    required=True,
    help="What to make; csv makes two files, labels a sheet to print and cut.",
)
@click.option("-o", "target", type=click.Path(path_type=Path), help="The file to write; else it is printed.")
@click.option("--force", is_flag=True, help="Write over a file that is there (never over a session).")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), default="A4", help="For html and labels (A4).")
@click.option("--raw", is_flag=True, help="csv: leave text as it is, even what a spreadsheet would run.")
def export(session: str, kind: Any, target: Path | None, force: bool, paper: Any, raw: bool) -> None:
    """Hand over one session: Markdown, a web page, tables, JSON, or labels to print."""
    from studio.services.exporting import documents, save

    if kind == "csv" and target is None:
        raise click.UsageError("csv makes two tables; name a file with -o, for example -o session.csv.")
    studio = services()
    read = studio.read(session)
    made = documents(studio, read, kind, paper=paper, raw=raw)
    if target is None:
        click.echo("".join(made.values()), nl=False)
    else:
        save(made, target, overwrite=force, told=remark)
    remark(*read.told)
    sys.exit(read.exit_code)


@click.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
def verify(files: tuple[Path, ...]) -> None:
    """Check session files: every line, their order, and the closing checksum.

    Of two files of one session, such as a file sync leaves, it says what they share and where they part.
    """
    from studio.store.copies import told_of_copies
    from studio.store.copies import verify as verdict_on

    worst = OK
    begun_alike: dict[str, list[Path]] = defaultdict(list)
    for path in files:
        verdict = verdict_on(path)
        for sentence in verdict.sentences:
            click.echo(sentence)
        worst = max(worst, verdict.exit_code)
        if verdict.begins and path not in begun_alike[verdict.begins]:
            begun_alike[verdict.begins].append(path)
    for copies in begun_alike.values():
        told, trouble = told_of_copies(copies) if len(copies) > 1 else ([], False)
        for sentence in told:
            click.echo(sentence)
        worst = max(worst, PROBLEM if trouble else OK)
    sys.exit(worst)


COMMANDS = (logbook, follow, show, compare, repeat, export, verify)
