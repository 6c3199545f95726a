"""Engines: numbers in, answers out. No files, clock, database or units here."""
