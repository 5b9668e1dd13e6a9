"""From what a thing costs to what to ask for it."""

from __future__ import annotations

from studio.craft.limits import Range, within

MOST_MARGIN_PERCENT = 95.0
"""Beyond it a price is twenty times its cost. House rule."""
MARGIN_PERCENT = Range("margin", 0, MOST_MARGIN_PERCENT, "%")
COST = Range("cost", 0, 1e9)


def price_for_margin(cost: float, margin_percent: float) -> float:
    """The price that leaves a gross margin: the share of the price that is not cost.

    price = cost / (1 - margin / 100)

    `cost`: 0 to 1e9 in any currency. `margin_percent`: 0 to 95 % of the price.
    Returns the price in the same currency. Refused (ValueError): outside those ranges.

    >>> price_for_margin(30.0, 40.0)
    50.0

    **Source:** trade usage: gross margin = (price - cost) / price; markup = (price - cost) / cost
    (common practice).
    Breaks where a sale costs more than making: fees, postage, tax and unsold lots are not in the cost.
    """
    COST(cost)
    MARGIN_PERCENT(margin_percent)
    return cost / (1.0 - margin_percent / 100.0)


def markup_percent(margin_percent: float) -> float:
    """The markup on cost that a gross margin on the price comes to.

    markup = margin / (100 - margin) x 100

    `margin_percent`: 0 to 95 %. Returns % of the cost. Refused (ValueError): outside that range.

    >>> markup_percent(50.0), markup_percent(20.0)
    (100.0, 25.0)

    **Source:** the two definitions, solved (common practice).
    """
    MARGIN_PERCENT(margin_percent)
    return margin_percent / (100.0 - margin_percent) * 100.0


def gross_margin_percent(price: float, cost: float) -> float:
    """The gross margin that a price left once the cost is known; negative where the lot lost money.

    margin = (price - cost) / price x 100

    `price`: above 0 to 1e9. `cost`: 0 to 1e9. Returns % of the price. Refused (ValueError): outside those ranges.

    >>> gross_margin_percent(50.0, 30.0)
    40.0

    **Source:** trade usage: gross margin = (price - cost) / price (common practice).
    """
    COST(cost)
    within("price", price, 1e-9, 1e9)
    return (price - cost) / price * 100.0
