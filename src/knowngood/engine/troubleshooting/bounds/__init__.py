"""Between which costs the best policy lies where it cannot be found exactly."""
