"""The loading list."""
