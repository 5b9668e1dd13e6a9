"""One studio folder for commands and screens: plans, shelf, sessions, habits and the clock, joined."""
