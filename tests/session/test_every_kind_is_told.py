"""Every kind of event has a sentence and a fold, and every command leads to kinds that are known."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from studio.report.telling import tell
from studio.session import commands as c
from studio.session import events as e
from studio.session.decide import decide
from studio.session.folding import HANDLERS, apply
from studio.session.refusals import Refused

KINDS = sorted({v for k, v in vars(e).items() if k.isupper() and isinstance(v, str)} - {e.FORMAT})

DATA: dict[str, dict[str, Any]] = {
    e.STEP_MEASURED: {"step": "ready.weight", "value": 101.5, "unit": "g", "typed": "101,5", "flagged": True},
    e.STEP_NOT_MEASURED: {"step": "presoak.ph", "why": "no strips left"},
    e.STEP_SKIPPED: {"step": "ready.room", "why": "the hall is aired"},
    e.OVERRIDDEN: {"step": "steam.hold", "why": "the gas ran out"},
    e.GATE_PASSED: {"step": "ready.kit", "digit": 7},
    e.STEP_DONE: {"step": "ready.room"},
    e.CAUTION_ACCEPTED: {"caution": "none", "why": "tried on a swatch"},
    e.CORRECTED: {"step": "ready.weight", "value": 99.0, "unit": "g", "typed": "99", "why": "tare", "ref": 2},
    e.UNDONE: {"step": "ready.weight", "ref": 2, "why": "undo"},
    e.SAVED_LATE: {"entries": 2, "waited_s": 180.0, "why": "the disk is full"},
    e.RESUMED: {"pid": 1, "program": "9.1", "step": "", "last_closed": ""},
    e.NOTED: {"text": "lid rattles"},
    e.ADDENDUM: {"text": "faded in June"},
    e.NOTED_LATE: {"text": "lid lifted", "happened_at": "14:05"},
    e.FINISHED: {"outcome": "abandoned", "why": "the pot is needed", "counts": {}},
    e.TIMER_STARTED: {
        "timer": "steam",
        "role": "hold",
        "set": 1,
        "label": "steam set",
        "minutes": 36.0,
        "action": "off",
        "priority": "high",
    },
    e.TIMER_STOPPED: {"timer": "steam", "elapsed_s": 2160.0, "by": ""},
    e.TIMER_EXTENDED: {"timer": "steam", "minutes": 5.0, "why": "reheating"},
    e.TIMER_CONFIRMED: {"timer": "steam", "elapsed_s": 1200.0},
    e.ALARM_RAISED: {
        "timer": "steam",
        "level": "due",
        "priority": "high",
        "text": "lid away",
        "late_s": 240.0,
    },
    e.ALARM_ACKNOWLEDGED: {"alarm": 3, "latency_s": 12.0},
    e.ALARM_SNOOZED: {"alarm": 3, "minutes": 1.0},
    e.CLOCK_STEPPED: {"seconds": 3600.0},
    e.CLOCK_SUSPENDED: {"seconds": 840.0},
    e.READING_TAKEN: {"where": "packet", "value": 92.0, "unit": "degC", "typed": "92"},
    e.POT_REFILLED: {"ml": 500.0, "typed": "0,5 L"},
    e.BATCH_MIXED: {
        "colour": "rust",
        "ml": 21.0,
        "stock_ml": 15.0,
        "water_ml": 6.0,
        "lot_difference_percent": -8.65,
    },
    e.PAINT_LEFT: {"colour": "rust", "ml": 18.0},
    e.BAND_PAINTED: {"band": 1, "colour": "rust", "jar": "rust", "coat": 2},
    e.RINSE_ROUND: {"staining": 3, "clear": False, "set": 1, "round": 2},
    e.BATH_LOOKED: {"step": "heat.clear", "grade": 3, "clear": False, "set": 1},
    e.ACID_DOSED: {"amount": 12.5, "unit": "mL", "typed": "12,5"},
    e.SET_ADDED: {"number": 2, "why": "it bleeds"},
    e.LEFTOVER_KEPT: {"colour": "rust", "ml": 12.0, "to": "jar", "use_by": "2026-09-28"},
    e.PHOTO_ADDED: {"path": "photos/swatch.jpg", "text": "the edge"},
    e.SWATCH_COUNTED: {
        "colour": "rust",
        "rows": 6,
        "solid": 3,
        "mixed_each_side": 2,
        "forecast_solid": [3, 4, 5],
        "spread": 1.234,
    },
    e.DROPS_COUNTED: {"drops": 40, "ml": 2.0},
    e.POT_READ: {"ml": 820.0},
    e.FOLLOW_UP_PLANNED: {"number": 1, "test": "wash", "due": "2026-09-28", "how": "by hand", "note": ""},
    e.FOLLOW_UP_GRADED: {"number": 1, "test": "wash", "change": "4-5", "staining": "", "note": "dulled"},
    e.FOLLOW_UP_CANCELLED: {"number": 1, "test": "light", "why": "the card fell down"},
}
"""What each kind carries, as a file may hold it."""

TOLD = {
    e.STEP_MEASURED: "101.5 g", e.STEP_NOT_MEASURED: "no strips left", e.STEP_SKIPPED: "the hall is aired",
    e.OVERRIDDEN: "the gas ran out", e.CAUTION_ACCEPTED: "tried on a swatch", e.CORRECTED: "99 g",
    e.SAVED_LATE: "2 entries were saved late, after 3 min: the disk is full",
    e.RESUMED: "by potside 9.1", e.NOTED: "lid rattles", e.NOTED_LATE: "14:05",
    e.FINISHED: "abandoned: the pot is needed",
    e.TIMER_STOPPED: "36 min", e.TIMER_EXTENDED: "5 min more", e.TIMER_CONFIRMED: "20 min",
    e.ALARM_RAISED: "4 min late",
    e.ALARM_ACKNOWLEDGED: "12 s", e.CLOCK_STEPPED: "+3600 s", e.CLOCK_SUSPENDED: "slept 14 min",
    e.READING_TAKEN: "packet: 92 degC", e.POT_REFILLED: "500 mL",
    e.BATCH_MIXED: "ANOTHER LOT, -8.65 %", e.PAINT_LEFT: "18 mL", e.BAND_PAINTED: "coat 2", e.RINSE_ROUND: "3 of 5",
    e.BATH_LOOKED: "3 of 5, not clear", e.ACID_DOSED: "12.5 mL",
    e.SET_ADDED: "it bleeds", e.LEFTOVER_KEPT: "2026-09-28", e.PHOTO_ADDED: "photos/swatch.jpg",
    e.SWATCH_COUNTED: "rust: 3 rounds solid from 6 rows, 2 mixed on each side, edges spread by 1.2 rows",
    e.DROPS_COUNTED: "40 drops in 2 mL", e.POT_READ: "820 mL of water left",
    e.FOLLOW_UP_PLANNED: "due 2026-09-28", e.FOLLOW_UP_GRADED: "change 4-5, grey scale",
    e.FOLLOW_UP_CANCELLED: "the card fell down",
}  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_has_a_sentence(kind: str, begin, keeper) -> None:
    state = begin().state
    event = type(keeper.events[0])(9, kind, keeper.events[0].at, 1, "boot-a", DATA.get(kind, {}))
    sentence = tell(event, state)
    assert sentence and "not known to this version" not in sentence
    assert TOLD.get(kind, "") in sentence


@pytest.mark.parametrize("kind", [k for k in KINDS if k != e.OPENED])
def test_every_kind_is_folded(kind: str, begin, keeper) -> None:
    assert kind in HANDLERS
    state = begin().state
    event = type(keeper.events[0])(9, kind, keeper.events[0].at, 1, "boot-a", DATA.get(kind, {}))
    assert apply(state, event).unknown_kinds == ()


def test_a_kind_from_a_later_version_is_kept_and_shown(begin, keeper) -> None:
    state = begin().state
    event = type(keeper.events[0])(2, "kettle.sang\x1b[2J", keeper.events[0].at, 1, "boot-a", {})
    state = apply(state, event)
    assert state.unknown_kinds == ("kettle.sang\x1b[2J",)
    assert tell(event, state) == "kettle.sang\\x1b[2J (not known to this version)"


@pytest.mark.parametrize("command", c.Command.__args__, ids=lambda kind: kind.__name__)
def test_every_command_is_answered(command: Any, begin, clock) -> None:
    """With empty answers each gives events of known kinds, or one sentence that says why not."""
    fields = msgspec.structs.fields(command)
    empty = {"str": "", "float": 1.0, "int": 0, "bool": False, "Reading | None": None}
    values = [empty.get(getattr(f.type, "__name__", str(f.type))) for f in fields if f.required]
    try:
        drafts = decide(begin().state, command(*values), clock.now())
    except Refused as refused:
        assert str(refused).endswith(".")
    else:
        assert {d.kind for d in drafts} <= set(KINDS)
