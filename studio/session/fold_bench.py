"""Folding what was seen and done at the bench beside the steps: readings, paint, packets, rinses, remarks."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import msgspec

from studio.plan.shapes import Figure
from studio.session import events as e
from studio.session.clock import Moment
from studio.session.records import (
    Batch,
    BathLook,
    Coat,
    Dosed,
    DropsCounted,
    JarRead,
    Kept,
    Note,
    Photo,
    PotRead,
    Poured,
    Read,
    RinseRound,
    Swatch,
)
from studio.session.second_set import with_second_set
from studio.session.state import Fold, State


def _noted(state: State, event: e.Event, when: Moment) -> State:
    note = Note(
        n=event.n,
        at_ns=when.wall_ns,
        text=str(event.data["text"]),
        step=str(event.data.get("step", "")),
        addendum=event.kind == e.ADDENDUM,
        happened_at=str(event.data.get("happened_at", "")),
    )
    return msgspec.structs.replace(state, notes=(*state.notes, note))


def _accepted(state: State, event: e.Event, when: Moment) -> State:
    return msgspec.structs.replace(
        state, accepted={**state.accepted, event.data["caution"]: event.data["why"]}
    )


def _resumed(state: State, event: e.Event, when: Moment) -> State:
    return msgspec.structs.replace(state, resumed=(*state.resumed, (when.wall_ns, event.data["program"])))


def _finished(state: State, event: e.Event, when: Moment) -> State:
    return msgspec.structs.replace(
        state,
        outcome=event.data["outcome"],
        outcome_why=event.data.get("why", ""),
        came_to=msgspec.convert(event.data.get("figures", ()), tuple[Figure, ...]),
    )


def _unchanged(state: State, event: e.Event, when: Moment) -> State:
    return state


def _adds(field: str, make: Callable[[e.Event, Moment], Any]) -> Fold:
    """Append one record to a list of the state."""

    def handler(state: State, event: e.Event, when: Moment) -> State:
        return msgspec.structs.replace(state, **{field: (*getattr(state, field), make(event, when))})

    return handler


def _read(event: e.Event, when: Moment) -> Read:
    return Read(event.n, when, event.data["where"], float(event.data["value"]), event.data.get("typed", ""))


def _poured(event: e.Event, when: Moment) -> Poured:
    return Poured(event.n, when, float(event.data["ml"]))


def _batch(event: e.Event, when: Moment) -> Batch:
    d = event.data
    return Batch(event.n, when, d["colour"], d["ml"], d["stock_ml"], d["water_ml"], d.get("strength_percent"))


def _round(event: e.Event, when: Moment) -> RinseRound:
    return RinseRound(
        event.n, when, int(event.data["staining"]), bool(event.data["clear"]), int(event.data["set"])
    )


def _look(event: e.Event, when: Moment) -> BathLook:
    return BathLook(
        event.n, when, int(event.data["grade"]), bool(event.data["clear"]), int(event.data["set"])
    )


def _dosed(event: e.Event, when: Moment) -> Dosed:
    return Dosed(event.n, when, float(event.data["amount"]), str(event.data["unit"]))


def _kept(event: e.Event, when: Moment) -> Kept:
    d = event.data
    return Kept(event.n, when, d["colour"], d["ml"], d["to"], d.get("strength_percent"), d.get("use_by", ""))


def _photo(event: e.Event, when: Moment) -> Photo:
    return Photo(event.n, when, event.data["path"], event.data.get("text", ""))


def _swatch(event: e.Event, when: Moment) -> Swatch:
    return msgspec.convert({**event.data, "n": event.n}, Swatch)


def _drops(event: e.Event, when: Moment) -> DropsCounted:
    return DropsCounted(event.n, when, float(event.data["drops"]), float(event.data["ml"]))


def _pot(event: e.Event, when: Moment) -> PotRead:
    return PotRead(event.n, when, float(event.data["ml"]))


def _paint_left(state: State, event: e.Event, when: Moment) -> State:
    left = {**state.paint_left, event.data["colour"]: JarRead(event.n, float(event.data["ml"]))}
    return msgspec.structs.replace(state, paint_left=left)


def _band(state: State, event: e.Event, when: Moment) -> State:
    band, jar = int(event.data["band"]), str(event.data["jar"])
    if "instead_of" not in event.data:
        return msgspec.structs.replace(state, coats=(*state.coats, Coat(event.n, when, band, jar)))
    own = [index for index, coat in enumerate(state.coats) if coat.band == band]
    if not own:
        return state  # The coat whose jar it puts right does not stand.
    coats = list(state.coats)
    coats[own[-1]] = msgspec.structs.replace(coats[own[-1]], jar=jar)
    return msgspec.structs.replace(state, coats=tuple(coats))


def _second_set(state: State, event: e.Event, when: Moment) -> State:
    number = state.sets + 1
    closed = frozenset(s.id for s in state.all_steps() if state.step(s.id).closed)
    sheet = with_second_set(state.worksheet, number, closed)
    return msgspec.structs.replace(state, worksheet=sheet, sets=number)


HANDLERS: dict[str, Fold] = {
    e.NOTED: _noted,
    e.NOTED_LATE: _noted,
    e.ADDENDUM: _noted,
    e.CAUTION_ACCEPTED: _accepted,
    e.RESUMED: _resumed,
    e.FINISHED: _finished,
    e.LEFT: _unchanged,
    e.RECOVERED: _unchanged,
    e.CONTINUED: _unchanged,
    e.SAVED_LATE: _unchanged,
    e.READING_TAKEN: _adds("readings", _read),
    e.POT_REFILLED: _adds("refills", _poured),
    e.BATCH_MIXED: _adds("batches", _batch),
    e.RINSE_ROUND: _adds("rounds", _round),
    e.BATH_LOOKED: _adds("looks", _look),
    e.ACID_DOSED: _adds("acid_doses", _dosed),
    e.LEFTOVER_KEPT: _adds("leftovers", _kept),
    e.PHOTO_ADDED: _adds("photos", _photo),
    e.SWATCH_COUNTED: _adds("swatches", _swatch),
    e.DROPS_COUNTED: _adds("droppers", _drops),
    e.POT_READ: _adds("pot_left", _pot),
    e.PAINT_LEFT: _paint_left,
    e.BAND_PAINTED: _band,
    e.SET_ADDED: _second_set,
}
