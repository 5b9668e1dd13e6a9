"""The modules that add a command or two of their own; help lists their commands by name."""

from __future__ import annotations

from studio import (
    again_commands,
    day_command,
    follow_command,
    grade_command,
    habits_command,
    practices_command,
    schema_command,
    shelf_command,
)

COMMAND_MODULES = (
    again_commands,
    day_command,
    follow_command,
    grade_command,
    habits_command,
    practices_command,
    schema_command,
    shelf_command,
)
