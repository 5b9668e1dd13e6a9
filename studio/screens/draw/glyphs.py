"""The few signs used, each one cell wide, with a plain-ASCII set for terminals without them.

State is told by word and shape before colour: `[x]` done, `[~]` waits to be saved, `[ ]` open, `[!]` critical,
`[-]` left out.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Glyphs:
    """One set of signs."""

    block: str
    wound: str
    """The strand of the stage rail where it has been wound."""
    loose: str
    """The strand ahead."""
    rule: str
    dash: str


UNICODE = Glyphs(block="█", wound="━", loose="─", rule="─", dash="–")
ASCII = Glyphs(block="#", wound="=", loose="-", rule="-", dash="-")

WAITS_TO_BE_SAVED = "waiting to be saved"
OPEN, DONE, WAITS, CRITICAL, LEFT_OUT, NOW = "[ ]", "[x]", "[~]", "[!]", "[-]", ">> "
