"""A fault of the program itself: the details go to a file, one sentence goes to the person."""

from __future__ import annotations

import tempfile
import traceback
from pathlib import Path


def keep_fault(fault: BaseException) -> str:
    """Write the details of a fault down and say, in one sentence, where they are."""
    return keep_details("".join(traceback.format_exception(fault)), type(fault).__name__)


def keep_details(told: str, kind: str) -> str:
    """The same for details that are text already; `kind` is the name of the exception."""
    for folder in (_state_folder(), Path(tempfile.gettempdir())):
        try:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            with tempfile.NamedTemporaryFile(
                "w",
                prefix="fault-",
                suffix=".txt",
                dir=folder,
                delete=False,
                encoding="utf-8",
                errors="replace",
            ) as file:
                file.write(told)
        except OSError:
            continue
        return (
            f"a fault of the program ({kind}); what was shown as saved is saved. "
            f"The details are in {file.name}; please pass them on."
        )
    return f"a fault of the program ({kind}); what was shown as saved is saved."


def _state_folder() -> Path:
    from platformdirs import user_state_path

    return user_state_path("potside", appauthor=False)
