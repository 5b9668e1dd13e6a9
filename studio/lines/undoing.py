"""`undo` by lines: the newest, or one of those that may be taken back, by its number."""

from __future__ import annotations

from studio.lines.conversation import Conversation
from studio.report.telling import named, offer, question
from studio.session import commands as c
from studio.session.events import Recorded
from studio.session.taking_back import newest, offered, taking_back

HELP = (
    "undo: take back the newest; it stays in the record.",
    "undo list: what may be taken back or brought back, numbered. undo 3: the third of them.",
)


def undo(talk: Conversation, rest: str) -> None:
    """The newest at once, or the one of that number; where a clock hangs on it, only when that is said again."""
    state, asked = talk.session.state, rest.strip().casefold()
    found = offered(state)
    if asked == "list" and found:
        talk.tell(*(f"{number}: {offer(state, event)}" for number, event in enumerate(found, 1)))
        talk.ask("Which is taken back? Its number", lambda text: _numbered(talk, text))
    elif asked and asked != "list":
        _numbered(talk, asked)
    else:
        _take_back(talk, newest(state))


def _numbered(talk: Conversation, text: str) -> bool:
    found = offered(talk.session.state)
    if not (text.isascii() and text.isdigit() and 0 < int(text[:6]) <= len(found)):
        talk.tell(f"Write undo and a number from 1 to {len(found)}; undo list tells them.")
        return False
    _take_back(talk, found[int(text[:6]) - 1])
    return True


def _take_back(talk: Conversation, event: Recorded | None) -> None:
    command = c.Undo(event.n if event is not None else 0)
    back = taking_back(talk.session.state, event) if event is not None else None
    if back is None or not back.asked_about:
        talk.do(command)
        return

    def again(text: str) -> bool:
        if text.casefold() not in ("undo", "yes"):
            talk.tell("Write undo again or yes to take it back.")
            return False
        return talk.do(command)

    talk.ask(f"{question(talk.session.state, back)} Write undo again or yes to take it back", again)


def help_lines(talk: Conversation) -> tuple[str, ...]:
    """What `undo` would take back; nothing where there is nothing."""
    event = newest(talk.session.state)
    if event is None:
        return HELP[1:] if offered(talk.session.state) else ()
    return (f"undo: take back {named(talk.session.state, event)}; it stays in the record.", *HELP[1:])
