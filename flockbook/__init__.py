"""The flock book: what sheep notes mean, what follows from them, and how it is shown."""
