"""What `potside verify` says of files: each by itself, then each two that are copies of one session."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from pathlib import Path

from studio.exit_codes import OK, PROBLEM
from studio.store.copies import told_of_copies
from studio.store.verify import verify
from studio.trouble import Trouble


def verify_files(paths: Sequence[Path], *, say: Callable[[str], object]) -> int:
    """Say the verdicts; the exit code is the worst of them, and at least 1 where copies have parted."""
    worst = OK
    begun_alike: dict[str, list[Path]] = defaultdict(list)
    for path in paths:
        verdict = verify(path)
        for sentence in verdict.sentences:
            say(sentence)
        worst = max(worst, verdict.exit_code)
        if verdict.begins and path not in begun_alike[verdict.begins]:
            begun_alike[verdict.begins].append(path)
    for copies in begun_alike.values():
        worst = max(worst, _compared(copies, say) if len(copies) > 1 else OK)
    return worst


def _compared(copies: Sequence[Path], say: Callable[[str], object]) -> int:
    from studio.store.errors import StoreError

    try:
        told, trouble = told_of_copies(copies)
    except StoreError as problem:
        raise Trouble(str(problem), problem.exit_code) from problem
    for sentence in told:
        say(sentence)
    return PROBLEM if trouble else OK
