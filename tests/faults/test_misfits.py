"""Data that are not of the shape of their kind, kinds and keys that are not known: told by line and field."""

from __future__ import annotations

import copy
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import msgspec
import pytest

from studio.report.session_page import session_page
from studio.session.folding import Misfit, NotASession, Record, fitted, kinds, replay
from studio.store.reading import read_text
from studio.store.repair import continue_in_new_file
from studio.store.system_clock import SystemClock


def every_kind(samples: dict[Path, list[Record]]) -> dict[str, dict[str, Any]]:
    """The fullest data of each kind that the samples hold."""
    found: dict[str, dict[str, Any]] = {}
    for records in samples.values():
        for record in records:
            if len(record.data) >= len(found.get(record.kind, ())):
                found[record.kind] = record.data
    return found


def misfit(kind: str, data: dict[str, Any], *, newer: bool = False) -> str:
    """What does not fit; empty where all does."""
    try:
        fitted(kind, data, newer=newer)
    except Misfit as problem:
        return str(problem)
    return ""


def test_each_kind_with_each_key_missing_of_another_type_or_beside_is_told_by_its_field(
    samples: dict[Path, list[Record]],
) -> None:
    for kind, data in every_kind(samples).items():
        shape = {f.encode_name: f for f in msgspec.structs.fields(kinds()[kind])}
        assert misfit(kind, data) == ""
        assert misfit(kind, {**data, "by_whom": 1}) == f"{kind}: by_whom is no key of it"
        assert misfit(kind, {**data, "by_whom": 1}, newer=True) == ""
        for key in data:
            if key == "format":
                continue  # of a newer file it is to be said that it is one
            without = {k: v for k, v in data.items() if k != key}
            assert misfit(kind, without) == (f"{kind}: {key} is missing" if shape[key].required else "")
            for newer in (False, True):
                told = misfit(kind, {**data, key: {"a": [1]}}, newer=newer)
                assert told.startswith(f"{kind}: {key}"), told


def test_a_step_that_is_for_what_no_rule_asks_is_read_as_it_is(samples: dict[Path, list[Record]]) -> None:
    """As a version with more kinds of step would have written it, or one with fewer."""
    opened = copy.deepcopy(every_kind(samples)["session.opened"])
    opened["worksheet"]["procedure"][0]["steps"][0]["role"] = "teasing"
    assert misfit("session.opened", opened) == ""
    told = msgspec.to_builtins(fitted("session.opened", opened))
    assert told["worksheet"]["procedure"][0]["steps"][0]["role"] == "teasing"


WITHOUT_ROWS: dict[str, Any] = {}
"""In place of the choices of the first sample, the same with a band that is neither so many rows nor a share."""


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ({"worksheet": None}, "worksheet is missing"),
        ({"clock": {"speed": "fast"}}, "clock.speed is not a number"),
        ({"choices": []}, "choices is not a table"),
        ({"choices": WITHOUT_ROWS}, "choices.plan.layout.order[0] is not one of the values it may have"),
        ({"utc_offset_min": 10**9}, "utc_offset_min must be a whole number <= 1440"),
    ],
)
def test_an_opening_that_does_not_fit_is_one_sentence(
    keys: dict[str, Any], says: str, changed: Callable[..., bytes], sample: list[Record]
) -> None:
    if keys.get("choices") is WITHOUT_ROWS:
        keys = {"choices": copy.deepcopy(sample[0].data["choices"])}
        keys["choices"]["plan"]["layout"]["order"][0]["rows"] = None
    reading = read_text(Path("x.jsonl"), changed("session.opened", **keys))
    assert f"Line 1 cannot be read: session.opened: {says}." in [p.text for p in reading.problems]
    with pytest.raises(NotASession, match=f"line 1.*session.opened: {re.escape(says)}"):
        replay(reading.records)


def test_an_unknown_kind_is_shown_and_handed_on_byte_for_byte(
    sample: list[Record], sealed: Callable[..., bytes], tmp_path: Path
) -> None:
    records = sample[:20]
    strange = {"b": [1, 1e-7, 1e21, "caf\u00e9"], "a": {"deep": [[{}]]}}
    records.insert(9, msgspec.structs.replace(records[8], kind="kettle.sang", data=strange))
    raw = sealed(records)
    path = tmp_path / "20261120-0900-strange-0000.jsonl"
    path.write_bytes(raw.replace(raw.split(b"\n")[15], b"torn"))
    with continue_in_new_file(path, SystemClock().now()) as journal:
        assert raw.split(b"\n")[9] in journal.path.read_bytes().split(b"\n")
        state = replay(journal.events)
    (top, *_) = session_page(state, "x", (), 80)
    assert any("kettle.sang" in span[0] for line in top.rows for span in line)


def test_an_unknown_kind_is_kept_and_a_reference_that_hangs_changes_nothing(
    sample: list[Record],
) -> None:
    """Steps, clocks, alarms and events that are not there: the state is as it was before."""
    state, last = replay(sample), sample[-1]
    hanging: list[tuple[str, dict[str, Any]]] = [
        ("kind.of.the.future", {"step": 3}),
        ("undone", {"ref": 999, "undone": "noted"}),
        ("timer.stopped", {"timer": "no clock", "elapsed_s": 1.0}),
        ("timer.extended", {"timer": "no clock", "minutes": 1.0, "why": "x"}),
        ("timer.confirmed", {"timer": "no clock", "elapsed_s": 1.0, "clock_said_s": 2.0}),
        ("alarm.acknowledged", {"alarm": 999, "latency_s": 1.0}),
        ("alarm.snoozed", {"alarm": 999, "minutes": 1.0}),
        ("follow_up.graded", {"number": 99, "test": "light", "change": "4", "staining": "", "note": ""}),
    ]
    for kind, data in hanging:
        after = replay([*sample, msgspec.structs.replace(last, n=last.n + 1, kind=kind, data=data)])
        for field in ("steps", "timers", "alarms", "follow_ups", "outcome"):
            assert getattr(after, field) == getattr(state, field), (kind, field)
