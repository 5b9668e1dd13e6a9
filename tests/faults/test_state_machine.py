"""Append, crash and go on in any order, compared with a list in memory."""

from __future__ import annotations

import json
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from studio.session.clock import Reading
from studio.session.folding import Record
from studio.store.copies import verify
from studio.store.journal import Journal
from studio.store.line import encode
from studio.store.reading import read_session
from studio.store.repair import prepare_to_resume

OPENING = json.loads(Path(__file__).with_name("opening.json").read_text())
START = Reading(1_790_000_000_000_000_000, 1, 1, "9f3a12cd")
TEXT = st.text(st.characters(codec="utf-8"), max_size=40)


class SessionLife(RuleBasedStateMachine):
    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        data = {**OPENING, "title": "life"}
        self.journal = Journal.create([self.folder], "life", data, START)
        self.path = self.journal.path
        self.model = [("session.opened", data)]
        self.open = True
        self.copies = 0

    @precondition(lambda self: self.open)
    @rule(text=TEXT, number=st.floats(allow_nan=False, allow_infinity=False) | st.integers())
    def append(self, text, number):
        data = {"text": text, "step": "", "value": number}
        record = self.journal.append("kettle.sang", data, START)
        assert record.n == len(self.model) + self.copies + 1
        self.model.append(("kettle.sang", data))

    @precondition(lambda self: self.open)
    @rule(text=TEXT, share=st.floats(0, 1), ending=st.sampled_from(["cut", "zeros", "garbage"]))
    def crash_while_writing(self, text, share, ending):
        """The line that was being written is there in part, as zeros, or as old bytes."""
        last = self.journal.events[-1]
        self.journal.close()
        self.open = False
        line = encode(
            Record(
                n=last.n + 1,
                kind="noted",
                at=last.at,
                boot_ns=1,
                boot="9f3a12cd",
                data={"text": text, "step": ""},
            ),
            last.crc,
        )
        part = line[: int(len(line) * share)]
        torn = {"cut": part, "zeros": bytes(len(part)), "garbage": b"\xff\x07}{" * (len(part) // 4)}[ending]
        with self.path.open("ab") as file:
            file.write(torn)
        if torn == line or torn == line[:-1]:
            self.model.append(("noted", {"text": text, "step": ""}))
        self.copies += torn not in (b"", line)

    @precondition(lambda self: self.open)
    @rule()
    def leave(self):
        self.journal.close()
        self.open = False

    @precondition(lambda self: not self.open)
    @rule()
    def go_on(self):
        self.journal = prepare_to_resume(self.path, START)
        self.open = True

    @invariant()
    def every_event_is_there(self):
        reading = read_session(self.path)
        kept = [(r.kind, r.data) for r in reading.records if r.kind != "recovered"]
        mended = [r for r in reading.records if r.kind == "recovered"]
        assert kept == self.model
        assert reading.state != "damaged"
        assert len(mended) == len(list(self.folder.glob("*.damaged-*")))
        if self.open:
            assert [(r.kind, r.data) for r in self.journal.events if r.kind != "recovered"] == self.model
            assert len(mended) == self.copies
        assert verify(self.path).exit_code in (0, 1)

    def teardown(self):
        self.journal.close()
        shutil.rmtree(self.folder)


SessionLife.TestCase.settings = settings(
    max_examples=15, stateful_step_count=20, deadline=None, derandomize=True, database=None
)
TestSessionLife = SessionLife.TestCase


@pytest.mark.deep
def test_many_session_lives():
    from hypothesis.stateful import run_state_machine_as_test

    long = settings(
        max_examples=200, stateful_step_count=40, deadline=None, suppress_health_check=list(HealthCheck)
    )
    run_state_machine_as_test(SessionLife, settings=long)
