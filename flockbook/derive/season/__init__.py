"""The seasons: counts, shares with their ranges, one held against another."""
