"""Finished sessions on screen: the list, one session, two compared, one repeated, its tests."""
