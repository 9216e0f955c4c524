"""Weights on one footing, projections, what ewes weaned, prices by weight."""
