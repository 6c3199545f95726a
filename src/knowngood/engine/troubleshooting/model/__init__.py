"""What could be wrong: causes, tests, repairs, and the problem that they make."""
