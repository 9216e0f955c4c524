"""Pages on who is due and who may be put to whom."""
