"""Pressures, and cylinders against each other."""
