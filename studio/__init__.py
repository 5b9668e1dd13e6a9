"""Potside: a dye-studio session assistant for the terminal."""

__version__ = "0.1.0"
