"""Planning: which step can be next, and an order that strands nobody."""
