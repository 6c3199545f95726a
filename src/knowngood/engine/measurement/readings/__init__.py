"""One reading, several, and readings held against each other; what would settle a doubt."""
