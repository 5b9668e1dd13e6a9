"""The shelf in files: read, told, changed by hand or by the program, and shopped for."""
