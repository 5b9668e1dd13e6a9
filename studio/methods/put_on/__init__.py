"""Ways to put colour on: paint, bath."""
