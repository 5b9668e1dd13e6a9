"""Ways to set colour: steam, bath, microwave."""
