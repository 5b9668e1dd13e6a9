"""The shelf and a shopping list as rows, for the printer and the screen alike, and as JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from studio.plaintext import clean, counted
from studio.plan.shelf import folded
from studio.quantity.kinds import money_text
from studio.quantity.showing import show
from studio.report.printing import Role, Row, Section, Span, document, picked, row
from studio.shelf.editing import EntryPlace
from studio.shelf.keys import SHELF_TABLES
from studio.shelf.shopping import KINDS, Need, Shopping
from studio.shelf.telling import ToldLine as Line

STANDING_ROLE: dict[str, Role] = {"old": "danger", "low": "due", "": "quiet"}
THERE = 15
"""Cells of what is there: `700 mL of 1 000`."""
FULL, GONE = "▄▁"


def name_room(width: int) -> int:
    """Cells of the column of names."""
    return 30 if width >= 100 else 26 if width >= 72 else 20


def shelf_row(line: Line, width: int, *, short: bool = False) -> Row:
    """One entry on one line: name, what it is, a gauge of what is there, and that in figures at the right.

    short: a plan needs more of it than there is.
    """
    name = 26 if width >= 100 else 20
    label = f"{clean(line.label, limit=name - 1):<{name}}"
    if line.table in ("kit", "studio"):
        return row((label, "plain"), (clean(line.about, limit=max(8, width - name)), "quiet"))
    gauge = 16 if width >= 100 else 8
    room = width - name - gauge - THERE - 2
    what = f"{clean(line.what, limit=room - 1):<{room}}" if room >= 12 else ""
    role: Role = "due" if short or line.standing == "low" else "quiet" if line.share is None else "plain"
    told = f"{line.on_hand} of {line.pack}" if line.pack else line.on_hand
    there = f"{'▲ ' if short else ''}{told}"
    spans: tuple[Span, ...] = (
        (label, "plain"),
        (what, STANDING_ROLE["old"] if line.standing == "old" else "quiet"),
        *_gauge(line.share, gauge if what else max(6, width - name - THERE - 2), role),
    )
    return row(*spans, (f"  {clean(there, limit=THERE):>{THERE}}", role))


def _gauge(share: float | None, wide: int, role: Role) -> tuple[Span, Span]:
    """What is there at half height, what is gone as a thin line; blank where nobody wrote it down."""
    if share is None:
        return ("", "quiet"), (" " * wide, "quiet")
    full = max(int(share > 0), round(share * wide))
    return (FULL * full, role), (GONE * (wide - full), "quiet")


def shelf_sections(lines: Sequence[Line], remarks: Sequence[str], width: int) -> tuple[Section, ...]:
    """Everything on the shelf, kind by kind; what is wrong with its files first."""
    sections = [Section("to mend", tuple(row((clean(r, limit=600), "danger")) for r in remarks))]
    for table, titled in SHELF_TABLES.items():
        rows = tuple(shelf_row(line, width) for line in lines if line.table == table)
        sections.append(Section(titled.name, rows or (row(("nothing", "quiet")),)))
    return tuple(section for section in sections if section.rows)


def shelf_json(
    lines: Sequence[Line], found: Mapping[tuple[str, str], EntryPlace], remarks: Sequence[str], read_on: str
) -> str:
    """The contract `potside-shelf/1`, keys sorted, indented by two."""
    entries = []
    for line in lines:
        place = found.get((line.table, folded(line.name)))
        if line.table == "studio":
            continue
        entries.append(
            {
                **picked(line, "table", "name", "about"),
                "on_hand": line.on_hand or None,
                "standing": line.standing or "good",
                "file": place.file if place else None,
                "line": place.line if place else None,
                "written": place.written if place else {},
            }
        )
    studio = found.get(("studio", ""))
    return document(
        "potside-shelf/1",
        {
            "read_on": read_on,
            "entries": entries,
            "studio": studio.written if studio else {},
            "to_mend": remarks,
        },
    )


def amount(value: float, unit: str) -> str:
    """A number with its unit; pieces in words."""
    if unit == "1":
        return counted(value, "piece")
    return show(value, unit)


def short_told(need: Need) -> str:
    """What the plans need of a thing, and what there is."""
    return (
        f"the plans need {amount(need.needed, need.unit)}, you have {amount(need.on_hand or 0.0, need.unit)}"
    )


def shopping_sections(listed: Shopping, width: int) -> tuple[Section, ...]:
    """What is needed, what is there, what must be bought; reasons under each."""
    sections = [
        Section("", (row(("for ", "quiet"), (clean(", ".join(listed.plans), limit=width - 4), "strong")),))
    ]
    titles = ("from jars, first", "dyes", "acids", "thickeners", "bases")
    for kind, title in zip(KINDS, titles, strict=True):
        rows = [
            r for need in listed.needs if need.kind == kind for r in _need_rows(need, listed.currency, width)
        ]
        if rows:
            sections.append(Section(title, tuple(rows)))
    used = f"used up, in fractions of packs: {money_text(listed.used, listed.currency)}"
    sections.append(Section("to buy", (*_bought(listed), *([row((used, "quiet"))] if listed.used else []))))
    if listed.notes:
        sections.append(
            Section("not counted", tuple(row((clean(n, limit=300), "quiet")) for n in listed.notes))
        )
    return tuple(sections)


def _need_rows(need: Need, currency: str, width: int) -> list[Row]:
    name = name_room(width)
    spans: list[Span] = [
        (f"{clean(need.name, limit=name - 1):<{name}}", "plain"),
        (f"{amount(need.needed, need.unit):<12}", "strong"),
        *_standing(need, currency),
    ]
    return [row(*spans), row((f"  {clean(need.because, limit=max(20, width - 4))}", "quiet"))]


def _standing(need: Need, currency: str) -> list[Span]:
    if not need.on_shelf:
        return [("not on the shelf", "due")]
    if need.on_hand is None:
        return [("amount on the shelf not set", "due")]
    there = f"of {amount(need.on_hand, need.unit)}"
    if not need.short:
        return [(f"{there}, enough", "done")]
    told = f"{there}, {amount(need.short, need.unit)} short"
    if need.kind == "jar":
        return [(f"{told}: make fresh stock", "danger")]
    if need.packs is None:
        return [(f"{told}, no price", "danger")]
    size = "" if need.price is None or need.unit == "1" else f" of {show(need.price.amount, need.unit)}"
    packs = f"{counted(need.packs, 'pack')}{size}" if need.unit != "1" else f"{need.packs}"
    return [(f"{told}: {packs}, {money_text(need.cost or 0.0, currency)}", "danger")]


def _bought(listed: Shopping) -> tuple[Row, ...]:
    if listed.cost is not None:
        if not listed.to_buy:
            return (row(("nothing: all of it is there", "done")),)
        return (row((money_text(listed.cost, listed.currency), "strong"), (" in whole packs", "quiet")),)
    unpriced = [n for n in listed.to_buy if n.cost is None and n.kind != "jar"]
    told = {
        "amount not set on the shelf:": listed.unknown,
        "not on the shelf:": [n for n in unpriced if not n.on_shelf],
        "no price on the shelf for": [n for n in unpriced if n.on_shelf],
    }
    rows = tuple(
        row((f"{what} {', '.join(clean(n.name, limit=40) for n in needs)}", "due"))
        for what, needs in told.items()
        if needs
    )
    return rows or (row(("fresh stock for the jar that is short", "due")),)


def shopping_json(listed: Shopping) -> str:
    """The contract `potside-shopping/1`, keys sorted, indented by two."""
    named = ("kind", "name", "unit", "needed", "on_hand", "on_shelf", "short", "packs", "cost", "because")
    needs = [picked(need, *named) for need in listed.needs]
    listing = picked(listed, "plans", "currency", "cost", "used", "notes")
    return document("potside-shopping/1", {**listing, "needs": needs})
