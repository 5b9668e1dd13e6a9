"""Every kind of event has a sentence and a fold, and every command leads to kinds that are known."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from studio.report.telling import tell
from studio.session import commands as c
from studio.session import course_rules  # noqa: F401 - so that every rule is there
from studio.session.asked import Refused
from studio.session.folding import apply, drafted, kinds
from studio.session.run import decide

DATA: dict[str, dict[str, Any]] = {
    "step.measured": {"step": "ready.weight", "value": 101.5, "unit": "g", "typed": "101,5", "flagged": True},
    "step.not_measured": {"step": "presoak.ph", "why": "no strips left"},
    "step.skipped": {"step": "ready.room", "why": "the hall is aired"},
    "step.overridden": {"step": "steam.hold", "why": "the gas ran out"},
    "gate.passed": {"step": "ready.kit", "digit": 7},
    "step.done": {"step": "ready.room"},
    "caution.accepted": {"caution": "none", "why": "tried on a swatch"},
    "corrected": {
        "step": "ready.weight",
        "value": 99.0,
        "unit": "g",
        "typed": "99",
        "why": "tare",
        "ref": 2,
        "flagged": False,
    },
    "undone": {"ref": 2, "undone": "noted"},
    "session.saved_late": {"entries": 2, "waited_s": 180.0, "why": "the disk is full"},
    "session.resumed": {"pid": 1, "program": "9.1", "step": "", "last_closed": ""},
    "noted": {"text": "lid rattles", "step": ""},
    "addendum": {"text": "faded in June"},
    "noted.late": {"text": "lid lifted", "happened_at": "14:05"},
    "session.finished": {
        "outcome": "abandoned",
        "why": "the pot is needed",
        "counts": {},
        "sha256": "0" * 64,
    },
    "timer.started": {
        "timer": "steam",
        "role": "hold",
        "set": 1,
        "label": "steam set",
        "minutes": 36.0,
        "action": "off",
        "priority": "high",
        "repeats": False,
        "with": "",
        "needs_steam": True,
        "by": "",
        "round": 1,
    },
    "timer.stopped": {"timer": "steam", "elapsed_s": 2160.0},
    "timer.extended": {"timer": "steam", "minutes": 5.0, "why": "reheating"},
    "timer.confirmed": {"timer": "steam", "elapsed_s": 1200.0, "clock_said_s": 1100.0},
    "alarm.raised": {
        "timer": "steam",
        "level": "due",
        "priority": "high",
        "text": "lid away",
        "late_s": 240.0,
        "round": 1,
        "ref": 2,
    },
    "alarm.acknowledged": {"alarm": 3, "latency_s": 12.0},
    "alarm.snoozed": {"alarm": 3, "minutes": 1.0},
    "clock.stepped": {"seconds": 3600.0},
    "clock.suspended": {"seconds": 840.0},
    "reading.taken": {"where": "packet", "value": 92.0, "unit": "degC", "typed": "92"},
    "pot.refilled": {"ml": 500.0, "typed": "0,5 L"},
    "batch.mixed": {
        "colour": "rust",
        "ml": 21.0,
        "stock_ml": 15.0,
        "water_ml": 6.0,
        "typed": "21 mL at 5 %",
        "lot_difference_percent": -8.65,
    },
    "paint.left": {"colour": "rust", "ml": 18.0, "typed": "18"},
    "band.painted": {"band": 1, "colour": "rust", "jar": "rust", "coat": 2},
    "rinse.round": {"staining": 3, "clear": False, "set": 1, "round": 2},
    "bath.looked": {"step": "heat.clear", "grade": 3, "clear": False, "set": 1},
    "acid.dosed": {"amount": 12.5, "unit": "mL", "typed": "12,5"},
    "set.added": {"number": 2, "why": "it bleeds"},
    "leftover.kept": {"colour": "rust", "ml": 12.0, "to": "jar", "typed": "12", "use_by": "2026-09-28"},
    "photo.added": {"path": "photos/swatch.jpg", "text": "the edge"},
    "swatch.counted": {
        "colour": "rust",
        "rows": 6,
        "solid": 3,
        "mixed_each_side": 2,
        "forecast_solid": [3, 4, 5],
        "spread": 1.234,
        "typed": "rust 3 solid 2 mixed",
    },
    "drops.counted": {"drops": 40, "ml": 2.0, "typed": "40 drops in 2 mL"},
    "pot.read": {"ml": 820.0, "typed": "820"},
    "steam.stopped": {},
    "steam.again": {},
    "session.left": {"step": ""},
    "session.continued": {"from": "a.jsonl", "sha256": "", "lines_kept": 3, "why": "a bad line"},
    "recovered": {"offset": 900, "length": 8, "copy": "a.damaged.jsonl"},
    "follow_up.planned": {"number": 1, "test": "wash", "due": "2026-09-28", "how": "by hand", "note": ""},
    "follow_up.graded": {"number": 1, "test": "wash", "change": "4-5", "staining": "", "note": "dulled"},
    "follow_up.cancelled": {"number": 1, "test": "light", "why": "the card fell down"},
}
"""What each kind carries, as a file may hold it."""

TOLD = {
    "step.measured": "101.5 g", "step.not_measured": "no strips left", "step.skipped": "the hall is aired",
    "step.overridden": "the gas ran out", "caution.accepted": "tried on a swatch", "corrected": "99 g",
    "session.saved_late": "2 entries were saved late, after 3 min: the disk is full",
    "session.resumed": "by potside 9.1", "noted": "lid rattles", "noted.late": "14:05",
    "session.finished": "abandoned: the pot is needed",
    "timer.stopped": "36 min", "timer.extended": "5 min more", "timer.confirmed": "20 min",
    "alarm.raised": "4 min late",
    "alarm.acknowledged": "12 s", "clock.stepped": "+3600 s", "clock.suspended": "slept 14 min",
    "reading.taken": "packet: 92 °C", "pot.refilled": "500 mL",
    "batch.mixed": "ANOTHER LOT, -8.65 %", "paint.left": "18 mL", "band.painted": "coat 2", "rinse.round": "3 of 5",
    "bath.looked": "3 of 5, not clear", "acid.dosed": "12.5 mL",
    "set.added": "it bleeds", "leftover.kept": "2026-09-28", "photo.added": "photos/swatch.jpg",
    "swatch.counted": "rust: 3 rounds solid from 6 rows, 2 mixed on each side, edges spread by 1.2 rows",
    "drops.counted": "40 drops in 2 mL", "pot.read": "820 mL of water left",
    "follow_up.planned": "due 2026-09-28", "follow_up.graded": "change 4-5, grey scale",
    "follow_up.cancelled": "the card fell down",
}  # fmt: skip


@pytest.mark.parametrize("kind", kinds())
def test_every_kind_has_a_sentence_and_a_fold_that_hangs_on_nothing(kind: str, begin, keeper) -> None:
    state, first = begin().state, keeper.events[0]
    event = drafted(9, kind, DATA.get(kind, first.data), first.moment)
    sentence = tell(event, state)
    assert sentence and "not known to this version" not in sentence
    assert TOLD.get(kind, "") in sentence
    before = msgspec.json.encode(state, enc_hook=len)
    assert apply(state, event).last_n == 9
    assert msgspec.json.encode(state, enc_hook=len) == before, "folding changed the state it was given"


def test_a_kind_from_a_later_version_is_kept_and_shown(begin, keeper) -> None:
    state = begin().state
    event = drafted(2, "kettle.sang\x1b[2J", {}, keeper.events[0].moment)
    state = apply(state, event)
    assert state.unknown_kinds == ["kettle.sang\x1b[2J"]
    assert tell(event, state) == "kettle.sang\\x1b[2J (not known to this version)"


@pytest.mark.parametrize(
    "command", sorted(c.RULES, key=lambda kind: kind.__name__), ids=lambda kind: kind.__name__
)
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
        assert {d.kind for d in drafts} <= set(kinds())
