"""Pedigree, kinship and breeding values."""
