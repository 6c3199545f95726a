"""Measurement: instruments, and how readings become a value at reference conditions."""
