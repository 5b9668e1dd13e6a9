"""One studio folder for commands and screens: plans, shelf, sessions, habits and the clock, joined."""

from studio.plan.ways import Method, announce


def _ways() -> tuple[Method, ...]:
    from studio.methods import METHODS

    return METHODS


announce(_ways)
