"""Who may leave, and what must be known first."""
