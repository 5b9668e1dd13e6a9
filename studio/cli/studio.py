"""What a studio needs from this machine; what a word means; two colours graded; the schemas of its files."""

from __future__ import annotations

import os
import platform
import shutil
import sys
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

import click

from studio import __version__
from studio.cli.guard import answer, as_json
from studio.plaintext import clean, without_home
from studio.trouble import OK, PROBLEM, USAGE, Options, Trouble

if TYPE_CHECKING:
    from studio.craft.fastness import GreyStep, Scale
    from studio.report.printing import Row, Section


@click.command()
@click.pass_obj
def doctor(options: Options) -> None:
    """Look at terminal, studio folder, clock and sound, and say what to mend."""
    findings = list(examine(options))
    for finding in findings:
        click.echo(f"{'ok  ' if finding.ok else 'MEND'}  {finding.text}")
    sys.exit(OK if all(f.ok for f in findings) else PROBLEM)


# What a studio needs from this machine, looked at one by one. No personal path is printed.

LEAST_COLUMNS, LEAST_ROWS = 60, 20
LEAST_FREE_MB = 50
"""A session takes a few hundred kB; less free space than this is worth a word. House rule."""


class Finding(NamedTuple):
    """One thing looked at."""

    ok: bool
    text: str


def examine(options: Options) -> Iterator[Finding]:
    """All findings, the good ones too."""
    yield Finding(True, f"potside {__version__}, Python {platform.python_version()}, {platform.system()}")
    yield _terminal()
    encoding = (sys.stdout.encoding or "unknown").lower()
    plain = "" if "utf" in encoding else ", so plain ASCII ones are used"
    yield Finding(True, f"signs: {encoding}{plain}")
    told = os.environ.get("COLORTERM") or os.environ.get("TERM") or "unknown"
    greys = "NO_COLOR is set, greys are used"
    yield Finding(True, f"colours: {greys if os.environ.get('NO_COLOR') else told}")
    yield from _folder(options)
    counts = "performance counter" if sys.platform == "win32" else "counts while the computer sleeps"
    yield Finding(True, f"clock: {counts}")
    yield Finding(True, "bell: the first step of every session rings it; only you can tell if you hear it")


def _terminal() -> Finding:
    from studio.cli.opening_screens import may_draw

    if not may_draw():
        return Finding(
            True, "terminal: none here; worksheet, show and rehearse --unattended print without one"
        )
    size = shutil.get_terminal_size()
    ok = size.columns >= LEAST_COLUMNS and size.lines >= LEAST_ROWS
    said = f"terminal: {size.columns} by {size.lines}"
    return Finding(ok, said if ok else f"{said}; make it at least {LEAST_COLUMNS} by {LEAST_ROWS}")


def _folder(options: Options) -> Iterator[Finding]:
    try:
        from studio.services.studio import open_services

        services = open_services(options)
        root = services.folder.root
        free_mb = shutil.disk_usage(root).free // 1_000_000
        writable = os.access(services.folder.sessions, os.W_OK)
        cards = services.sessions()
    except Trouble as trouble:
        yield Finding(False, f"studio folder: {without_home(str(trouble))}")
        return
    told = without_home(clean(str(root)))
    yield Finding(writable, f"studio folder: {told}" + ("" if writable else "; it cannot be written to"))
    yield Finding(free_mb >= LEAST_FREE_MB, f"free space: {free_mb} MB")
    yield Finding(True, f"sessions: {len(cards)}")
    wrong = (
        *(f"shelf: {without_home(sentence)}" for sentence in services.shelf.remarks),
        *(f"keys: {clean(sentence, limit=300)}" for sentence in services.take_keys()),
        *(f"sessions: {sentence}" for sentence in services.odd_files().values()),
        *(f"sessions: {sentence}" for sentence in services.kept_elsewhere()),
    )
    yield from (Finding(False, sentence) for sentence in wrong)


@click.command()
@click.argument("form", type=click.Choice(["session", "worksheet", "forecast"]), default="session")
def schema(form: str) -> None:
    """Print the JSON Schema of a session file's lines, a worksheet or a forecast."""
    from studio.report.exports import schema_json

    click.echo(schema_json(form), nl=False)


@click.command()
@click.argument("term", required=False, default="")
def words(term: str) -> None:
    """Explain a word of dyeing, or of this program; all of them without TERM."""
    from studio.report.printing import Section, print_wide, row
    from studio.words.glossary import Word, find, terms, unknown

    def told(title: str, of: Sequence[Word]) -> Section:
        return Section(title, tuple(row((t.name, "strong"), (f": {t.means}", "plain")) for t in of))

    if not term:
        print_wide(lambda _: [told("of dyeing", terms()["dyeing"]), told("of Potside", terms()["ours"])])
        return
    found = find(term)
    if found is None:
        raise Trouble(unknown(clean(term, limit=40)), PROBLEM)
    print_wide(lambda _: [told("", [found])])


# Two measured colours graded by the steps of a grey scale.

FORMULA = "CIELAB 1976, dE = sqrt(dL^2 + da^2 + db^2)"
NOT_THE_OTHER = (
    "The grey scales are drawn up in it; CIEDE2000 gives other numbers, for which their steps are not meant."
)
BREAKS = "Measure both under one light on the same cloth: from photographs the light is the difference."
WHAT_FOR: dict[Scale, str] = {
    "change": "change in colour; one lot against another",
    "staining": "undyed cloth before, and after it lay against the dyed",
}


@click.command()
@click.argument("first", metavar='"L a b"')
@click.argument("second", metavar='"L a b"')
@click.option("--staining", is_flag=True, help="By the scale for staining of undyed cloth.")
@as_json("As JSON (potside-grade/1).")
def grade(first: str, second: str, staining: bool, as_json: bool) -> None:
    """Grade two measured colours, 5 best, by the steps of the grey scale for change (ISO 105-A02).

    Each is L, a and b of CIELAB, for example "52 40 30" "53 38 28". The difference is CIELAB 1976.
    """
    from studio.craft import fastness
    from studio.report.printing import document

    one, other = _lab(first, "first"), _lab(second, "second")
    try:
        lots = fastness.grade_of_lots(one, other)
    except ValueError as problem:
        raise Trouble(str(problem), USAGE) from problem
    scale: Scale = "staining" if staining else "change"
    step, source = lots.step, fastness.CHANGE_SOURCE
    if staining:
        step = fastness.grade_of_staining(min(lots.delta_e, fastness.MOST_DIFFERENCE))
        source = fastness.STAINING_SOURCE
    by = [b - a for a, b in zip(one, other, strict=True)]
    told = {
        "scale": scale,
        "first": one,
        "second": other,
        "formula": "CIELAB 1976",
        "difference": lots.delta_e,
        "grade": step.grade,
        "step": step.delta_e,
        "source": source,
    }
    answer(
        as_json,
        lambda: document("potside-grade/1", told, order=None),
        lambda _: _sections(lots.delta_e, by, step, scale, source),
    )


def _lab(text: str, which: str) -> list[float]:
    """`52 40 -3.5`; a comma behind a number or a semicolon sets apart, too; a decimal comma is understood."""
    from studio.quantity.kinds import QuantityError
    from studio.quantity.reading import parse_number

    parts = [part.rstrip(",") for part in text.replace(";", " ").replace("\u2212", "-").split()]
    if len(parts) != 3:
        raise Trouble(
            f'The {which} colour is "{clean(text, limit=40)}"; write its L, a and b, for example "52 40 -3.5".',
            USAGE,
        )
    try:
        return [-parse_number(part[1:]) if part.startswith("-") else parse_number(part) for part in parts]
    except QuantityError as problem:
        raise Trouble(f"The {which} colour: {problem}", USAGE) from problem


def _sections(
    delta_e: float, by: Sequence[float], step: GreyStep, scale: Scale, source: str
) -> list[Section]:
    from studio.quantity.showing import show
    from studio.report.printing import Section, row

    def said(label: str, value: str, note: str = "") -> Row:
        return row((f"{label:<22} ", "plain"), (value, "strong"), (f"   {note}" if note else "", "quiet"))

    lightness, red, yellow = by
    shown = (
        said("grade", step.grade, WHAT_FOR[scale]),
        said("looks like", step.words),
        said("difference dE", show(delta_e, "1"), FORMULA),
        said("the second is", _direction(lightness, ("lighter", "darker")), "dL"),
        said("", _direction(red, ("redder", "greener")), "da"),
        said("", _direction(yellow, ("yellower", "bluer")), "db"),
        said("nearest step", f"dE {show(step.delta_e, '1')}", "the nearest, and its words: house rule"),
    )
    mind = tuple(row((s, "quiet")) for s in (NOT_THE_OTHER, BREAKS, f"Steps: {source}."))
    return [Section(f"grade {step.grade}", shown), Section("mind", mind)]


def _direction(by: float, words: tuple[str, str]) -> str:
    from studio.quantity.showing import show

    if abs(by) < 5e-4:
        return f"neither {words[0]} nor {words[1]}"
    return f"{words[by < 0]} by {show(abs(by), '1')}"


COMMANDS = (doctor, words, schema, grade)
