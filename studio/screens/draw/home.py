"""The home page's rows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from studio.plaintext import clean

if TYPE_CHECKING:
    from studio.services.plan_cards import PlanCard
    from studio.services.session_cards import SessionCard


def heading(studio_name: str, known: bool) -> Content:
    """The name of the house and of the studio."""
    return Content.assemble(
        (" Potside", "bold $text"),
        (f"   {clean(studio_name, limit=50)}", "$quiet"),
        ("\n From presoak to rinse, and next month the same again.", "$quiet"),
    )


def welcome(known: bool) -> Content:
    """A hint for the first time, a caution always."""
    first = "" if known else " New here? Enter begins a rehearsal, the whole job dry.\n"
    care = (
        " Hot steam, dye powder and acid can hurt. The maker's safety data sheet, local rules and "
        "trained advice come before anything this program says."
    )
    return Content.assemble((first, "$focus"), (care, "$quiet"))


def mend_note(sentence: str) -> Content:
    """What is wrong with a plan file, in full."""
    return Content.styled(f" {clean(sentence, limit=400)}", "$danger")


def open_row(card: SessionCard, width: int) -> Content:
    """A session that was left open."""
    from studio.report.session_page import day_and_time

    rehearsal = "rehearsal, " if card.rehearsal else ""
    tail = f"{rehearsal}{card.about}, begun {day_and_time(card.opened_ns, card.utc_offset_min)}"
    return Content.assemble(
        ("Resume     ", "bold $due"),
        _title(card.title, "bold $text"),
        (clean(tail, limit=max(10, width - 36)), "$quiet"),
    )


def _title(title: str, style: str) -> Content:
    """A title in its column."""
    text = Content.styled(clean(title, limit=22), style)
    return text.pad_right(max(1, 24 - text.cell_length))


def plan_row(plan: PlanCard, width: int) -> Content:
    """A plan that can be begun, or what is wrong with it."""
    word, style = ("Plan       ", "bold $focus") if plan.readable else ("Mend       ", "bold $danger")
    return Content.assemble(
        (word, style),
        _title(plan.title, "$text"),
        (clean(plan.about, limit=max(10, width - 36)), "$quiet"),
    )
