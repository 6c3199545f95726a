"""Knowngood: the whole job for the home vehicle mechanic, from a warning light to a record of what was left."""

__version__ = "0.1.0"
