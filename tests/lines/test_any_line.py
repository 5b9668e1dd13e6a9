"""Whatever is written, nothing is raised, and nothing that is said can steer a terminal."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from studio.lines.commands import HANDLERS
from studio.plan.shapes import Caution
from tests.conftest import examples

WORDS = [w for w in HANDLERS if w not in ("leave", "abandon")]
STEERING = re.compile(
    "[\x00-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u202a-\u202e\u2028\u2029\u2060-\u206f\ufeff]"
)
EVIL = "rust\x1b]0;owned\x07\x9b2J\u202e\x00\r\nALARM high: lie\u2028"

line = st.one_of(
    st.text(max_size=60),
    st.text(st.characters(), max_size=20).map(lambda t: f"note {t}"),
    st.tuples(st.sampled_from(WORDS), st.text(max_size=20)).map(" ".join),
    st.sampled_from([*WORDS, "", "yes", "5", "100", "1e400", "\ud800", "1" * 5000, "9" * 12, EVIL]),
)


@examples(60)
@given(
    lines=st.lists(st.one_of(line, st.sampled_from([0.1, 0.3, 1.0, 31.0, 400.0])), max_size=25),
    by_hand=st.booleans(),
)
def test_no_line_raises_anything(begin, talk, lines, by_hand) -> None:
    heard = talk(begin(), *lines, by_hand=by_hand)
    assert heard.code == 0
    assert heard.lines[-1].startswith(("The session stays open.", "The record is closed."))
    assert not any(STEERING.search(said) for said in heard.lines)


def test_evil_text_of_plan_and_notes_is_said_clean(begin, keeper, sheet_of, talk) -> None:
    import msgspec

    caution = Caution(id="warn.evil", level="warn", text=f"Beware {EVIL}", source=EVIL)
    sheet = sheet_of(caution)
    steps = {
        stage.stage: tuple(msgspec.structs.replace(s, text=f"{s.text} {EVIL}") for s in stage.steps)
        for stage in sheet.procedure
    }
    stages = tuple(msgspec.structs.replace(g, steps=steps[g.stage]) for g in sheet.procedure)
    timers = tuple(msgspec.structs.replace(t, label=EVIL, action=EVIL) for t in sheet.timers)
    session = begin(msgspec.structs.replace(sheet, title=EVIL, procedure=stages, timers=timers))
    keeper.name = f"{EVIL}.jsonl"
    ready = ("why", "", f"reason {EVIL}", "(the digit of the gate)", "(the digit of the gate)", "", "", "100")
    items = (*ready, "2000", "40", "4", "", f"note {EVIL}", "time", "list", "correct", "", 1900.0, "heard")
    heard = talk(session, *items)
    assert heard.starting("ALARM"), heard.lines[-5:]
    assert any("\\x1b]0;owned" in said for said in heard.lines)
    assert [said for said in heard.lines if STEERING.search(said)] == []
    assert not any(STEERING.search(text) for _, _, text, _ in heard.rings)
    assert session.state.notes[0].text == EVIL.strip(), "the file keeps what was written"
