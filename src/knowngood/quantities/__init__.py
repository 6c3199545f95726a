"""Quantities that a home mechanic measures, each with its model and what it asks."""
