"""The flock's facts in forms that other programs read."""
