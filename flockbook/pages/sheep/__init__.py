"""A page for each sheep, and the index of all."""
