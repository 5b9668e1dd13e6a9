"""A figure and the value it stands at: what was measured, else what is asked for."""

from __future__ import annotations

import msgspec

from studio.plan.settled import Settled
from studio.plan.shapes import Figure, num

BY_HAND = "as measured or done in this session"


def node(settled: Settled, asked: Figure) -> Figure:
    """The figure at its measured value, with what was asked for in its reason; as asked where nothing was measured."""
    value = settled.measured.get(asked.id)
    if value is None:
        return asked
    return msgspec.structs.replace(
        asked,
        value=value,
        because=f"{num(value)} {asked.unit}, {BY_HAND}; asked for: {asked.because}",
        origin="measured",
        source=BY_HAND,
        low=None,
        high=None,
    )
