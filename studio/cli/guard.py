"""What every command shares: one sentence for whatever goes wrong, the studio's services, messages.

Of a fault of the program itself the details go to a file.
"""

from __future__ import annotations

import gc
import sys
import tempfile
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from studio.trouble import CANNOT_SAVE, INTERRUPTED, OK, PROBLEM, Options, Trouble

if TYPE_CHECKING:
    from studio.report.printing import Section
    from studio.services.studio import Services


def keep_fault(fault: BaseException) -> str:
    """Write the details of a fault down and say, in one sentence, where they are."""
    return keep_details("".join(traceback.format_exception(fault)), type(fault).__name__)


def keep_details(told: str, kind: str) -> str:
    """The same for details that are text already; `kind` is the name of the exception."""
    for folder in (_state_folder(), Path(tempfile.gettempdir())):
        try:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            with tempfile.NamedTemporaryFile(
                "w",
                prefix="fault-",
                suffix=".txt",
                dir=folder,
                delete=False,
                encoding="utf-8",
                errors="replace",
            ) as file:
                file.write(told)
        except OSError:
            continue
        return (
            f"a fault of the program ({kind}); what was shown as saved is saved. "
            f"The details are in {file.name}; please pass them on."
        )
    return f"a fault of the program ({kind}); what was shown as saved is saved."


def _state_folder() -> Path:
    from platformdirs import user_state_path

    return user_state_path("potside", appauthor=False)


@contextmanager
def _reader_may_leave() -> Iterator[None]:
    """A reader that went away (`| head`) is no problem that was found: quietly done."""
    try:
        yield
    except (BrokenPipeError, SystemExit) as end:
        # rich turns the broken pipe into an exit of its own
        if not isinstance(end, BrokenPipeError) and not isinstance(end.__context__, BrokenPipeError):
            raise
        _quiet_stdout()
        sys.exit(OK)


def _quiet_stdout() -> None:
    """Keep Python from complaining again about the closed pipe at exit."""
    import os

    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _output_refused(end: BaseException) -> OSError | None:
    """What the system says to what was printed or still is to be; None where all of it was taken.

    Only a stream's error names no file: every other one of the system that has no sentence of its own does.
    """
    if isinstance(end, OSError) and end.errno is not None and end.filename is None:
        return end
    try:
        sys.stdout.flush()
    except OSError as refused:
        return refused
    return None


class NearestCommand(click.Group):
    """A group that answers a mistyped command with the nearest one, and says where output was not taken."""

    def main(self, *args: Any, **extra: Any) -> Any:
        """All of a command, help too; what it printed is on its way when this returns."""
        try:
            return super().main(*args, **extra)
        except (OSError, SystemExit) as end:
            refused = _output_refused(end)
            if refused is None or isinstance(refused, BrokenPipeError):
                raise
            from studio.store.disk import why

            _quiet_stdout()
            remark(f"cannot write the output: {why(refused)}.")
            sys.exit(CANNOT_SAVE)

    def make_context(self, *args: Any, **extra: Any) -> click.Context:
        with _reader_may_leave():
            return super().make_context(*args, **extra)

    def invoke(self, ctx: click.Context) -> Any:
        with _reader_may_leave(), _plain_errors():
            return super().invoke(ctx)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError:
            import difflib

            near = difflib.get_close_matches(args[0], self.list_commands(ctx), n=1)
            hint = f' Did you mean "potside {near[0]}"?' if near else " See potside --help."
            from studio.plaintext import clean

            raise click.UsageError(f'There is no command "{clean(args[0], limit=60)}".{hint}', ctx) from None


@contextmanager
def _plain_errors() -> Iterator[None]:
    """Every error a command can meet becomes one sentence on standard error and an exit code."""
    try:
        yield
    except Trouble as trouble:
        remark(str(trouble))
        sys.exit(trouble.exit_code)
    except (KeyboardInterrupt, click.Abort):
        remark("stopped by Ctrl+C; what was shown as saved is saved.")
        sys.exit(INTERRUPTED)
    except (BrokenPipeError, click.ClickException, click.exceptions.Exit):
        raise
    except Exception as fault:
        if isinstance(fault, OSError) and _output_refused(fault) is not None:
            raise
        remark(keep_fault(fault))
        sys.exit(PROBLEM)
    finally:
        gc.enable()  # It waits for the first screen, which a refused command never comes to.


# What commands share.


def offer_to_make(root: Path) -> bool:
    """Ask, where there is somebody to ask, whether a studio is to be made there."""
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return False
    from studio.plaintext import clean, without_home

    place = without_home(clean(str(root), limit=300))
    asked = f"No studio at {place} yet. Make one, with a starter shelf?"
    return click.confirm(asked, default=True, err=True)


def services() -> Services:
    """What may be asked of the studio that was named."""
    from studio.services.studio import open_services

    options: Options = click.get_current_context().obj
    return open_services(options)


def remark(*sentences: str) -> None:
    """Messages, on standard error."""
    for sentence in sentences:
        click.echo(f"potside: {sentence}", err=True)


def answer(
    as_json: bool, document: Callable[[], str], told: Callable[[int], Sequence[Section]], margin: int = 0
) -> None:
    """What was asked: a document for another program, or sections of text for lines of so many cells."""
    from studio.report.printing import print_wide

    if as_json:
        click.echo(document().removesuffix("\n"))
    else:
        print_wide(told, margin)


def as_json(told: str) -> Callable[[Any], Any]:
    """The option that gives a command's answer to another program."""
    return click.option("--json", "as_json", is_flag=True, help=told)
