"""Reference tables: fibres, acids, dye classes, dyes, practice doses and holds, hazards.

The rows stand in TOML files beside this code, each with the source it was taken from or its standing
(`common practice`, `from memory`, `house rule`, `estimate`). They are read once, at the first question.
"""

from __future__ import annotations

from studio.tables.finding import (
    dyes_with,
    find_acid,
    find_class,
    find_dose,
    find_dye,
    find_fibre,
    find_hazard,
    find_hold,
    holds_for,
    near_names,
    nearest,
)
from studio.tables.loading import acids, dye_classes, dyes, fibres, hazards, holds, practice
from studio.tables.rows import UNKNOWN, AcidRow, DyeClass, DyeRow, Fibre, HoldRow, PracticeDose

__all__ = [
    "UNKNOWN",
    "AcidRow",
    "DyeClass",
    "DyeRow",
    "Fibre",
    "HoldRow",
    "PracticeDose",
    "acids",
    "dye_classes",
    "dyes",
    "dyes_with",
    "fibres",
    "find_acid",
    "find_class",
    "find_dose",
    "find_dye",
    "find_fibre",
    "find_hazard",
    "find_hold",
    "hazards",
    "holds",
    "holds_for",
    "near_names",
    "nearest",
    "practice",
]
