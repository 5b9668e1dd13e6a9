"""How long hands are at work in a session: by what there is to do, before the studio's own sessions tell."""

from __future__ import annotations

from collections.abc import Sequence

from studio.plan.facts import ProcedureFacts
from studio.plan.ways import Method, StageHands, method_called

READY_MIN = 10.0
SOAK_MIN = 5.0
POWDER_MIN = 5.0
READY_STOCK_MIN = 2.0
SQUEEZE_AND_WRAP_MIN = 10.0
COLOUR_MIN = 3.0
PAINT_MIN_PER_100G = 20.0
STEAM_MIN = 8.0
MICROWAVE_MIN = 20.0
RINSE_MIN = 12.0
RECORD_MIN = 5.0
"""Minutes with hands on the work, waits left out. All of them estimates of ours."""

ESTIMATE = "estimate: minutes by stage, counted from the jars, colours and grams of the plan"


def hands_on_stages(
    method: Method, powders: int, ready_stocks: int, colours: int, painted_g: float, pieces: int = 1
) -> tuple[StageHands, ...]:
    """Minutes of hands-on work by stage (estimate).

    powders: jars of powder to weigh and make up; ready_stocks: liquids to pour or drops to count, both 0 and
    more. colours: jars of paint, 0 and more. painted_g: fibre under paint, g, 0 and more. pieces: 1 and more.

    >>> from studio.plan.ways import methods
    >>> [sum(s.minutes for s in hands_on_stages(m, 2, 0, 2, 60.0)) for m in methods()]
    [78.0, 65.0, 90.0]

    **Source:** estimate; linear in what there is to do.
    Breaks with practice, with stripes many and narrow, and with talk: sessions that were kept tell better.
    """
    return (
        StageHands("ready", READY_MIN),
        StageHands("presoak", SOAK_MIN),
        StageHands("stocks", powders * POWDER_MIN + ready_stocks * READY_STOCK_MIN),
        method.put_on.hands_on(colours, painted_g, pieces),
        method.set_by.hands_on(pieces),
        StageHands("rinse", RINSE_MIN * (pieces if method.put_on.has_bands else 1)),
        StageHands("record", RECORD_MIN),
    )


def hands_on_of(facts: ProcedureFacts) -> tuple[StageHands, ...]:
    """The same for a plan as its procedure knows it."""
    stocks = [stock for colour in facts.colours for stock in colour.stocks if stock.volume_ml > 0]
    powders = sum(stock.form == "powder" for stock in stocks)
    painted_g = sum(colour.fibre_g for colour in facts.colours)
    method, ready = method_called(facts.method), len(stocks) - powders
    return hands_on_stages(method, powders, ready, len(facts.colours), painted_g, facts.pieces)


def hands_on_words(stages: Sequence[StageHands]) -> str:
    """`ready 10, presoak 5, ... = 78 min`."""
    parts = ", ".join(f"{s.stage} {s.minutes:.3g}" for s in stages if s.minutes > 0)
    return f"{parts} = {sum(s.minutes for s in stages):.3g} min"
