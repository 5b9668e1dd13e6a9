"""Two themes of the house, named for the craft: `vat` is dark, `fleece` is light.

Every text colour stands at 4.5:1 or more against both ground and panel (WCAG 2.2, success criterion
1.4.3); a test keeps it so.
"""

from __future__ import annotations

from textual.theme import Theme

PALETTES: dict[str, dict[str, str]] = {
    "vat": {
        "ground": "#11151d",
        "panel": "#1d2431",
        "line": "#667085",
        "text": "#efe8d8",
        "quiet": "#a8a394",
        "focus": "#8fb2e3",
        "due": "#fad65c",
        "danger": "#ec6450",
        "done": "#7cb8a0",
        "bare": "#d9cfb8",
    },
    "fleece": {
        "ground": "#f6f0e3",
        "panel": "#eae2d0",
        "line": "#867e6a",
        "text": "#20242c",
        "quiet": "#5d594e",
        "focus": "#232f5f",
        "due": "#815d01",
        "danger": "#710e19",
        "done": "#206058",
        "bare": "#cdbf9f",
    },
}
"""Hue belongs to dye: the program itself speaks in wool white, greys and one blue. What is due, in danger and done
are told apart by lightness first, so that every eye tells them apart; a test simulates three kinds of sight.
"""


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
            "bare": p["bare"],
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
