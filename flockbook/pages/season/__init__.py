"""Pages of the seasons."""
