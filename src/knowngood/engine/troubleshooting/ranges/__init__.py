"""How far a number may be off before the advice changes."""
