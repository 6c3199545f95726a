"""Temperatures of surfaces, and how parts cool."""
