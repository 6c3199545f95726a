"""What to do next: moves, the exact policy, and rules of thumb."""
