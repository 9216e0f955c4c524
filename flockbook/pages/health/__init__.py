"""Pages on illness, worms and egg counts."""
