"""Measurements of habits beside the rows of the index: as the files have them, and never the truth."""

from __future__ import annotations

import shutil
import sqlite3
from pathlib import Path

import pytest

from studio.logbook.index import Index
from studio.plan.habits import KIND_OF
from studio.session.after.observing import observe
from studio.session.folding import replay
from studio.store.folder import StudioFolder
from studio.store.reading import read_session

ROOT = Path(__file__).resolve().parents[2]
HABITS = tuple(KIND_OF)
TIDEWRACK, KELP, LANTERN = (
    "20260912-0704-tidewrack-stripes-63ea.jsonl",
    "20260926-0830-kelp-forest-3c95.jsonl",
    "20261010-0915-lantern-floats-bb31.jsonl",
)


@pytest.fixture
def studio(tmp_path: Path) -> StudioFolder:
    (tmp_path / "studio" / "shared").mkdir(parents=True)
    (tmp_path / "studio" / "sessions").mkdir()
    for path in (
        path for month in ("202609", "202610") for path in (ROOT / "sessions").glob(f"{month}*.jsonl")
    ):
        shutil.copy2(path, tmp_path / "studio" / "sessions")
    return StudioFolder(tmp_path / "studio")


@pytest.fixture
def index(studio: StudioFolder, tmp_path: Path) -> Index:
    made = Index(studio, file=tmp_path / "logbook.sqlite3")
    made.refresh()
    return made


def from_files(studio: StudioFolder) -> dict[str, list[tuple[str, float]]]:
    told: dict[str, list[tuple[str, float]]] = {habit: [] for habit in HABITS}
    for path in sorted(studio.sessions.glob("*.jsonl"), reverse=True):
        for habit, value in observe(replay(read_session(path).records)):
            told[habit].append((path.name, value))
    return told


def test_the_finished_sessions_teach_newest_first(index: Index) -> None:
    """Squeezed weights as make_sessions.py gives them: 192 g on a dry weight corrected to 101 g are 90.1 %."""
    held = index.observed(HABITS, 40)["held"]
    assert [key for key, _ in held] == [LANTERN, KELP, TIDEWRACK]
    assert held[-1][1] == pytest.approx(100 * (192 - 101) / 101)
    assert index.observed(HABITS, 1)["held"] == held[:1]
    assert index.observed(["held"], 40).keys() == {"held"}


def test_the_index_agrees_with_the_files(studio: StudioFolder, index: Index) -> None:
    assert index.observed(HABITS, 40) == from_files(studio)


def test_a_session_that_is_gone_or_changed_is_forgotten(studio: StudioFolder, index: Index) -> None:
    (studio.sessions / LANTERN).unlink()
    path = studio.sessions / KELP
    path.write_bytes(b"\n".join(path.read_bytes().splitlines()[:20]) + b"\n")  # open again
    index.refresh()
    assert [key for key, _ in index.observed(HABITS, 40)["held"]] == [TIDEWRACK]


@pytest.mark.one_in(2)
@pytest.mark.parametrize(
    "harm",
    ["UPDATE observed SET value = 'much'", "DROP TABLE observed", "ALTER TABLE observed DROP COLUMN value"],
)
def test_a_harmed_index_is_made_anew(studio: StudioFolder, index: Index, harm: str) -> None:
    connection = sqlite3.connect(index.database.path)
    connection.executescript("DROP INDEX observed_newest;" + harm)
    connection.close()
    assert index.observed(HABITS, 40) == from_files(studio)
