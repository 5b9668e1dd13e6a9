"""From a command to a screen: is there a terminal, which screen comes first, how does the process end."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from studio.desks.desk import NOT_SAVED, StudioDesk, open_desk
from studio.exit_codes import CANNOT_SAVE, OK, PROBLEM, USAGE
from studio.trouble import Look, Trouble

if TYPE_CHECKING:
    from textual.screen import Screen

    from studio.screens.app import PotsideApp
    from studio.session.run import Running


def may_draw() -> bool:
    """Whether a full screen can be drawn: all three streams are a terminal that can do it.

    Textual draws on standard error, so that one counts as well.
    """
    streams = (sys.stdin, sys.stdout, sys.stderr)
    return all(s is not None and s.isatty() for s in streams) and os.environ.get("TERM") != "dumb"


def _need_terminal(instead: str) -> None:
    if not may_draw():
        raise Trouble(f"This needs a terminal to draw on; {instead}", USAGE)


def _run(look: Look, desk: StudioDesk, first: Callable[[], Screen[None]] | None = None) -> int:
    from studio.screens.app import PotsideApp

    if os.environ.get("NO_COLOR") == "":
        del os.environ["NO_COLOR"]
    ascii_only = look.ascii_only or "utf" not in (sys.stdout.encoding or "").lower()
    app = PotsideApp(desk, first, theme=look.theme, ascii_only=ascii_only)
    told = _keep_traceback(app)
    try:
        code = app.run()
    finally:
        unsaved = _released(desk)
    if app.stopped_by is not None:
        _stopped(unsaved)
        return 128 + app.stopped_by
    if app.return_code:
        from studio.fault import keep_details

        print(f"potside: {keep_details(told.getvalue(), 'on screen')}", file=sys.stderr)
        print("Go on with: potside resume", file=sys.stderr)
        return PROBLEM
    if NOT_SAVED in unsaved:
        return CANNOT_SAVE
    return OK if code is None else code


def _released(desk: StudioDesk) -> str:
    """Let go of the session; what could not be saved is said, and handed back."""
    unsaved = desk.let_go()
    if unsaved:
        print(f"potside: {unsaved}", file=sys.stderr)
    return unsaved


def _stopped(unsaved: str) -> None:
    """Say that a signal ended it, and whether anything was lost by it."""
    lost = "" if NOT_SAVED in unsaved else "nothing was lost. "
    print(f"potside: stopped by a signal; {lost}Go on with: potside resume", file=sys.stderr)


def _keep_traceback(app: PotsideApp) -> io.StringIO:
    """Where Textual prints what went wrong instead of on the terminal; empty while nothing did."""
    from rich.console import Console

    told = io.StringIO()
    app.error_console = Console(file=told, width=110, markup=False, highlight=False)
    return told


def open_studio(look: Look) -> int:
    """The home screen."""
    _need_terminal("see potside --help for the commands that print.")
    return _run(look, open_desk(look))


def _by_lines(look: Look, desk: StudioDesk, running: Running) -> int:
    """The same session in the line mode, on any kind of input and output."""
    from studio.alerts.awake import KeptAwake
    from studio.plain.printer import Printer
    from studio.plain.prompt import Stopped, stdin_lines, stopping_cleanly
    from studio.plain.session import run_plain

    printer, lines = Printer(ascii_only=look.ascii_only), stdin_lines()
    awake = KeptAwake(os.environ)
    try:
        with stopping_cleanly(lines):
            return run_plain(running, lines, printer.say, printer.ring, awake)
    except Stopped as stopped:
        _stopped(_released(desk))
        return 128 + stopped.number
    finally:
        awake.stop()
        _released(desk)


def begin_plan(look: Look, plan: Path, *, plain: bool = False) -> int:
    """A plan's session, at the bench or line by line."""
    desk = open_desk(look)
    worked = desk.work_out_file(plan)
    if plain:
        return _by_lines(look, desk, desk.begin(worked))
    _need_terminal(
        "potside begin --plain does it line by line, potside worksheet prints the plan, "
        "potside rehearse --unattended walks through one."
    )
    running = desk.begin(worked)

    def first() -> Screen[None]:
        from studio.screens.bench import BenchScreen

        return BenchScreen(running)

    return _run(look, desk, first)


def resume_session(look: Look, session: str | None, *, anew: bool = False, plain: bool = False) -> int:
    """A session that was left open, at the bench or line by line."""
    desk = open_desk(look)
    key = session or desk.newest_open()
    if plain:
        return _by_lines(look, desk, desk.resume(key, anew=anew))
    _need_terminal("potside resume --plain goes on line by line, potside show prints the session so far.")
    running = desk.resume(key, anew=anew)

    def first() -> Screen[None]:
        from studio.screens.bench import BenchScreen
        from studio.screens.bench_view import where_you_were

        return BenchScreen(running, notice=where_you_were(running.state, running.clock.now()))

    return _run(look, desk, first)


def rehearse_on_screen(look: Look, speed: float, plan: Path | None = None) -> int:
    """The sample session at the bench, on a fast clock."""
    desk = open_desk(look)
    running = desk.rehearse(speed, plan=plan)

    def first() -> Screen[None]:
        from studio.screens.bench import BenchScreen

        told = f"A rehearsal: the clock runs {speed:g} times as fast, and nothing gets wet."
        return BenchScreen(running, notice=told)

    return _run(look, desk, first)


def rehearse_by_lines(look: Look, speed: float, plan: Path | None = None) -> int:
    """The sample session line by line, on a fast clock."""
    desk = open_desk(look)
    return _by_lines(look, desk, desk.rehearse(speed, plan=plan))
