"""The command `potside`. Data goes to standard output, messages to standard error.

Slow libraries are imported inside the commands that need them, so that help answers at once.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from studio import __version__
from studio.cli import again, day, follow, grade, habits, practices, schema, shelf
from studio.cli.guard import NearestCommand, plain_errors
from studio.cli.logbook import list_sessions, search_options
from studio.trouble import OK, PROBLEM, USAGE

EPILOG = """\b
Examples:
  potside rehearse                              the whole job on a fast clock
  potside worksheet shared/plans/tidewrack-stripes.plan.toml
  potside begin shared/plans/tidewrack-stripes.plan.toml
  potside resume
  potside logbook

Exit codes: 0 ok, 1 a problem was found, 2 usage or not a terminal, 3 a file is damaged or
unreadable, 4 could not save, 130 stopped by Ctrl+C, 143 stopped by SIGTERM.
"""


@click.group(
    cls=NearestCommand,
    invoke_without_command=True,
    epilog=EPILOG,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
)
@click.version_option(__version__, "--version", prog_name="potside")
@click.option(
    "--studio",
    "studio_dir",
    type=click.Path(path_type=Path),
    envvar="POTSIDE_STUDIO",
    help="The studio folder: one with shared/ and sessions/ in it.",
)
@click.option("--ascii", "ascii_only", is_flag=True, help="Plain ASCII signs only.")
@click.option("--light", is_flag=True, help="Light colours (fleece) instead of dark ones (vat).")
@click.pass_context
@plain_errors
def main(ctx: click.Context, studio_dir: Path | None, ascii_only: bool, light: bool) -> None:
    """Plan, work out and walk through a painted, steamed dye session, and keep it to repeat.

    Without a command the studio opens on screen.
    """
    from studio.plaintext import never_stop
    from studio.trouble import Options

    never_stop(sys.stdout, sys.stderr)
    ctx.obj = Options(studio_dir=studio_dir, ascii_only=ascii_only, theme="fleece" if light else "vat")
    if ctx.invoked_subcommand is None:
        from studio.cli.opening_screens import open_studio

        sys.exit(open_studio(ctx.obj))


@main.command()
@click.argument("plan", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="The worksheet as JSON (potside-worksheet/1).")
@click.option("--why", is_flag=True, help="Add the equation and the source of every figure.")
@click.pass_obj
@plain_errors
def worksheet(options: Any, plan: Path, as_json: bool, why: bool) -> None:
    """Work out a plan: figures, cautions and procedure."""
    from studio.services.studio import open_services

    worked = open_services(options).work_out_file(plan)
    if as_json:
        from studio.report.worksheet import worksheet_json

        click.echo(worksheet_json(worked.worksheet), nl=False)
    else:
        from studio.report.printing import console
        from studio.report.worksheet import print_worksheet

        print_worksheet(worked.worksheet, console(), why=why)
    sys.exit(PROBLEM if worked.worksheet.stops else OK)


_by_lines = click.option(
    "--plain", is_flag=True, help="Line by line: for screen readers, dumb terminals and scripts."
)


@main.command()
@click.argument("plan", type=click.Path(path_type=Path))
@_by_lines
@click.pass_obj
@plain_errors
def begin(options: Any, plan: Path, plain: bool) -> None:
    """Begin a session from a plan, at the pot."""
    from studio.cli.opening_screens import begin_plan

    sys.exit(begin_plan(options, plan, plain=plain))


@main.command()
@click.argument("session", required=False)
@click.option(
    "--continue", "anew", is_flag=True, help="A damaged one: from what is whole of it, in a new file."
)
@_by_lines
@click.pass_obj
@plain_errors
def resume(options: Any, session: str | None, anew: bool, plain: bool) -> None:
    """Take up a session that was left open; the newest one without a name."""
    from studio.cli.opening_screens import resume_session

    sys.exit(resume_session(options, session, anew=anew, plain=plain))


def _countable(ctx: click.Context, option: click.Parameter, value: float | None) -> float | None:
    """A range check lets `nan` through: it is neither below nor above anything."""
    if value is not None and value != value:
        raise click.BadParameter("nan is no number; write for example 60.", ctx, option)
    return value


@main.command()
@click.argument("plan", type=click.Path(path_type=Path), required=False)
@click.option("--unattended", is_flag=True, help="Do the whole session without a terminal, and print it.")
@_by_lines
@click.option(
    "--speed",
    type=click.FloatRange(1, 100_000),
    callback=_countable,
    help="How many times as fast the clock runs (60 on screen and line by line).",
)
@click.option("--seed", type=int, default=1, help="Chooses the small errors of the unattended hand.")
@click.pass_obj
@plain_errors
def rehearse(
    options: Any, plan: Path | None, unattended: bool, plain: bool, speed: float | None, seed: int
) -> None:
    """The whole job, of the sample plan or of PLAN, with a fast clock; nothing gets wet."""
    from studio.cli.opening_screens import may_draw, rehearse_by_lines, rehearse_on_screen
    from studio.services.unattended import rehearse_unattended

    if unattended and plain:
        raise click.UsageError("--unattended asks nothing and --plain asks line by line; choose one of them.")
    if plain:
        sys.exit(rehearse_by_lines(options, speed or 60.0, plan))

    if unattended or not may_draw():
        sys.exit(rehearse_unattended(options, speed, seed, click.echo, plan))
    sys.exit(rehearse_on_screen(options, speed or 60.0, plan))


@main.command()
@click.argument("plan", type=click.Path(path_type=Path))
@click.option("--spread", type=float, help="Rows by which each edge spreads (0.8).")
@click.option("--tilt", type=float, help="Rows an edge lies higher on one side at most (1).")
@click.option("--wander", type=float, help="Rows an edge wanders about its line (0.4).")
@click.option(
    "--solid", type=click.IntRange(1, 500), help="Say how wide a band must be for so many solid rounds."
)
@click.option("--odds", type=click.FloatRange(1, 99), default=90.0, help="At these odds, in per cent (90).")
@click.option("--json", "as_json", is_flag=True, help="The forecast as JSON (potside-forecast/1).")
@click.option("-o", "target", type=click.Path(path_type=Path), help="Write a picture to this SVG file.")
@click.option("--force", is_flag=True, help="Write over a file that is there.")
@click.pass_obj
@plain_errors
def forecast(
    options: Any,
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
    from studio.report.forecast import forecast_json, print_forecast, print_skein
    from studio.services.exporting import save_picture
    from studio.services.studio import open_services
    from studio.trouble import Trouble

    services = open_services(options)
    if services.is_skein(plan):
        if as_json or target is not None or solid is not None:
            raise Trouble("A skein has no bands of rows; potside forecast PLAN prints its runs.", USAGE)
        print_skein(services.foretell_skein(plan))
        return
    foreseen = services.foresee(str(plan), spread, tilt, wander)
    try:
        found = foreseen.forecast(1000)
        least = foreseen.least_rows(solid, odds / 100) if solid is not None else None
    except ValueError as problem:
        raise Trouble(str(problem), USAGE) from problem
    if least is not None and not as_json:
        rounds = f"{solid} solid round" + ("s" if solid != 1 else "")
        click.echo(f"For {rounds} at {odds:g} % paint {least.rows} rows ({100 * least.odds:.0f} %).")
    if target is not None:
        save_picture(foreseen, found, target, overwrite=force)
        click.echo(f"potside: wrote {target}", err=True)
    if as_json:
        click.echo(forecast_json(found), nl=False)
    else:
        picture = foreseen.picture()
        print_forecast(foreseen.told, found, picture, foreseen.palette, foreseen.painted_by(), foreseen.notes)


@main.command()
@click.argument("session")
@click.option("--json", "as_json", is_flag=True, help="Opening, events and what follows from them as JSON.")
@click.pass_obj
@plain_errors
def show(options: Any, session: str, as_json: bool) -> None:
    """Read one session: planned against actual, stage times, overrides, notes."""
    from studio.report.export_json import session_json
    from studio.report.session_page import print_session
    from studio.services.studio import open_services

    found = open_services(options).read(session)
    if as_json:
        click.echo(session_json(found.state, found.name, found.events, found.remarks))
    else:
        print_session(found.state, found.name, found.remarks)
    sys.exit(found.exit_code)


@main.command()
@search_options
@click.option("--json", "as_json", is_flag=True, help="The list as JSON (potside-logbook/1).")
@click.pass_obj
@plain_errors
def logbook(options: Any, as_json: bool, **asked: Any) -> None:
    """List the sessions, newest first; or those that meet all that is asked."""
    list_sessions(options, as_json, **asked)


@main.command()
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
@click.pass_obj
@plain_errors
def export(
    options: Any, session: str, kind: Any, target: Path | None, force: bool, paper: Any, raw: bool
) -> None:
    """Hand over one session: Markdown, a web page, tables, JSON, or labels to print."""
    from studio.report.export_json import Source
    from studio.services.exporting import documents, save
    from studio.services.studio import open_services

    if kind == "csv" and target is None:
        raise click.UsageError("csv makes two tables; name a file with -o, for example -o session.csv.")
    services = open_services(options)
    found = services.read(session)
    source = Source(found.name, found.sha256, __version__, found.state, found.events, found.remarks)
    made = documents(services, source, kind, paper=paper, raw=raw)
    if target is None:
        click.echo("".join(made.values()), nl=False)
    else:
        save(made, target, overwrite=force, told=lambda line: click.echo(f"potside: {line}", err=True))
    for sentence in found.told:
        click.echo(f"potside: {sentence}", err=True)
    sys.exit(found.exit_code)


@main.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@plain_errors
def verify(files: tuple[Path, ...]) -> None:
    """Check session files: every line, their order, and the closing checksum.

    Of two files of one session, such as a file sync leaves, it says what they share and where they part.
    """
    from studio.cli.comparing import verify_files

    sys.exit(verify_files(files, say=click.echo))


@main.command()
@click.pass_obj
@plain_errors
def doctor(options: Any) -> None:
    """Look at terminal, studio folder, clock and sound, and say what to mend."""
    from studio.cli.doctor import examine

    findings = examine(options)
    for finding in findings:
        click.echo(f"{'ok  ' if finding.ok else 'MEND'}  {finding.text}")
    sys.exit(OK if all(f.ok for f in findings) else PROBLEM)


@main.command()
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def completion(shell: str) -> None:
    """Print the completion script for a shell; see the README for where to put it."""
    from click.shell_completion import get_completion_class

    kind = get_completion_class(shell)
    if kind is None:
        click.echo(f"potside: completion for {shell} is not available here.", err=True)
        sys.exit(USAGE)
    click.echo(kind(main, {}, "potside", "_POTSIDE_COMPLETE").source())


for _module in (again, day, follow, grade, habits, practices, schema, shelf):
    _module.add_commands(main, plain_errors)
