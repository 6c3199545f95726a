"""Troubleshooting: what is wrong, what to do next, and whether it is gone."""
