"""Arithmetic that knows no family of facts: numbers in words, intervals, survival tables, reasons."""
