"""Lengths, gaps, angles, volumes, and how they wear."""
