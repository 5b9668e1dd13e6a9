"""A morning at a real pseudo-terminal on which the disk is full twice: nothing said at the bench is lost or untimely.

The program runs as it is, but for two things read from files: how many minutes its clock is ahead, and what of
the disk is full (`all`, `studio` or nothing). The soak of shared/plans/tidewrack-stripes takes 30 minutes.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from studio.services.studio import Services
from studio.session import commands as c
from studio.session.folding import replay
from studio.session.path import current_step
from studio.session.simulated_dyer import next_move
from studio.store.copies import verify
from studio.store.folder import StudioFolder
from studio.store.reading import read_session
from studio.store.system_clock import SystemClock


@pytest.fixture
def at_the_soak(studio: Path, plan: Path) -> str:
    """A session that was left with the fibre in hand, about to go into the soak; its name."""
    services = Services(StudioFolder(studio), SystemClock())
    running, chance = services.begin(services.work_out(plan)), random.Random(1)
    while (step := current_step(running.state, running.clock.now())) is None or step.id != "presoak.in":
        move = next_move(running.state, running.clock.now(), chance)
        assert move is not None and move.command is not None
        running.do(move.command)
    running.do(c.Leave())
    services.let_go()
    return running.name


def there_is_room_again(
    screen: Any, put: Callable[[Path, str], None], full: Path, old: Path, on_disk: int
) -> None:
    """All of it is written, and the banner goes by itself."""
    put(full, "")
    screen.until_gone("NOT SAVED")
    screen.until_gone("waiting to be saved")
    kinds = [(r.kind, r.data.get("text", "")) for r in read_session(old).records[on_disk + 1 :]]
    assert kinds.index(("step.done", "")) < kinds.index(("noted", "written while the disk was full"))
    assert sum("starts" in r.data for r in read_session(old).records[on_disk + 1 :]) == 1


def the_soak_is_over_meanwhile(
    screen: Any, put: Callable[[Path, str], None], full: Path, ahead: Path
) -> None:
    """The alarm comes, is answered, and stays answered."""
    put(full, "all")
    put(ahead, "30.5")
    screen.until("Enter heard")
    screen.until("NOT SAVED")
    screen.look(1.0)  # a key as soon as an alarm comes is not meant for it
    screen.type("\r")
    screen.until_gone("Enter heard")
    assert "NOT SAVED" in screen.text


def it_is_one_session(spare: Path, old: Path) -> None:
    """In order, gone on with once, each clock started and each alarm answered once."""
    records = read_session(spare).records
    assert [r.n for r in records] == list(range(1, len(records) + 1))
    assert [r.data["from"] for r in records if r.kind == "session.continued"] == [old.name]
    started = [r for r in records if "starts" in r.data]
    assert [(r.kind, r.data["step"]) for r in started] == [("step.done", "presoak.in")], "once"
    assert sum(r.kind == "alarm.acknowledged" for r in records) == sum(
        r.kind == "alarm.raised" and r.data["level"] == "due" for r in records
    )
    assert replay(records).notes[-1].text == "written while the disk was full"


@pytest.mark.deep
def test_a_disk_that_is_full_twice_keeps_every_entry_in_order_and_every_clock_right(
    terminal, moved, put, potside, studio, home, at_the_soak, tmp_path
) -> None:
    ahead, full = tmp_path / "ahead", tmp_path / "full"
    put(ahead, "0")
    put(full, "")
    old = studio / "sessions" / at_the_soak
    on_disk = len(read_session(old).records)
    screen = terminal("resume", code=moved, rows=30, AHEAD=str(ahead), FULL=str(full), TMPDIR=str(tmp_path))
    screen.until("You were at")

    # The disk is full: Enter is taken, the soak's clock runs, and nothing is ticked that is not saved.
    put(full, "all")
    screen.type("\r")
    screen.until("NOT SAVED: the disk is full.")
    screen.until("waiting to be saved")
    assert re.search(r"29:5\d|30:00|ends", screen.text), screen.text
    assert "■ Fibre" not in screen.text
    screen.type("n")
    screen.until("Note")
    screen.type("written while the disk was full\r")
    screen.until_gone("written while the disk was full")
    assert len(read_session(old).records) == on_disk + 1, "no more than that it was taken up again"

    there_is_room_again(screen, put, full, old, on_disk)

    the_soak_is_over_meanwhile(screen, put, full, ahead)

    # Only the studio's own folder stays full: after a minute the session goes on beside it, and says so.
    put(full, "studio")
    put(ahead, "32")
    screen.until("this session is kept in")
    screen.until_gone("NOT SAVED")
    screen.type("q")
    screen.until("Leave the bench?")
    screen.type("y")
    assert "kept in" in screen.until("  plans")
    screen.type("q")
    assert screen.end() == 0
    after = screen.raw[screen.raw.rfind(b"\x1b[?1049l") :].decode()
    (spare,) = (home / "state" / "potside" / "unsaved").glob("*/*.jsonl")
    assert (
        "potside: The studio folder took nothing: this session is kept in " in after and spare.name in after
    )

    # It is one session, in the logbook, in the doctor's list and for resume; and the record says what happened.
    listed = potside("logbook")
    assert listed.stdout.count("Tidewrack") == 1 and f"{spare.name} is kept in " in listed.stderr
    assert f"MEND  sessions: {spare.name} is kept in " in potside("doctor").stdout
    assert potside("show", at_the_soak).stdout.count("written while the disk was full") == 1
    again = potside("resume", "--plain")
    assert again.exit_code == 0 and f"Session file: {spare.name}" in again.stdout, again.stdout + again.stderr
    it_is_one_session(spare, old)
    assert verify(spare).exit_code == 0
