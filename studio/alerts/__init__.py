"""Means by which an alarm reaches the dyer beside the picture on the screen: bell, sound, notices, no sleep."""
