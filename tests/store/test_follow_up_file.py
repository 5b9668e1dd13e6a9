"""Whatever is added after the end, the file stays clean, its closing SHA-256 true, and replay gives the state."""

from __future__ import annotations

import hashlib
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.clock import NS, Reading, SteppedClock
from studio.session.folding import replay
from studio.session.run import Running
from studio.store.copies import verify
from studio.store.disk import Unstorable
from studio.store.reading import read_session
from studio.store.repair import prepare_to_resume
from tests.conftest import examples

SAMPLE = next((Path(__file__).resolve().parents[2] / "sessions").glob("20260912*.jsonl"))
WORDS = st.one_of(
    st.sampled_from(["", "by the window", "=1+1", "\x1b]0;x\x07", "[red]", "\ud800"]), st.text(max_size=30)
)
TESTS = st.sampled_from(["wash", "light", "wet rub", "rub", "", "puce"])
GRADE = st.sampled_from(["", "5", "4-5", "4", "3/4", "1", "6", "x"])
DUE = st.one_of(st.sampled_from(["", "2 weeks", "2026-12-02", "1969-01-01", "today"]), st.text(max_size=12))
COMMANDS = st.one_of(
    st.builds(c.PlanFollowUp, TESTS, DUE, WORDS, WORDS),
    st.builds(c.GradeFollowUp, TESTS, GRADE, GRADE, WORDS, WORDS),
    st.builds(c.CancelFollowUp, TESTS, WORDS),
    st.builds(c.AddNote, WORDS),
)
CLOCKS = st.integers(-2_000_000_000, 2_000_000_000)
"""Seconds the wall clock is set by: to before the session, to long after it."""


@examples(40)
@given(st.lists(st.tuples(COMMANDS, CLOCKS), max_size=12))
def test_the_closing_line_stays_true(added: list[tuple[c.Command, int]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(shutil.copy(SAMPLE, folder))
        closed = path.read_bytes()
        clock = SteppedClock(Reading(1_800_000_000 * NS, 5 * NS, 5 * NS, "boot-z"))
        journal = prepare_to_resume(path, clock.now())
        with journal:
            running = Running(replay(journal.events), clock, journal)
            for command, wall_s in added:
                clock.change(wall_s=max(wall_s, -clock.now().wall_ns // NS))
                try:
                    running.do(command)
                except (Refused, Unstorable) as refused:
                    assert str(refused).endswith(".")
        verdict = verify(path)
        assert (verdict.state, verdict.hash_ok, verdict.exit_code) == ("clean", True, 0)
        assert path.read_bytes().startswith(closed)
        assert replay(read_session(path).records) == running.state


def test_the_proof_is_the_bytes_before_the_closing_line(tmp_path: Path) -> None:
    """Worked out here with hashlib alone."""
    path = Path(shutil.copy(SAMPLE, tmp_path))
    clock = SteppedClock(Reading(1_800_000_000 * NS, 5 * NS, 5 * NS, "boot-z"))
    with prepare_to_resume(path, clock.now()) as journal:
        running = Running(replay(journal.events), clock, journal)
        running.do(c.PlanFollowUp("wash"))
        running.do(c.GradeFollowUp("wash", "4-5", "4"))
    *before, _, planned, graded = path.read_bytes().splitlines(keepends=True)
    assert b'"follow_up.planned"' in planned and b'"follow_up.graded"' in graded
    told = hashlib.sha256(b"".join(before)).hexdigest()
    assert told.encode() in path.read_bytes()


@pytest.mark.parametrize("path", sorted(SAMPLE.parent.glob("*.jsonl")), ids=lambda p: p.name[:13])
def test_sessions_without_follow_ups_read_as_before(path: Path) -> None:
    state = replay(read_session(path).records)
    assert not state.follow_ups and not state.unknown_kinds
    assert verify(path).exit_code == 0
