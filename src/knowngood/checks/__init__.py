"""Checks: rules that walk a sheet before the job does. Each is a function from sheet and toolbox to problems."""
