"""The key line at the foot of the bench: the keys that matter at this stage."""

from __future__ import annotations

from textual.content import Content

STAGE_KEYS = {
    "paint": (("P", "bands"), ("C", "more colour")),
    "steam": (("R", "reading"), ("G", "steam lost"), ("F", "fill pot"), ("P", "packets")),
    "heat": (("R", "reading"), ("F", "top up"), ("D", "acid")),
    "cool": (("R", "reading"),),
    "rinse": (("Y", "set again"),),
}
COMMON = (("N", "note"), ("W", "why"), ("U", "undo"), ("B", "big"), ("?", "keys"), ("Q", "leave"))
LEAST = (("N", "note"), ("?", "keys"), ("Q", "leave"))


def key_line(stage: str, width: int, *, steam_lost: bool = False) -> Content:
    """Enter first, the stage's own keys next, the common ones as far as they fit; leave is always there."""
    own = STAGE_KEYS.get(stage.split("-")[0], ())
    if steam_lost:
        own = tuple((k, "steam is back" if k == "G" else w) for k, w in own)
    pairs = [("Enter", "done"), *own, *COMMON]
    if _cells(pairs) > width:
        pairs = [("Enter", "done"), *own, *LEAST]
    while _cells(pairs) > width and len(pairs) > 3:
        pairs.pop(-3)
    parts: list[tuple[str, str]] = []
    for key, word in pairs:
        parts.extend([(f" {key}", "bold $text"), (f" {word} ", "$quiet")])
    return Content.assemble(*parts)


def _cells(pairs: list[tuple[str, str]]) -> int:
    return sum(len(key) + len(word) + 3 for key, word in pairs)
