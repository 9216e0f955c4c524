"""Labours, births, newborns and what is owed after them; patterns and losses."""
