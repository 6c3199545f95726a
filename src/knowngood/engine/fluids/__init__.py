"""Fluids: what went out, what came in, what is still owed."""
