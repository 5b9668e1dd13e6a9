"""The procedure of a session: its stages, steps, gates and clocks."""
