"""Figures from what really happened: the squeezed weight, the powder weighed, the steam that was late.

Each module answers for one part of the work with figures (each with its reason) and warnings. `thinking`
picks what belongs to the step at hand.
"""
