"""The screen beside the pot, and what opens over it."""
