"""What a finished session changes on the shelf: proposals, each with its reason, never twice."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date, timedelta
from typing import Any

import msgspec

from studio.craft.shade import use_by_days
from studio.plan.errors import quoted
from studio.plan.settled import Sharing
from studio.plan.shelf import Shelf, ShelfAcid, ShelfDye, ShelfThickener, entry_called, folded
from studio.plan.steps.lay import paint_path, stock_path
from studio.plan.work.stocks import colours_of, pour_path
from studio.quantity.showing import show
from studio.session.after.real_cost import Part, asked_at, used_up
from studio.session.clock import day_of
from studio.session.kinds.paint import BatchMixed, LeftoverKept
from studio.session.live.given import colour_of
from studio.session.sheet import sheet_now, value_now
from studio.session.state import State
from studio.shelf.editing import BEFORE, FILES, Add, Change, Put, Remove
from studio.shelf.shopping import pieces_of
from studio.trouble import Trouble

EMPTY_ML = 0.5
"""A jar with less in it is empty. House rule."""
KEPT_ML = 5.0
"""Less stock than this is not worth a jar. House rule."""
DIGITS = 3
"""Decimals kept of what is left: far below any scale of a kitchen, far above the noise of a float."""


MIXED = "It is several dyes, or of no known strength: keep it by its label; the shelf holds jars of one dye."


class Taking(msgspec.Struct, frozen=True, kw_only=True):
    """One entry of the shelf and what a session does to it."""

    ids: tuple[str, ...]
    """Of the parts it is made of, by which the shelf remembers it."""
    table: str
    name: str
    said: str
    """`studio rust: 21 g, less 0.42 g, leaves 20.58 g`."""
    because: str
    changes: tuple[Change, ...] = ()
    hindrance: str = ""
    """Why it cannot be done; empty where it can."""
    done: bool = False
    """Whether the shelf remembers it."""

    @property
    def open(self) -> bool:
        """Whether it is still to be decided and can be done."""
        return not self.done and not self.hindrance


def takings(state: State, session: str, shelf: Shelf) -> tuple[Taking, ...]:
    """Everything a closed session changes on the shelf as it stands; what was done before is marked.

    session: name of its file without the ending, by which the shelf remembers it.
    Trouble where the session is still open, or a rehearsal.
    """
    if state.rehearsal_speed is not None:
        raise Trouble("That was a rehearsal: nothing was used, so nothing comes off the shelf.")
    if not state.closed:
        raise Trouble("That session is still open; what it used comes off the shelf when it is finished.")
    known = set(shelf.drawn.get(session, ()))
    forgotten = any(session <= last for last in shelf.drawn.get(BEFORE, ()))
    groups: dict[tuple[str, str], list[Part]] = {}
    for part in used_up(state):
        groups.setdefault((_table(part, shelf), folded(part.name)), []).append(part)
    found: list[Taking] = []
    for (table, _), parts in groups.items():
        done = [p for p in parts if forgotten or p.id in known]
        waiting = [p for p in parts if p not in done]
        if done:
            said = f"{done[0].name}: taken off before"
            found.append(_taking(table, done, said, done=True))
        if waiting:
            found.append(_READERS[table](waiting, shelf))
    for left in _left_by(state):
        gone = forgotten or left.id in known
        found.append(_put_on(left, _day(state), session, shelf, gone, found))
    return tuple(found)


def _table(part: Part, shelf: Shelf) -> str:
    if part.kind in ("acid", "thickener", "base"):
        return part.kind
    jars = {folded(jar.name) for jar in shelf.jars}
    dyes = {folded(dye.name) for dye in shelf.dyes}
    return "jar" if folded(part.name) in jars - dyes else "dye"


def _taking(table: str, parts: list[Part], said: str, **more: Any) -> Taking:
    return Taking(
        ids=tuple(part.id for part in parts),
        table=table,
        name=more.pop("name", parts[0].name),
        said=said,
        because="; ".join(part.because for part in parts),
        **more,
    )


def _hindered(table: str, parts: list[Part], why: str) -> Taking:
    used = show(_used(parts), parts[0].unit)
    return _taking(table, parts, f"{parts[0].name}: {used} used", hindrance=why)


def _used(parts: list[Part]) -> float:
    return sum(part.amount for part in parts)


def _liquid_or_powder(
    table: str, entries: Iterable[ShelfDye | ShelfAcid | ShelfThickener], parts: list[Part]
) -> Taking:
    """Off `on_hand` of a dye, an acid or a thickener."""
    entry = entry_called(entries, parts[0].name)
    if entry is None:
        return _hindered(table, parts, f"The shelf has no {table} {quoted(parts[0].name)}.")
    if entry.on_hand is None:
        return _hindered(
            table, parts, "The shelf does not say how much there was; set its amount on hand first."
        )
    unit = parts[0].unit
    if entry.on_hand.unit != unit:
        return _hindered(
            table, parts, f"The shelf counts it in {entry.on_hand.unit} and the session in {unit}."
        )
    used = _used(parts)
    left, short = _left(entry.on_hand.value, used)
    said = _less(entry.name, entry.on_hand.typed, _amount(used, unit), _amount(left, unit), short)
    change = Put(table=table, name=entry.name, key="on_hand", value=_amount(left, unit))
    return _taking(table, parts, said, name=entry.name, changes=(change,))


def _left(there: float, used: float) -> tuple[float, bool]:
    """What is left, never less than nothing, and whether more was used than there was."""
    left = round(there - used, DIGITS)
    return max(0.0, left), left < 0


def _amount(value: float, unit: str) -> str:
    """As it is written in the file: a plain number with its unit."""
    return f"{round(value, DIGITS):.{DIGITS}f}".rstrip("0").rstrip(".") + f" {unit}"


def _less(name: str, there: str, used: str, left: str, short: bool) -> str:
    over = " (more was used than the shelf said)" if short else ""
    return f"{name}: {there}, less {used}, leaves {left}{over}"


def _jar(parts: list[Part], shelf: Shelf) -> Taking:
    """Off the volume of a jar; an empty one goes off the shelf."""
    jar = entry_called(shelf.jars, parts[0].name)
    assert jar is not None, "what is no jar of the shelf is a dye"
    used = _used(parts)
    left, short = _left(jar.volume_ml, used)
    change: Change = Put(table="jar", name=jar.name, key="volume", value=_amount(left, "mL"))
    told = _amount(left, "mL")
    if left < EMPTY_ML:
        change = Remove(table="jar", name=jar.name)
        told = "it empty, so it goes off the shelf"
    said = _less(jar.name, _amount(jar.volume_ml, "mL"), _amount(used, "mL"), told, short)
    return _taking("jar", parts, said, name=jar.name, changes=(change,))


def _base(parts: list[Part], shelf: Shelf) -> Taking:
    """Whole pieces off a base."""
    base = entry_called(shelf.bases, parts[0].name)
    if base is None:
        return _hindered("base", parts, f"The shelf has no base {quoted(parts[0].name)}.")
    if base.on_hand is None:
        return _hindered(
            "base", parts, "The shelf does not say how many there were; set how many are on hand first."
        )
    used = int(pieces_of(_used(parts), base.dry_weight_g))
    left = max(0, base.on_hand - used)
    said = _less(base.name, f"{base.on_hand}", f"{used}", f"{left}", used > base.on_hand)
    change = Put(table="base", name=base.name, key="on_hand", value=left)
    return _taking("base", parts, said, name=base.name, changes=(change,))


_READERS: dict[str, Callable[[list[Part], Shelf], Taking]] = {
    "dye": lambda parts, shelf: _liquid_or_powder("dye", shelf.dyes, parts),
    "acid": lambda parts, shelf: _liquid_or_powder("acid", shelf.acids, parts),
    "thickener": lambda parts, shelf: _liquid_or_powder("thickener", shelf.thickeners, parts),
    "jar": _jar,
    "base": _base,
}


class _Left(msgspec.Struct, frozen=True, kw_only=True):
    """What a session left that can become a jar, where it is one dye of a known strength."""

    id: str
    label: str
    ml: float
    because: str
    dye: str = ""
    named: bool = False
    """Whether its label says the dye."""
    strength_percent: float | None = None
    use_by: str
    kind: str


def _left_by(state: State) -> Iterator[_Left]:
    """Paint that was kept; then stock that went into nothing, until its usual day."""
    for kept in state.kept(LeftoverKept):
        if kept.event.to == "jar" and kept.event.ml > 0:
            colour, ml = colour_of(state, kept.event.colour), kept.event.ml
            name = colour.plan.name if colour else kept.event.colour
            yield _Left(
                id=f"leftover.{kept.n}",
                label=f"{name[:40]} of {_day(state)}",
                ml=ml,
                because=f"{show(ml, 'mL')} of {name} kept in a jar",
                dye=colour.stocks[0].dye.name if colour and len(colour.stocks) == 1 else "",
                strength_percent=kept.event.strength_percent,
                use_by=kept.event.use_by,
                kind=colour.plan.kept_as if colour else "",
            )
    last_day = _day(state) + timedelta(days=use_by_days("stock").days)
    for jar in state.choices.jars:
        stock, ml = jar[0][1], _rest_ml(state, jar)
        if ml >= KEPT_ML:
            yield _Left(
                id=f"leftover.of-{stock.slug}",
                label=f"{stock.dye.name[:40]} stock of {_day(state)}",
                ml=ml,
                because=f"{show(ml, 'mL')} of what was made for {colours_of(jar)} went into nothing",
                dye=stock.dye.name,
                named=True,
                strength_percent=value_now(state, stock_path(stock.slug, "strength")),
                use_by=f"{last_day:%Y-%m-%d}",
                kind="stock",
            )


def _put_on(left: _Left, day: date, session: str, shelf: Shelf, gone: bool, others: list[Taking]) -> Taking:
    """The jar it becomes: of the dye as the shelf has it."""
    said = f"{left.label}: {show(left.ml, 'mL')}"
    told = Taking(ids=(left.id,), table="jar", name=left.label, said=said, because=left.because)
    if gone:
        return msgspec.structs.replace(told, said=f"{left.label}: put on the shelf before", done=True)
    if not left.dye or not left.strength_percent:
        return msgspec.structs.replace(told, hindrance=MIXED)
    values: dict[str, Any] = {
        "name": _free(left.label, shelf, others),
        "dye": _inside(left.dye, shelf),
        "strength": f"{float(f'{left.strength_percent:.4g}'):g} %",
        "volume": _amount(left.ml, "mL"),
        "made": day.isoformat(),
        **({"use_by": left.use_by} if left.use_by else {}),
        "kind": left.kind,
        "session": session,
    }
    of = "" if left.named else f" of {values['dye']}"
    until = f", use by {left.use_by}" if left.use_by else ""
    said = f"new jar {values['name']}: {values['volume']}{of} at {values['strength']}{until}"
    return msgspec.structs.replace(
        told, name=values["name"], said=said, changes=(Add(table="jar", values=values),)
    )


def _rest_ml(state: State, jar: Sharing) -> float:
    """Stock made of powder that no paint took; 0 where that is not known, as of a bath."""
    sheet, (_, stock) = sheet_now(state), jar[0]
    made = sheet.figure(stock_path(stock.slug, "volume"))
    step = asked_at(state, stock_path(stock.slug, "dye"))
    if made is None or not stock.dye.powder or step is None or not step[0].closed:
        return 0.0
    poured_ml = 0.0
    for colour, own in jar:
        slug = colour.plan.slug
        into, whole = sheet.figure(pour_path(colour, own)), sheet.figure(paint_path(slug, "stock"))
        if into is None or whole is None:
            return 0.0
        batches = (kept.event for kept in state.kept(BatchMixed) if kept.event.colour == slug)
        later_ml = sum(batch.stock_ml for batch in batches if batch.strength_percent is None)
        poured_ml += into.value * (1.0 + later_ml / whole.value if whole.value > 0 else 1.0)
    return made.value - poured_ml


def _inside(dye: str, shelf: Shelf) -> str:
    """The dye of a leftover: of a jar, what was in it."""
    jar = entry_called(shelf.jars, dye)
    return jar.dye if jar is not None and entry_called(shelf.dyes, dye) is None else dye


def _day(state: State) -> date:
    """The day the session was opened, where it was opened."""
    return day_of(state.opened.wall_ns, state.utc_offset_min)


def _free(label: str, shelf: Shelf, others: Iterable[Taking]) -> str:
    """A name no dye or jar has."""
    taken = {folded(dye.name) for dye in shelf.dyes} | {folded(jar.name) for jar in shelf.jars}
    taken |= {folded(other.name) for other in others}
    name, number = label, 1
    while folded(name) in taken:
        number += 1
        name = f"{label} ({number})"
    return name


def by_file(chosen: Iterable[Taking], files: Mapping[tuple[str, str], str]) -> dict[str, list[Taking]]:
    """Takings by the file their entry stands in, or where a new one goes."""
    found: dict[str, list[Taking]] = {}
    for taking in chosen:
        file = files.get((taking.table, folded(taking.name)), FILES[taking.table])
        found.setdefault(file, []).append(taking)
    return found
