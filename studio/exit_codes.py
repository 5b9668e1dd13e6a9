"""What the process says when it ends."""

OK = 0
PROBLEM = 1
USAGE = 2
UNREADABLE = 3
CANNOT_SAVE = 4
INTERRUPTED = 130
