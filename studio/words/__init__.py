"""What is said, and which keys there are: the same for every front end."""
