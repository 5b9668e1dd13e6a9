"""A session whose interior is damaged goes on from what is whole, in a new file, once the dyer says so."""

from __future__ import annotations

import pytest

from studio.services.studio import Services
from studio.session import commands as c
from studio.store.folder import StudioFolder
from studio.store.reading import read_session
from studio.store.system_clock import SystemClock


@pytest.fixture
def damaged(studio, plan):
    """The file of an open session with three notes, the second of them changed by a fault of the disk."""
    services = Services(StudioFolder(studio), SystemClock())
    running = services.begin(services.work_out(plan))
    for text in ("first", "second", "third"):
        running.do(c.AddNote(text))
    path = studio / "sessions" / running.name
    services.let_go()
    path.write_bytes(path.read_bytes().replace(b'"second"', b'"sec0nd"'))
    return path


def test_line_mode_offers_it_in_one_sentence_and_goes_on(potside, damaged) -> None:
    raw = damaged.read_bytes()
    refused = potside("resume", damaged.name, "--plain")
    assert refused.exit_code == 3 and refused.stderr.count("\n") == 1
    how = f"potside resume {damaged.name} --continue"
    assert how in refused.stderr and "in a new file" in refused.stderr
    done = potside("resume", damaged.name, "--continue", "--plain")
    assert done.exit_code == 0, done.stderr
    assert damaged.read_bytes() == raw
    (fresh,) = set(damaged.parent.iterdir()) - {damaged}
    assert [r.data["text"] for r in read_session(fresh).records if r.kind == "noted"] == ["first", "third"]
    listed = potside("logbook").stdout.splitlines()
    assert len(listed) == 1 and " open: " in listed[0]
    again = potside("resume", "--plain")
    assert f"Session file: {fresh.name}" in again.stdout and again.exit_code == 0


@pytest.mark.deep
def test_the_page_of_the_session_offers_it_and_opens_the_bench(terminal, damaged) -> None:
    screen = terminal(rows=30)
    screen.until("  plans")
    screen.type("l")
    screen.until("damaged")
    screen.type("\r")
    screen.until("C continue")
    screen.type("c")
    screen.until("Sound the bell")
    (fresh,) = set(damaged.parent.iterdir()) - {damaged}
    assert read_session(fresh).continued_from == damaged.name
