"""The shelf as a command prints it, and what a finished session takes off it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from studio.plaintext import clean
from studio.report.printing import console, print_sections, printable_json
from studio.report.shelf_rows import shelf_json, shelf_sections, shopping_json, shopping_sections
from studio.services.studio import Services
from studio.session.after.drawing_down import Taking
from studio.trouble import OK, PROBLEM

if TYPE_CHECKING:
    from studio.services.shelf import DrawDown


# The shelf and shopping lists, printed.

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


# Taking what a session used off the shelf, asked one by one, all at once, or only shown.

QUESTION = "  Take it off? y yes, n no and never ask again, l later, a all of them"


def draw_down(
    services: Services,
    key: str,
    *,
    yes: bool,
    as_json: bool,
    say: Callable[[str], object],
    remark: Callable[[str], object],
    ask: Callable[[str], str] | None,
) -> int:
    """Show what a session changes on the shelf; change it with `yes`, or as the answers of `ask` say.

    Returns the exit code: 1 where something could not be counted, 3 where the session is damaged.
    """
    book = services.shelf_book
    drawn = book.drawing(key)
    if yes:
        # What was open is shown as done, with what it did.
        book.take(drawn, drawn.open)
        _show(drawn, as_json, say, done_now=True)
    else:
        _show(drawn, as_json, say, done_now=False)
        if ask is not None:
            _asked(services, drawn, say, ask)
        elif drawn.open:
            remark("potside: nothing was changed; --yes takes all of it off the shelf.")
    for sentence in (*drawn.remarks, *drawn.seen.shelf.remarks):
        remark(f"potside: {clean(sentence, limit=600)}")
    return max(drawn.exit_code, PROBLEM if any(t.hindrance for t in drawn.takings) else OK)


def _asked(
    services: Services, drawn: DrawDown, say: Callable[[str], object], ask: Callable[[str], str]
) -> None:
    book = services.shelf_book
    later: set[tuple[str, ...]] = set()
    while waiting := [t for t in drawn.open if t.ids not in later]:
        first = waiting[0]
        say(clean(first.said, limit=300))
        answer = ask(QUESTION).strip().casefold()[:1]
        if answer == "y":
            drawn = book.take(drawn, [first])
        elif answer == "n":
            drawn = book.leave(drawn, [first])
        elif answer == "a":
            drawn = book.take(drawn, waiting)
        elif answer == "l":
            later.add(first.ids)
    say("Nothing is left to decide." if not drawn.open else f"{len(drawn.open)} left for later.")


def sign(taking: Taking, done_now: bool) -> str:
    """`[x]` done, `[ ]` to be decided, `[!]` cannot be done."""
    if taking.done or (done_now and taking.open):
        return "[x]"
    return "[!]" if taking.hindrance else "[ ]"


def _show(drawn: DrawDown, as_json: bool, say: Callable[[str], object], *, done_now: bool) -> None:
    if as_json:
        say(_json(drawn, done_now))
        return
    say(f"{clean(drawn.title, limit=70)}, {clean(drawn.session, limit=120)}")
    if not drawn.takings:
        say("  nothing was measured that comes off the shelf")
    for taking in drawn.takings:
        say(f"{sign(taking, done_now)} {clean(taking.said, limit=300)}")
        say(f"    {clean(taking.because, limit=400)}")
        if taking.hindrance:
            say(f"    {clean(taking.hindrance, limit=300)}")


def _json(drawn: DrawDown, done_now: bool) -> str:
    """The contract `potside-draw-down/1`, keys sorted, indented by two."""
    document = {
        "format": "potside-draw-down/1",
        "session": drawn.session,
        "title": drawn.title,
        "changes": [
            {
                "table": t.table,
                "name": t.name,
                "ids": t.ids,
                "said": t.said,
                "because": t.because,
                "hindrance": t.hindrance or None,
                "done": t.done or (done_now and t.open),
            }
            for t in drawn.takings
        ],
    }
    return printable_json(msgspec.json.encode(document, order="sorted"))
