"""Cases of illness, worms and egg counts."""
