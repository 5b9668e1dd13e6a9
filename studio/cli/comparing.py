"""Two sessions side by side, and whether files can be trusted, as commands tell it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from pathlib import Path

from studio.report.compare_rows import NamedSession, compare_json, compare_sections
from studio.report.printing import console, print_sections
from studio.services.studio import Services
from studio.session.after.comparing import compare
from studio.store.copies import told_of_copies, verify
from studio.trouble import OK, PROBLEM, USAGE, Trouble

# Reading two to four sessions and printing what differs.

WIDEST = 110


def compare_sessions(
    services: Services,
    keys: Sequence[str],
    *,
    as_json: bool,
    say: Callable[[str], None],
    remark: Callable[[str], None],
) -> int:
    """Print the comparison; what is wrong with a file goes to `remark`. Returns the worst exit code."""
    found = [services.read(key) for key in keys]
    sessions = [NamedSession(one.name, one.state) for one in found]
    try:
        differences = compare([one.state for one in found])
    except ValueError as problem:
        raise Trouble(f"{problem} Write for example: potside compare FIRST SECOND.", USAGE) from problem
    if as_json:
        say(compare_json(sessions, differences))
    else:
        out = console()
        print_sections(compare_sections(sessions, differences, min(out.width, WIDEST) - 2), out)
    for one in found:
        for sentence in one.told:
            remark(f"potside: {sentence}")
    return max((one.exit_code for one in found), default=OK)


# What `potside verify` says of files: each by itself, then each two that are copies of one session.


def verify_files(paths: Sequence[Path], *, say: Callable[[str], object]) -> int:
    """Say the verdicts; the exit code is the worst of them, and at least 1 where copies have parted."""
    worst = OK
    begun_alike: dict[str, list[Path]] = defaultdict(list)
    for path in paths:
        verdict = verify(path)
        for sentence in verdict.sentences:
            say(sentence)
        worst = max(worst, verdict.exit_code)
        if verdict.begins and path not in begun_alike[verdict.begins]:
            begun_alike[verdict.begins].append(path)
    for copies in begun_alike.values():
        worst = max(worst, _compared(copies, say) if len(copies) > 1 else OK)
    return worst


def _compared(copies: Sequence[Path], say: Callable[[str], object]) -> int:
    from studio.store.disk import StoreError

    try:
        told, trouble = told_of_copies(copies)
    except StoreError as problem:
        raise Trouble(str(problem), problem.exit_code) from problem
    for sentence in told:
        say(sentence)
    return PROBLEM if trouble else OK
