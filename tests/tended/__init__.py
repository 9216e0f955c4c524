"""Edits of a notes folder in any order: a book that is tended is, byte for byte, the one that a cold compile makes."""
