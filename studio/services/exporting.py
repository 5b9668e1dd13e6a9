"""What is handed over: a session as a document, written whole or not at all; a picture to the system's viewer."""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Literal

from studio.alerts.escapes import over_ssh
from studio.plaintext import clean, without_home
from studio.plan.errors import PlanError
from studio.plan.reading import read_plan
from studio.plan.shelf import entry_called
from studio.quantity.reading_in import told
from studio.report.export_html import DrawnForecast, Paper
from studio.report.labels import YarnFacts
from studio.services.studio import Services
from studio.session.after.review import ReadSession
from studio.store.disk import AlreadyThere
from studio.store.files import write_whole
from studio.trouble import CANNOT_SAVE, USAGE, Trouble

Kind = Literal["markdown", "html", "csv", "json", "labels"]
FORCE = " --force writes over it."


def documents(
    services: Services, read: ReadSession, kind: Kind, *, paper: Paper = "A4", raw: bool = False
) -> dict[str, str]:
    """The text of each document by what is added to the name of its file: CSV makes two, the others one."""
    from studio.report import export_html, exports, labels

    if kind == "csv":
        return {
            "-events.csv": exports.events_csv(read, raw=raw),
            "-figures.csv": exports.figures_csv(read, raw=raw),
        }
    if kind == "markdown":
        return {"": export_html.session_markdown(read)}
    if kind == "json":
        return {"": exports.export_json(read)}
    if kind == "labels":
        return {"": labels.label_sheet(read, yarn_facts(services, read), paper=paper)}
    return {"": export_html.session_html(read, paper=paper, forecast=forecast_of(services, read))}


def forecast_of(services: Services, read: ReadSession) -> DrawnForecast | None:
    """The forecast of the plan as it was, by today's shelf and swatches; None where it allows none."""
    if not read.state.plan_text:
        return None
    try:
        foreseen = services.foresee_text(read.state.plan_text)
    except Trouble:
        return None  # A skein, or a plan without gauge: nothing was asked for, so nothing is said.
    from studio.craft.stripe.forecast import PAINTINGS
    from studio.report.export_html import drawn_forecast

    try:
        return drawn_forecast(foreseen, PAINTINGS)
    except ValueError:
        return None


def yarn_facts(services: Services, read: ReadSession) -> YarnFacts:
    """Blend and length from the session's own plan, else from the base on the shelf."""
    try:
        fibre = read_plan(read.state.plan_text, name="the plan of this session").fibre
    except PlanError:
        return YarnFacts()
    base = entry_called(services.shelf.bases, fibre.base)
    blend = fibre.blend or (base.blend if base is not None else ())
    length = ""
    if fibre.yarn_length is not None:
        length = told(fibre.yarn_length.value, "m")
    elif base is not None and base.yarn_length_m is not None:
        on = f" on {told(base.dry_weight_g, 'g', kitchen=True)}" if base.dry_weight_g else ""
        length = f"{told(base.yarn_length_m, 'm')}{on}, undyed"
    borrowed = base is not None and not (fibre.blend and fibre.yarn_length is not None)
    return YarnFacts(blend, length, borrowed)


EXPORTS = "exports"
"""Folder of a studio that what is handed over is written into, where nothing else is said."""
ENDINGS: dict[Kind, str] = {
    "markdown": ".md",
    "html": ".html",
    "csv": "",
    "json": ".json",
    "labels": "-labels.html",
}


def hand_over(services: Services, read: ReadSession, kind: Kind) -> str:
    """Write a session's documents into the studio folder, over older ones of it; where they are, in a sentence."""
    folder = services.folder.root / EXPORTS
    try:
        folder.mkdir(exist_ok=True)
    except OSError as problem:
        raise Trouble(
            f"Cannot make {clean(without_home(str(folder)))}: {problem.strerror}.", CANNOT_SAVE
        ) from problem
    made, target = documents(services, read, kind), folder / f"{Path(read.name).stem}{ENDINGS[kind]}"
    save(made, target, overwrite=True, told=lambda told: None)
    names = " and ".join(clean(_named(target, added).name) for added in made)
    return f"Written: {names}, in {clean(without_home(str(folder)), limit=200)}."


def save(made: dict[str, str], target: Path, *, overwrite: bool, told: Callable[[str], None]) -> None:
    """Write each document; Trouble with exit code 4 where one has no place, of two before either is written."""
    if os.path.isdir(target):
        raise Trouble(f"Cannot write {clean(str(target))}: it is a folder; name a file in it.", CANNOT_SAVE)
    paths = {_named(target, added): text for added, text in made.items()}
    there = next((path for path in paths if len(paths) > 1 and os.path.lexists(path)), None)
    if there is not None and not overwrite:
        raise Trouble(f"Cannot write {clean(str(there))}: it is there already.{FORCE}", CANNOT_SAVE)
    for path, text in paths.items():
        write_document(path, text, overwrite=overwrite)
        told(f"wrote {clean(str(path), limit=900)}")


def write_document(path: Path, text: str, *, overwrite: bool) -> None:
    """Write a file whole; Trouble with exit code 4, and how a file that is there is written over."""
    try:
        write_whole(path, text.encode("utf-8", "backslashreplace"), overwrite=overwrite)
    except AlreadyThere as problem:
        raise Trouble(f"{problem}{FORCE}", CANNOT_SAVE) from problem


def _named(target: Path, added: str) -> Path:
    """The file of one document: `rust.csv` and `-events.csv` make `rust-events.csv`."""
    if not added:
        return target
    stem = target.name[:-4] if target.name.casefold().endswith(".csv") else target.name
    if not stem:
        raise Trouble("The tables need a file name; write for example -o rust.csv.", USAGE)
    return target.with_name(f"{stem}{added}")


# One picture of the studio, to the system's own viewer; nothing else, and never through a shell.

BEGINS: dict[str, tuple[bytes, ...]] = {
    ".jpg": (b"\xff\xd8\xff",),
    ".jpeg": (b"\xff\xd8\xff",),
    ".png": (b"\x89PNG\r\n\x1a\n",),
    ".gif": (b"GIF87a", b"GIF89a"),
    ".webp": (b"RIFF",),
    ".bmp": (b"BM",),
    ".tif": (b"II*\x00", b"MM\x00*"),
    ".tiff": (b"II*\x00", b"MM\x00*"),
    ".heic": (b"\x00\x00\x00",),
}
"""How a file of each kind begins. **Source:** the formats' own specifications, from memory."""
Start = Callable[[Sequence[str]], object]


def picture_file(root: Path, told: str) -> Path:
    """The picture a session names, as a path on this machine; Trouble, one sentence, where it is none.

    A path from the studio folder, to a regular file that is a picture by its name and by how it begins. A web
    address, a path that leads elsewhere and a file of another kind are refused.
    """
    shown = clean(told, limit=120)
    pure = PurePosixPath(told.replace("\\", "/"))
    foreign = "://" in told or pure.is_absolute() or PureWindowsPath(told).drive or ".." in pure.parts
    if foreign or not told.strip() or not told.isprintable():
        raise Trouble(f'"{shown}" is no path within the studio folder, so it is not opened.')
    path = root / pure
    begins = BEGINS.get(path.suffix.casefold())
    if begins is None:
        raise Trouble(f"{shown} is no picture by its name ({', '.join(BEGINS)}), so it is not opened.")
    try:
        real = path.resolve(strict=True)
        if not stat.S_ISREG(real.stat().st_mode):
            raise Trouble(f"{shown} is no regular file, so it is not opened.")
        with real.open("rb") as file:
            head = file.read(16)
    except FileNotFoundError:
        raise Trouble(f"There is no file {shown} in {root}; put the picture back there to see it.") from None
    except (OSError, ValueError, RuntimeError) as problem:
        why = getattr(problem, "strerror", None) or str(problem)
        raise Trouble(f"Cannot read {shown}: {clean(why, limit=120)}.") from None
    if not real.is_relative_to(root.resolve()):
        raise Trouble(f"{shown} leads out of the studio folder, so it is not opened.")
    if not head.startswith(begins):
        raise Trouble(f"{shown} does not begin as a picture does, so it is not opened.")
    return real


def open_picture(
    root: Path,
    told: str,
    *,
    system: str = sys.platform,
    environment: Mapping[str, str] = os.environ,
    start: Start | None = None,
) -> str:
    """Hand a picture to the viewer and say so; Trouble where it cannot be shown here."""
    path = picture_file(root, told)
    where = f"It is {clean(str(path), limit=300)}."
    if system == "win32":
        words: Sequence[str] = ("startfile", str(path))
    else:
        words = (_opener(system, environment, where), str(path))
    try:
        (start or _start)(words)
    except OSError as problem:
        raise Trouble(f"The viewer cannot be started: {problem.strerror or problem}. {where}") from problem
    return f"Opening {clean(told, limit=120)}."


def _opener(system: str, environment: Mapping[str, str], where: str) -> str:
    far = over_ssh(environment)
    if system == "darwin":
        if far:
            raise Trouble(f"Over ssh the picture would open on the other machine's screen. {where}")
        return "/usr/bin/open"
    if not (environment.get("DISPLAY") or environment.get("WAYLAND_DISPLAY")):
        told = "Over ssh there is no screen" if far else "There is no graphical screen here"
        raise Trouble(f"{told} to show a picture on. {where}")
    found = shutil.which("xdg-open", path=environment.get("PATH"))
    if found is None:
        raise Trouble(f"No viewer was found (xdg-open). {where}")
    return found


def _start(words: Sequence[str]) -> None:
    """Without a shell, with nothing of ours open, and not waited for."""
    if sys.platform == "win32":
        os.startfile(words[1])
        return
    nothing = subprocess.DEVNULL
    subprocess.Popen(list(words), stdin=nothing, stdout=nothing, stderr=nothing, start_new_session=True)
