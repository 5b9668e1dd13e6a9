"""The modules that add a command or two of their own; help lists their commands by name."""

from __future__ import annotations

from studio.cli import (
    again,
    day,
    follow,
    grade,
    habits,
    practices,
    schema,
    shelf,
)

COMMAND_MODULES = (
    again,
    day,
    follow,
    grade,
    habits,
    practices,
    schema,
    shelf,
)
