"""The shelf on screen."""
