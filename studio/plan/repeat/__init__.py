"""A new plan from a session that was done."""
