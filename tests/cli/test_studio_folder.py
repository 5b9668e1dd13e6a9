"""The studio folder as a person meets it: first use, what cannot be used, verify, doctor, completion."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from studio.services.studio import starter_shelf
from studio.store.disk import CannotSave
from studio.store.folder import StudioFolder

ROOT = Path(__file__).resolve().parents[2]


def test_first_use_makes_the_own_folder_with_a_starter_shelf(potside, home):
    told = potside("logbook", POTSIDE_STUDIO="(unset)")
    assert (told.exit_code, told.stderr) == (0, "")
    own = home / "data" / "potside"
    assert (own / "sessions").is_dir()
    plans = sorted((own / "shared" / "plans").glob("*.plan.toml"))
    assert plans
    for plan in plans:
        worked = potside("worksheet", plan, POTSIDE_STUDIO="(unset)")
        assert (worked.exit_code, worked.stderr) == (0, ""), plan.name
    assert potside("doctor", POTSIDE_STUDIO="(unset)").exit_code == 0
    # What the dyer changed stays as it is.
    plans[0].write_text("# mine\n")
    assert potside("logbook", POTSIDE_STUDIO="(unset)").exit_code == 0
    assert plans[0].read_text() == "# mine\n"


def test_first_use_goes_straight_to_a_rehearsal(potside, home):
    done = potside("rehearse", POTSIDE_STUDIO="(unset)")
    assert (done.exit_code, done.stderr) == (0, "")
    (path,) = (home / "data" / "potside" / "sessions").iterdir()
    verdict = potside("verify", path)
    assert verdict.exit_code == 0 and "finished, SHA-256 matches" in verdict.stdout


def test_a_relative_data_folder_is_ignored(potside, home):
    """The XDG base directory specification: "All paths set in these environment variables must be absolute"."""
    assert potside("logbook", POTSIDE_STUDIO="(unset)", XDG_DATA_HOME="here").exit_code == 0
    assert not (home / "here").exists()
    assert (home / ".local" / "share" / "potside" / "sessions").is_dir()


def test_the_folder_one_stands_in_and_the_option(environ, studio, home, finished):
    shutil.copy(finished, studio / "sessions")
    argv = [sys.executable, "-m", "studio"]
    env = environ(POTSIDE_STUDIO="(unset)")
    here = subprocess.run(
        [*argv, "logbook"], cwd=studio, env=env, capture_output=True, text=True, check=False
    )
    named = subprocess.run(
        [*argv, "--studio", str(studio), "logbook"],
        cwd=home,
        env=environ(POTSIDE_STUDIO="/nowhere"),
        capture_output=True,
        text=True,
        check=False,
    )
    assert here.returncode == named.returncode == 0
    assert "Tidewrack stripes" in here.stdout and here.stdout == named.stdout


@pytest.mark.parametrize("exists", [False, True])
def test_a_named_studio_that_is_not_there_is_made_where_that_is_wanted(tmp_path, exists):
    root, asked = tmp_path / "new" / "studio", []
    if exists:
        root.mkdir(parents=True)
    with pytest.raises(CannotSave):
        StudioFolder.find(root, starter=starter_shelf)
    made = StudioFolder.find(root, starter=starter_shelf, may_make=lambda path: not asked.append(path))
    assert asked == [root] and made.sessions.is_dir()
    assert [path.name for path in (made.shared / "plans").iterdir()] == ["first-skein.plan.toml"]
    StudioFolder.find(root, may_make=lambda path: not asked.append(path))
    assert asked == [root], "what is there is not offered"


@pytest.mark.parametrize("fault", ["missing", "a file", "no sessions", "sessions is a file", "long name"])
def test_a_studio_that_cannot_be_used(potside, studio, fault):
    named = studio
    if fault == "missing":
        named = studio / "elsewhere"
    elif fault == "a file":
        named = studio / "shared" / "dyes.toml"
    elif fault == "no sessions":
        (studio / "sessions").rmdir()
    elif fault == "sessions is a file":
        (studio / "sessions").rmdir()
        (studio / "sessions").write_text("")
    elif fault == "long name":
        named = Path("x" * 300)
    for command in (["logbook"], ["rehearse"]):
        done = potside("--studio", named, *command)
        assert (done.exit_code, done.stdout) == (4, ""), (command, done)
        assert "--studio DIR" in done.stderr and done.stderr.count("\n") == 1
        assert str(named)[:200] in done.stderr


AS_NOBODY = """
import os, sys
from click.testing import CliRunner
from studio.cli import main
# Everything is loaded as the one who may read it, by a rehearsal elsewhere.
first = CliRunner().invoke(main, ["--studio", sys.argv[1], "rehearse", "--unattended"])
assert first.exit_code == 0, first.output
if os.getuid() == 0:
    os.setgid(65534); os.setuid(65534)
main(["rehearse", "--unattended"])
"""


def test_a_folder_without_permission(environ, studio, home):
    """Root may write anywhere, so the program is started as another user: refused before a session starts."""
    if os.name != "posix":
        pytest.skip("file permissions of this kind are not known here")
    elsewhere = shutil.copytree(studio, home / "elsewhere")
    for folder in (studio, studio / "sessions", studio / "shared", *list(studio.parents)[:4]):
        folder.chmod(0o755)
    (studio / "sessions").chmod(0o555)
    argv = [sys.executable, "-c", AS_NOBODY, str(elsewhere)]
    done = subprocess.run(argv, env=environ(), cwd=home, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (4, ""), done.stderr
    assert str(studio / "sessions") in done.stderr and "--studio DIR" in done.stderr
    assert "access is not allowed" in done.stderr and done.stderr.count("\n") == 1
    assert list((studio / "sessions").iterdir()) == []


def test_first_use_where_no_folder_can_be_made(environ, tmp_path):
    blocked = tmp_path / "blocked"
    blocked.write_text("")
    done = subprocess.run(
        [sys.executable, "-m", "studio", "logbook"],
        env=environ(POTSIDE_STUDIO="(unset)", XDG_DATA_HOME=str(blocked)),
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (4, "")
    assert str(blocked) in done.stderr and "--studio DIR" in done.stderr and done.stderr.count("\n") == 1


def test_a_disk_that_is_full(environ, studio, home):
    """A real one, of 64 KiB, that vanishes with the process."""
    if shutil.which("unshare") is None or os.getuid() != 0:
        pytest.skip("needs to mount a small disk")
    script = (
        'mount -t tmpfs -o size=4k none "$1/sessions" || exit 77; exec "$2" -m studio rehearse --unattended'
    )
    argv = ["unshare", "-m", "sh", "-c", script, "sh", str(studio), sys.executable]
    done = subprocess.run(argv, env=environ(), cwd=home, capture_output=True, text=True, check=False)
    if done.returncode in (1, 77) and "mount" in done.stderr:
        pytest.skip("mounting is not allowed here")
    assert done.returncode == 4, done
    assert "Traceback" not in done.stderr and "the disk is full" in done.stderr
    assert str(studio / "sessions") in done.stderr


@pytest.mark.parametrize(
    ("change", "code", "said"),
    [
        ("nothing", 0, "clean"),
        ("torn", 1, "open tail"),
        ("not finished", 0, "clean"),
        ("one letter", 3, "damaged"),
        ("one line less", 3, "damaged"),
        ("missing", 3, "not there"),
        ("no session", 3, "damaged"),
    ],
)
def test_verify(potside, studio, finished, change, code, said):
    path = studio / "sessions" / finished.name
    raw = finished.read_bytes()
    lines = raw.splitlines(keepends=True)
    if change == "torn":
        raw = raw[: len(raw) - len(lines[-1]) // 2]
    elif change == "not finished":
        raw = b"".join(lines[:-1])
    elif change == "one letter":
        raw = raw.replace(b"Fibre in the soak", b"Fibre in the soap", 1).replace(b"presoak", b"presoap", 1)
    elif change == "one line less":
        raw = b"".join(lines[:10] + lines[11:])
    elif change == "no session":
        raw = b'{"a": 1}\n'
    if change != "missing":
        path.write_bytes(raw)
    done = potside("verify", path)
    assert (done.exit_code, done.stderr) == (code, "")
    assert said in done.stdout.splitlines()[0]
    assert change == "missing" or path.read_bytes() == raw


def test_verify_of_several_gives_the_worst(potside, studio, finished):
    good = shutil.copy(finished, studio / "sessions" / finished.name)
    done = potside("verify", good, studio / "nothing.jsonl", good)
    assert done.exit_code == 3
    assert done.stdout.count("clean") == 2


def test_show_of_a_damaged_session_still_shows_what_is_whole(potside, studio, finished):
    lines = finished.read_bytes().splitlines(keepends=True)
    path = studio / "sessions" / finished.name
    path.write_bytes(b"".join(lines[:10] + lines[11:]))
    done = potside("show", path.name)
    assert done.exit_code == 3
    assert "Tidewrack stripes" in done.stdout and "11" in done.stdout
    assert json.loads(potside("show", path.name, "--json").stdout)["format"].startswith("potside-")


def test_doctor_prints_no_personal_path(potside, home, studio):
    own = home / "wool room"
    shutil.copytree(studio, own)
    (own / "sessions" / "20261125-1004-tide-9f3a (conflict copy).jsonl").write_text("")
    done = potside("doctor", POTSIDE_STUDIO=str(own))
    assert (done.exit_code, done.stderr) == (1, "")
    assert str(home) not in done.stdout
    assert "~/wool room" in done.stdout
    assert "conflict copy" in done.stdout and "MEND" in done.stdout
    broken = potside("doctor", POTSIDE_STUDIO=str(home / "none"))
    assert broken.exit_code == 1
    assert str(home) not in broken.stdout


def test_row_11_a_conflict_copy_is_listed_apart_and_told_where_it_parts(potside, studio, finished):
    """Two machines wrote on from the same event; neither file is touched, and neither is merged."""
    ours, theirs = studio / "sessions" / finished.name, None
    lines = finished.read_bytes().splitlines(keepends=True)
    ours.write_bytes(b"".join(lines[:40]))
    theirs = ours.with_name(f"{ours.stem} (conflicted copy 2026-11-25).jsonl")
    shutil.copy(ours, theirs)
    environment = {"POTSIDE_STUDIO": str(studio)}
    left = potside("resume", ours.name, "--plain", **environment)
    assert left.exit_code == 0, left.stderr
    theirs.write_bytes(theirs.read_bytes() + lines[40])
    before = {path: path.read_bytes() for path in (ours, theirs)}
    listed = potside("logbook", **environment)
    assert listed.exit_code == 0 and listed.stdout.count("Tidewrack") == 1
    advice = f'potside verify {ours.name} "{theirs.name}" says where the two part; keep one.'
    assert advice in listed.stderr and advice in potside("doctor", **environment).stdout
    told = potside("verify", ours, theirs)
    assert told.exit_code == 1 and told.stderr == ""
    assert "are the same up to event 40 and part there" in told.stdout.splitlines()[-1]
    assert f"{theirs.name} has 1 event of its own" in told.stdout
    assert {path: path.read_bytes() for path in before} == before


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion(potside, environ, home, shell):
    script = potside("completion", shell)
    assert (script.exit_code, script.stderr) == (0, "")
    assert "potside" in script.stdout
    if shutil.which(shell) is None:
        pytest.skip(f"{shell} is not installed")
    file = home / f"potside.{shell}"
    file.write_text(script.stdout)
    checked = subprocess.run([shell, "-n", str(file)], capture_output=True, text=True, check=False)
    assert (checked.returncode, checked.stderr) == (0, "")
    # The shell asks the program itself for the words; this is what it is told.
    asked = environ(
        _POTSIDE_COMPLETE=f"{shell}_complete",
        COMP_WORDS="potside re",
        COMP_CWORD="1" if shell != "fish" else "re",
    )
    code = "import sys; sys.argv[0] = 'potside'; from studio.cli import main; main(prog_name='potside')"
    told = subprocess.run(
        [sys.executable, "-c", code], env=asked, cwd=home, capture_output=True, text=True, check=False
    )
    assert {"resume", "rehearse"} <= set(told.stdout.replace(",", "\n").replace("\t", "\n").split("\n"))
    assert "worksheet" not in told.stdout
