"""Planning: a plan file becomes a Plan, and a Plan becomes a Worksheet."""
