"""What the toolbox holds, what it is off, and what things cost."""
