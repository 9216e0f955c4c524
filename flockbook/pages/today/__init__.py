"""The front page, what is to be done, the neighbour's sheet."""
