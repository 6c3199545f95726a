"""From typed words to a judged reading, and readings over time."""
