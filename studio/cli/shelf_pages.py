"""The shelf and shopping lists, printed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from studio.exit_codes import OK, PROBLEM
from studio.plaintext import clean
from studio.report.printing import console, print_sections
from studio.report.shelf_rows import shelf_json, shelf_sections, shopping_json, shopping_sections
from studio.services.studio import Services

WIDEST = 110


def print_shelf(services: Services, *, as_json: bool, say: Callable[[str], None]) -> int:
    """Everything on the shelf. Exit code 1 where a file or an entry is wrong."""
    seen = services.shelf_book.look()
    if as_json:
        say(shelf_json(seen.lines, seen.places, seen.shelf.remarks, seen.shelf.read_on))
    else:
        out = console()
        print_sections(shelf_sections(seen.lines, seen.shelf.remarks, min(out.width, WIDEST) - 2), out)
    return PROBLEM if seen.shelf.remarks else OK


def print_shopping(
    services: Services,
    plans: Sequence[Path],
    *,
    as_json: bool,
    say: Callable[[str], None],
    remark: Callable[[str], None],
) -> int:
    """What plans need together. Exit code 1 where something is short or what is there is not known."""
    listed = services.shop([str(plan) for plan in plans])
    if as_json:
        say(shopping_json(listed))
    else:
        out = console()
        print_sections(shopping_sections(listed, min(out.width, WIDEST) - 2), out)
    for sentence in services.shelf.remarks:
        remark(f"potside: {clean(sentence, limit=600)}")
    return PROBLEM if listed.to_buy or listed.unknown else OK
