"""Instruments: what they may be off, and what they are known to be off."""
