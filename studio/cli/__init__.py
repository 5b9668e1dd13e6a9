"""The command `potside`. Data goes to standard output, messages to standard error.

Slow libraries are imported inside the commands that need them, so that help answers at once.
"""

from __future__ import annotations

import sys
from collections.abc import MutableMapping
from pathlib import Path

import click

from studio import __version__
from studio.cli.guard import NearestCommand, offer_to_make
from studio.trouble import USAGE, Options, Trouble

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


class Commands(NearestCommand):
    """The ways into a session stand below; the modules of all others are loaded where one of them is meant."""

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        return self.commands.get(cmd_name) or self.all_commands().get(cmd_name)

    def list_commands(self, ctx: click.Context) -> list[str]:
        return sorted(self.all_commands())

    def all_commands(self) -> MutableMapping[str, click.Command]:
        """By name."""
        from studio.cli import plans, sessions, studio

        for command in (*plans.COMMANDS, *sessions.COMMANDS, *studio.COMMANDS):
            self.add_command(command)
        return self.commands


@click.group(
    cls=Commands,
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
def main(ctx: click.Context, studio_dir: Path | None, ascii_only: bool, light: bool) -> None:
    """Plan, work out and walk through a painted, steamed dye session, and keep it to repeat.

    Without a command the studio opens on screen.
    """
    from studio.plaintext import never_stop

    never_stop(sys.stdout, sys.stderr, ascii_only=ascii_only)
    theme = "fleece" if light else "vat"
    ctx.obj = Options(studio_dir, ascii_only, theme, offer_to_make)
    if ctx.invoked_subcommand is None:
        from studio.cli.opening_screens import open_studio

        sys.exit(open_studio(ctx.obj))


_by_lines = click.option(
    "--plain", is_flag=True, help="Line by line: for screen readers, dumb terminals and scripts."
)


@main.command()
@click.argument("plan", type=click.Path(path_type=Path))
@_by_lines
@click.pass_obj
def begin(options: Options, plan: Path, plain: bool) -> None:
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
def resume(options: Options, session: str | None, anew: bool, plain: bool) -> None:
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
def rehearse(
    options: Options, plan: Path | None, unattended: bool, plain: bool, speed: float | None, seed: int
) -> None:
    """The whole job, of the sample plan or of PLAN, with a fast clock: no water, no dye."""
    from studio.cli import opening_screens
    from studio.services.unattended import rehearse_unattended

    if unattended and plain:
        raise click.UsageError("--unattended asks nothing and --plain asks line by line; choose one of them.")
    if unattended or not (plain or opening_screens.may_draw()):
        sys.exit(rehearse_unattended(options, speed, seed, click.echo, plan))
    sys.exit(opening_screens.rehearse(options, speed or 60.0, plan, plain=plain))


@main.command()
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def completion(shell: str) -> None:
    """Print the completion script for a shell; studio/ACCESS.md says where to put it."""
    from click.shell_completion import get_completion_class

    kind = get_completion_class(shell)
    if kind is None:
        raise Trouble(f"completion for {shell} is not available here.", USAGE)
    click.echo(kind(main, {}, "potside", "_POTSIDE_COMPLETE").source())
