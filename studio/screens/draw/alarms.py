"""The alarm banner: one line for each standing alarm, the most urgent on top, until it is answered."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from studio.plaintext import clean
from studio.screens.bench_view import AlarmLine

LEAST_TEXT = 12
"""Cells of its text an alarm must show; in a narrower window the keys give way to it."""


def banner(alarms: Sequence[AlarmLine], trouble: str, width: int) -> Content:
    """Trouble with saving first, then the alarms; empty when all is well."""
    lines = []
    if trouble:
        text = clean(f" {trouble}", limit=width)
        lines.append(Content.styled(f"{text:<{width}}", "bold $background on $danger"))
    for index, alarm in enumerate(alarms):
        lines.append(_line(alarm, index == 0, width))
    return Content("\n").join(lines)


def _line(alarm: AlarmLine, on_top: bool, width: int) -> Content:
    keys = "Enter heard  Z later" if on_top else ""
    if alarm.quiet_s > 0:
        keys = f"quiet {alarm.quiet_s:.0f} s"
    room = width - len(keys) - 15
    if room < LEAST_TEXT:
        keys, room = "", max(0, width - 14)
    text = clean(alarm.text, limit=room)
    line = f" DUE {alarm.late:>7} {text:<{room}} {keys}"
    colour = "$danger" if alarm.priority == "high" else "$due"
    return Content.styled(f"{line:<{width}}"[:width], f"bold $background on {colour}")
