"""The finished sessions: found by their words, and what is kept of each."""
