"""The alarm banner: one line for each standing alarm, the most urgent on top, until it is answered."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from textual.content import Content

from studio.plaintext import clean
from studio.screens.bench_view import AlarmLine
from studio.words.table import spoken

LEAST_TEXT = 12
"""Cells of its text an alarm must show; in a narrower window the keys give way to it."""


def banner(alarms: Sequence[AlarmLine], trouble: str, moved: str, width: int) -> Content:
    """Trouble with saving first, then the alarms, then where the file went; empty when all is well."""
    lines = []
    if trouble:
        for piece in wrap(clean(trouble, limit=300), max(20, width - 2)):
            lines.append(Content.styled(f" {piece:<{width - 1}}", "bold $background on $danger"))
    for index, alarm in enumerate(alarms):
        lines.append(_line(alarm, index == 0, width))
    # A path has no spaces to be wrapped at, and none of it may be cut off.
    told = clean(moved, limit=900)
    pieces = wrap(told, max(20, width - 2), break_on_hyphens=False) if told else []
    lines.extend(Content.styled(f" {piece}", "bold $due") for piece in pieces)
    return Content("\n").join(lines)


def _line(alarm: AlarmLine, on_top: bool, width: int) -> Content:
    keys = spoken("{bench.answer} heard  {bench.snooze} later") if on_top else ""
    if alarm.quiet_s > 0:
        keys = f"quiet {alarm.quiet_s:.0f} s"
    room = width - len(keys) - 15
    if room < LEAST_TEXT:
        keys, room = "", max(0, width - 14)
    text = clean(alarm.text, limit=room)
    line = f" DUE {alarm.late:>7} {text:<{room}} {keys}"
    colour = "$danger" if alarm.priority == "high" else "$due"
    return Content.styled(f"{line:<{width}}"[:width], f"bold $background on {colour}")
