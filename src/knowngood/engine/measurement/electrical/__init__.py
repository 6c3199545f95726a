"""Voltages, currents, resistances, and sensors that show as one of these."""
