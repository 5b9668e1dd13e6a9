"""A plan under way, as it is typed."""
