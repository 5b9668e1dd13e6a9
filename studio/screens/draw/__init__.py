"""Values to content. No widget, no state, no clock: what to show is decided before it gets here."""
