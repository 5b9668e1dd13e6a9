"""Log lines of libraries kept off the screen, and still noticed."""

from __future__ import annotations

import logging


class Overheard(logging.Handler):
    """Counts warnings instead of printing them."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.warnings = 0

    def emit(self, record: logging.LogRecord) -> None:
        """Count it; its text may hold a traceback and is dropped."""
        self.warnings += 1


def silence(*names: str) -> Overheard:
    """Keep the loggers of these names, and all below them, from printing; what they warn of is counted."""
    ear = Overheard()
    for name in names:
        logger = logging.getLogger(name)
        logger.propagate = False
        logger.handlers = [ear]
    return ear
