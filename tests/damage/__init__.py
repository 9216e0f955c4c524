"""Damage to notes of every kind, and the question whether anybody who was really dosed is shown clear for it."""
