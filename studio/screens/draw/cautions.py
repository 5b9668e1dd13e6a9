"""The cautions of a plan: one line of them, or a list where there is room for it."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from studio.plaintext import clean, counted, first_sentence
from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place
from studio.plan.shapes import Caution
from studio.quantity.reading_in import as_read
from studio.screens.draw.keys import Glyphs, beside, hanging, in_lines, leads
from studio.screens.draw.panel import LEVEL_STYLE
from studio.words.table import spoken

NEXT = -1
"""Of the cautions: the one after the last that was gone to."""
COLUMN = 16
"""Cells before their sentences: as those of the job."""


def caution_list(
    cautions: Sequence[Caution], at: int | None, width: int, most: int, glyphs: Glyphs
) -> list[Content]:
    """Each by its first sentence, the one gone to whole, as many as fit into so many lines; the others counted."""
    lines, shown = list[Content](), range(0)
    for first in dict.fromkeys((0, at or 0)):
        lines, shown = [], range(first, first)
        for number in range(first, len(cautions)):
            told = _caution(cautions[number], width - COLUMN, glyphs, whole=number == at)
            if lines and len(lines) + len(told) + (number + 1 < len(cautions)) > most:
                break
            lines.extend(leads(line, "caution", number) for line in told)
            shown = range(first, number + 1)
        if at is None or at in shown:
            break
    if len(shown) < len(cautions):
        rest = f"  {len(cautions) - len(shown)} more; {{plan.caution}} goes through them"
        lines.append(leads(Content.styled(spoken(rest), "$quiet"), "caution", NEXT))
    heads = (counted(len(cautions), "caution"), *_counts(cautions))
    return beside([Content.styled(head, "$quiet") for head in heads], lines, COLUMN - 2)


def _counts(cautions: Sequence[Caution]) -> list[str]:
    """Of those that are more than notes."""
    levels = [caution.level for caution in cautions]
    stops, warns = levels.count("stop"), levels.count("warn")
    return [*([f"{stops} to change"] if stops else ()), *([counted(warns, "warning")] if warns else ())]


def _caution(caution: Caution, width: int, glyphs: Glyphs, *, whole: bool) -> list[Content]:
    said = as_read(spoken(caution.text), limit=900)
    said = said if whole else first_sentence(said)
    said = f"{said[:1].upper()}{said[1:]}"
    lines = _signed(said, LEVEL_STYLE[caution.level], "bold $text" if whole else "$text", width + 2, glyphs)
    return (
        [line.pad_right(width + 2 - line.cell_length).stylize("on $panel") for line in lines]
        if whole
        else lines
    )


def caution_line(
    draft: PlanDraft, at: int | None, here: Place | None, width: int, most: int, glyphs: Glyphs
) -> list[Content]:
    """What is wrong, the caution that was gone to whole, or how many there are and the first that `most` lines hold."""
    trouble, cautions = draft.trouble, draft.worksheet.cautions if draft.worksheet else ()
    if trouble is not None and trouble.place != here:
        goes = " {plan.caution} goes there." if trouble.place else ""
        told = spoken(f"{clean(trouble.sentence, limit=500)}{goes}")
        return _signed(told, "bold $danger", "$danger", width, glyphs)
    if trouble is not None:
        return _signed("Figures as they were before.", "$due", "$quiet", width, glyphs)
    if not cautions:
        return []
    if at is not None:
        one = cautions[at]
        return _signed(as_read(spoken(one.text), limit=900), LEVEL_STYLE[one.level], "$text", width, glyphs)
    worst = next(level for level in ("stop", "warn", "note") if any(c.level == level for c in cautions))
    pressing = [caution for caution in cautions if caution.level == worst]
    count, most = len(cautions), most + (worst != "note")
    change = f", {len(pressing)} to change" if worst == "stop" else ""
    head = f"{counted(count, 'caution')}{change}"
    for caution in pressing:
        said = as_read(spoken(caution.text), limit=900)
        for part in (said, first_sentence(said)):
            if len(head) + 2 + len(part) <= most * (width - 2):
                lines = _signed(
                    f"{head}. {part[:1].upper()}{part[1:]}", LEVEL_STYLE[worst], "$text", width, glyphs
                )
                if len(lines) <= most:
                    return lines
    return _signed(
        f"{head}; {spoken('{plan.caution} shows them.')}", LEVEL_STYLE[worst], "$text", width, glyphs
    )


def _signed(said: str, style: str, words: str, width: int, glyphs: Glyphs) -> list[Content]:
    return hanging(Content.styled(f"{glyphs.caution} ", style), in_lines(said, words, width - 2))
