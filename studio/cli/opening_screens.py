"""From a command to a screen: is there a terminal, which screen comes first, how does the process end."""

from __future__ import annotations

import gc
import io
import os
import sys
from collections.abc import Callable
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any

from studio.trouble import CANNOT_SAVE, NOT_SAVED, OK, PROBLEM, USAGE, Options, Trouble
from studio.words.table import KEYS_FILE, remap

if TYPE_CHECKING:
    from textual.screen import Screen

    from studio.screens.app import PotsideApp
    from studio.services.studio import Services
    from studio.session.run import Running
    from studio.store.folder import StudioFolder


FRAMES_A_SECOND = "250"
SWITCH_S = 0.0005


def _paint_soon() -> None:
    """Let what a key changes reach the terminal sooner than Textual's 60 frames a second and Python's 5 ms would.

    Measured from a key to its second paint: 17 to 33 ms as they are, 4 to 8 ms with these. The shorter switch is for
    the thread that writes what is painted. House rule, both. Textual reads the frames from the environment once; the
    viewer and the sound player, started later, are not to find them there.
    """
    sys.setswitchinterval(SWITCH_S)
    if "TEXTUAL_FPS" not in os.environ:
        os.environ["TEXTUAL_FPS"] = FRAMES_A_SECOND
        import textual.constants  # noqa: F401

        del os.environ["TEXTUAL_FPS"]


def may_draw() -> bool:
    """Whether a full screen can be drawn: all three streams are a terminal that can do it.

    Textual draws on standard error, so that one counts as well.
    """
    streams = (sys.stdin, sys.stdout, sys.stderr)
    return all(s is not None and s.isatty() for s in streams) and os.environ.get("TERM") != "dumb"


def _need_terminal(instead: str) -> None:
    if not may_draw():
        raise Trouble(f"This needs a terminal to draw on; {instead}", USAGE)


def _run(options: Options, services: _Opening, first: Callable[[], Screen[Any]] | None = None) -> int:
    _paint_soon()
    from studio.screens.app import PotsideApp

    if os.environ.get("NO_COLOR") == "":
        del os.environ["NO_COLOR"]
    ascii_only = options.ascii_only or "utf" not in (sys.stdout.encoding or "").lower()
    remark = next(iter(services.take_keys()), "")
    app = PotsideApp(services, first, theme=options.theme, ascii_only=ascii_only, remark=remark)
    told = _keep_traceback(app)
    try:
        code = app.run()
    finally:
        unsaved = _released(services)
    if app.stopped_by is not None:
        _stopped(unsaved)
        return 128 + app.stopped_by
    if app.return_code:
        from studio.cli.guard import keep_details

        print(f"potside: {keep_details(told.getvalue(), 'on screen')}", file=sys.stderr)
        print("Go on with: potside resume", file=sys.stderr)
        return PROBLEM
    if NOT_SAVED in unsaved:
        return CANNOT_SAVE
    return OK if code is None else code


def _released(services: Services | _Opening) -> str:
    """Let go of the session; what could not be saved is said, and handed back."""
    unsaved = services.let_go()
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


class _Opening:
    """The services of a studio folder, opened once: for home when it first asks for them, after its first paint."""

    def __init__(self, folder: StudioFolder, services: Services | None = None) -> None:
        self._folder = folder
        self._services = services
        self._one_at_a_time = Lock()

    def __call__(self) -> Services:
        with self._one_at_a_time:
            if self._services is None:
                from studio.services.studio import Services
                from studio.store.system_clock import SystemClock

                self._services = Services(self._folder, SystemClock())
            return self._services

    def take_keys(self) -> list[str]:
        """As the services do; where the studio has no keys of its own they are not needed for it."""
        return self().take_keys() if (self._folder.shared / KEYS_FILE).exists() else remap({})

    def let_go(self) -> str:
        """As the services do, where they were opened."""
        return self._services.let_go() if self._services is not None else ""


def _services(options: Options) -> Services:
    """The services themselves, for a screen that is worked out before it is drawn."""
    gc.disable()  # Until the screen is seen: nearly all that is made so far stays.
    from studio.services.studio import open_services

    return open_services(options)


def open_studio(options: Options) -> int:
    """The home screen."""
    _need_terminal("see potside --help for the commands that print.")
    gc.disable()  # As above.
    from studio.store.folder import StudioFolder

    def starter() -> dict[str, bytes]:
        from studio.services.studio import starter_shelf

        return starter_shelf()

    folder = StudioFolder.find(options.studio_dir, starter=starter, may_make=options.may_make)
    return _run(options, _Opening(folder))


def _by_lines(options: Options, services: Services, running: Running) -> int:
    """The same session in the line mode, on any kind of input and output."""
    from studio.alerts.awake import KeptAwake
    from studio.lines.conversation import Printer
    from studio.lines.prompt import Stopped, stdin_lines, stopping_cleanly
    from studio.lines.session import PlainSession

    gc.enable()
    printer, lines = Printer(ascii_only=options.ascii_only), stdin_lines()
    awake = KeptAwake(os.environ)
    try:
        with stopping_cleanly(lines):
            return PlainSession(running, lines, printer.say, printer.ring, awake).run()
    except Stopped as stopped:
        _stopped(_released(services))
        return 128 + stopped.number
    finally:
        awake.stop()
        _released(services)


def _at_bench(options: Options, services: Services, running: Running, notice: str = "") -> int:
    """The session at the bench, with what is said there first."""

    def first() -> Screen[Any]:
        from studio.screens.bench.bench import BenchScreen

        return BenchScreen(running, notice=notice)

    return _run(options, _Opening(services.folder, services), first)


def begin_plan(options: Options, plan: Path, *, plain: bool) -> int:
    """A plan's session, at the bench or line by line."""
    services = _services(options)
    worked = services.work_out(plan)
    if plain:
        return _by_lines(options, services, services.begin(worked))
    _need_terminal(
        "potside begin --plain does it line by line, potside worksheet prints the plan, "
        "potside rehearse --unattended walks through one."
    )
    return _at_bench(options, services, services.begin(worked))


def resume_session(options: Options, session: str | None, *, anew: bool, plain: bool) -> int:
    """A session that was left open, at the bench or line by line."""
    services = _services(options)
    key = session or services.newest_open().key
    if plain:
        return _by_lines(options, services, services.resume(key, anew=anew))
    _need_terminal("potside resume --plain goes on line by line, potside show prints the session so far.")
    return _at_bench(options, services, services.resume(key, anew=anew))


def rehearse(options: Options, speed: float, plan: Path | None, *, plain: bool) -> int:
    """The sample session or that of a plan on a fast clock, at the bench or line by line."""
    services = _services(options)
    running = services.rehearse(speed, plan=plan)
    if plain:
        return _by_lines(options, services, running)
    told = f"A rehearsal: the clock runs {speed:g} times as fast. A dry run: no water, no dye."
    return _at_bench(options, services, running, told)
