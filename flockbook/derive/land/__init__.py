"""Grass, rest and forage."""
