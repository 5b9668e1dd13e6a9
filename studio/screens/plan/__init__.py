"""The plan screen."""
