"""Ways of dyeing: what puts colour on, what sets it, and which pairs of the two are sound.

A way is one object that answers what `studio.plan.ways` asks of its family; its name stands here and nowhere below.
"""

from __future__ import annotations

from studio.methods.put_on.bath import DyeBath
from studio.methods.put_on.paint import Paint
from studio.methods.set_by.bath import HeatedBath
from studio.methods.set_by.microwave import Microwave
from studio.methods.set_by.steam import Steam
from studio.plan.ways import pair

METHODS = (
    pair("paint and steam", Paint(), Steam()),
    pair("kettle", DyeBath(), HeatedBath()),
    pair("microwave", Paint(), Microwave()),
)
"""The usual one first."""
