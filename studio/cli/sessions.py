"""What is asked of one session or several: read, compared, repeated, handed over, checked."""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from studio.cli.guard import as_json, remark, services
from studio.trouble import OK, PROBLEM, USAGE, Trouble


@click.command()
@click.argument("session")
@as_json("Opening, events and what follows from them as JSON.")
def show(session: str, as_json: bool) -> None:
    """Read one session: planned against actual, stage times, overrides, notes."""
    from studio.report.exports import session_json
    from studio.report.printing import print_wide
    from studio.report.session_page import session_page

    read = services().read(session)
    if as_json:
        click.echo(session_json(read))
    else:
        print_wide(lambda width: session_page(read.state, read.name, read.remarks, width))
    sys.exit(read.exit_code)


@click.command()
@click.argument("sessions", nargs=-1, required=True, metavar="A B [C] [D]")
@as_json("The differences as JSON (potside-compare/1).")
def compare(sessions: tuple[str, ...], as_json: bool) -> None:
    """Hold two to four sessions side by side: only what differs."""
    from studio.report.comparing import compare_json, compare_sections
    from studio.report.printing import print_wide
    from studio.session.after.comparing import compare as compared

    studio = services()
    read = [studio.read(key) for key in sessions]
    try:
        differences = compared([one.state for one in read])
    except ValueError as problem:
        raise Trouble(f"{problem} Write for example: potside compare FIRST SECOND.", USAGE) from problem
    if as_json:
        click.echo(compare_json(read, differences))
    else:
        print_wide(lambda width: compare_sections(read, differences, width), margin=2)
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
    repeated = repeat_session_as(read.name, read.state, studio.shelf, weight=weight or "", base=base)
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
        worst = max(worst, _compared(copies) if len(copies) > 1 else OK)
    sys.exit(worst)


def _compared(copies: Sequence[Path]) -> int:
    """What each two files of one session share; at least 1 where they have parted."""
    from studio.store.copies import told_of_copies

    told, trouble = told_of_copies(copies)
    for sentence in told:
        click.echo(sentence)
    return PROBLEM if trouble else OK


COMMANDS = (show, compare, repeat, export, verify)
