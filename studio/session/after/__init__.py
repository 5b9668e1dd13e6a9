"""What a session comes to once it is over: used up, paid, compared, learnt from."""
