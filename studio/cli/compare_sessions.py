"""Reading two to four sessions and printing what differs."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from studio.exit_codes import OK, USAGE
from studio.report.compare_rows import NamedSession, compare_json, compare_sections
from studio.report.printing import console, print_sections
from studio.services.studio import Services
from studio.session.comparing import compare
from studio.trouble import Trouble

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
