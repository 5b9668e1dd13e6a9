"""A session read, made into a new plan, held against the old one, and written."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from studio.plaintext import clean
from studio.plan.repeat.repeating import Repeated
from studio.plan.shelf import Shelf
from studio.report.printing import console, print_sections
from studio.report.repeat_rows import repeat_sections, same_lot_section
from studio.services.exporting import write_document
from studio.services.repeats import repeat_session_as
from studio.services.studio import Services
from studio.session.state import State
from studio.trouble import PROBLEM, USAGE, Trouble

WIDEST = 110


def repeat_session(
    services: Services,
    key: str,
    *,
    weight: str | None,
    base: str,
    same_jars: bool,
    target: Path | None,
    force: bool,
    say: Callable[[str], None],
    remark: Callable[[str], None],
) -> int:
    """Write the plan to `target`, or print it; the comparison goes to standard output beside a file, to
    standard error beside a printed plan. Returns the exit code: 1 where the new plan may not begin."""
    found = services.read(key)
    repeated = _repeated(found.name, found.state, services.shelf, weight, base)
    if target is not None:
        write_document(target, repeated.text, overwrite=force)
    else:
        shown = clean(repeated.text, limit=len(repeated.text) + 1, multiline=True)
        say(shown if sys.stdout.isatty() else repeated.text)
    for sentence in found.told:
        remark(f"potside: {sentence}")
    out = console()
    out.stderr = target is None
    width = min(out.width, WIDEST) - 2
    sections = repeat_sections(found.state.worksheet, repeated, width)
    if same_jars:
        sections = (*sections, same_lot_section(repeated))
    print_sections(sections, out)
    if target is not None:
        remark(f"potside: wrote {clean(str(target), limit=300)}")
    return max(found.exit_code, PROBLEM if repeated.worksheet.stops else 0)


def _repeated(name: str, state: State, shelf: Shelf, weight: str | None, base: str) -> Repeated:
    if weight is not None and not weight.strip():
        raise Trouble('--weight is empty; write for example "150 g".', USAGE)
    return repeat_session_as(name, state, shelf, weight=weight or "", base=base)
