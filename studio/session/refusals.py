"""Why a command was not carried out, in one sentence a person can act on."""

from __future__ import annotations

MAX_TEXT = 2000


class Refused(ValueError):
    """The command breaks a rule of the session; nothing was changed."""


class WrongDigit(Refused):
    """At a gate another digit was pressed than the one it showed."""

    def __init__(self, gate: str, digit: int) -> None:
        super().__init__("That was not the digit the gate showed; it shows another one now.")
        self.gate = gate
        self.digit = digit


class ReallyMeant(Refused):
    """What is said can hardly be so: ask once, and send the command again with `meant`."""


def reason(text: str) -> str:
    """A reason worth keeping; Refused when there is none.

    >>> reason("  pot was late ")
    'pot was late'
    """
    kept = text.strip()
    if sum(c.isalpha() for c in kept) < 3:
        raise Refused("A reason of a few words is needed; it is kept in the record.")
    return words(kept)


def words(text: str) -> str:
    """Free text within the limit; Refused when it is empty or too long."""
    kept = text.strip()
    if not kept:
        raise Refused("There is nothing written yet; type a few words.")
    if len(kept) > MAX_TEXT:
        raise Refused(f"That is {len(kept)} characters; a note holds {MAX_TEXT}. Split it into two notes.")
    return kept
