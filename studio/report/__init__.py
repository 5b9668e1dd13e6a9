"""What is printed and handed over: worksheets, sessions, lists, as text and as JSON."""
