"""Two themes of the house, named for the craft: `vat` is dark, `fleece` is light.

Every text colour stands at 4.5:1 or more against both ground and panel (WCAG 2.2, success criterion
1.4.3); a test keeps it so.
"""

from __future__ import annotations

from textual.theme import Theme

PALETTES: dict[str, dict[str, str]] = {
    "vat": {
        "ground": "#14171f",
        "panel": "#1f2533",
        "text": "#e9e2d0",
        "quiet": "#a9a392",
        "due": "#e8b83a",
        "danger": "#ec8068",
        "focus": "#86abdc",
        "done": "#9dbf7d",
        "line": "#3a4154",
    },
    "fleece": {
        "ground": "#f5efe2",
        "panel": "#e9e1cf",
        "text": "#23262e",
        "quiet": "#5c594f",
        "due": "#735300",
        "danger": "#a33422",
        "focus": "#274b86",
        "done": "#3a5c10",
        "line": "#b9b09b",
    },
}
"""Undyed-wool text, weld for what is due, madder for danger, indigo for what has focus, sage for done."""


def _theme(name: str, *, dark: bool) -> Theme:
    p = PALETTES[name]
    return Theme(
        name=name,
        dark=dark,
        primary=p["focus"],
        secondary=p["quiet"],
        accent=p["focus"],
        warning=p["due"],
        error=p["danger"],
        success=p["done"],
        foreground=p["text"],
        background=p["ground"],
        surface=p["ground"],
        panel=p["panel"],
        text_alpha=1.0,
        variables={
            "quiet": p["quiet"],
            "due": p["due"],
            "danger": p["danger"],
            "focus": p["focus"],
            "done": p["done"],
            "line": p["line"],
            "text": p["text"],
            "input-cursor-background": p["focus"],
            "input-cursor-foreground": p["ground"],
            "input-selection-background": p["line"],
            "block-cursor-background": p["panel"],
            "block-cursor-foreground": p["text"],
            "block-cursor-text-style": "bold",
            "scrollbar": p["line"],
            "scrollbar-background": p["ground"],
        },
    )


VAT = _theme("vat", dark=True)
FLEECE = _theme("fleece", dark=False)
