"""Pages on who stays."""
